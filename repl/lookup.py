"""The questions about the catalog itself: `parts`, `part`, `list`."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from ..solver.catalog import Catalog
from ..solver.length import Unit, format_exactly, format_span
from ..solver.part import Feature, Part
from .answer import Answer, Row
from .job import MOST_ROWS, Job
from .near import natural
from .question import Question
from .status import Status
from .vocabulary import TOPICS, Names, Scene, symbols, traits, values
from .wording import counted, price


@dataclass(frozen=True, slots=True)
class Parts(Question):
    """Which parts there are with a word in their code, title, kind or traits; without one, how many of each kind."""

    word: str | None

    def answer(self, job: Job) -> Answer:
        """List the parts, or count the kinds."""
        if self.word is None:
            number = Counter(part.kind for part in job.catalog.parts.values())
            rows: list[Row] = [
                {"kind": kind, "parts": number[kind], "title": title} for kind, title in job.catalog.kinds.items()
            ]
            kept, first = job.shortened(rows)
            number_of_parts = counted(len(job.catalog.parts), "part", "parts")
            message = f"{number_of_parts} of {counted(len(rows), 'kind', 'kinds')}{first}"
            return replace(job.plain(self.text), rows=kept, message=(message,))
        found = [part for part in job.catalog.parts.values() if self.word.casefold() in described(job.catalog, part)]
        rows = [
            {
                "code": part.code,
                "kind": part.kind,
                "title": part.title,
                "status": part.status,
                "price": price(part.price, job.catalog.currency),
            }
            for part in found
        ]
        kept, first = job.shortened(rows, MOST_ROWS)
        message = counted(len(rows), "part", "parts") + first
        status = Status.YES if found else Status.NO
        return replace(job.plain(self.text), rows=kept, message=(message,), status=status)


def described(catalog: Catalog, part: Part) -> str:
    """Return all words that a part is found by, in lower case: its code, title, kind and traits."""
    looks = [
        look
        for name, tokens in part.traits.items()
        if name in catalog.traits
        for look in catalog.traits[name].look(tokens)
    ]
    tokens = [token for had in part.traits.values() for token in had]
    return "\n".join((part.code, part.title, part.kind, catalog.kinds.get(part.kind, ""), *tokens, *looks)).casefold()


@dataclass(frozen=True, slots=True)
class PartOf(Question):
    """Everything that the catalog says of one part."""

    code: str

    def answer(self, job: Job) -> Answer:
        """Write it out, dimension by dimension and feature by feature."""
        part = job.catalog.parts[self.code]
        rows = tuple({"what": what, "value": value} for what, value in _facts(job.catalog, part, job.unit))
        cautions = (f"{part.code}: {part.caution}",) if part.caution else ()
        return replace(job.plain(self.text), rows=rows, cautions=cautions, message=(f"{part.code}: {part.title}",))


def _facts(catalog: Catalog, part: Part, unit: Unit) -> Iterator[tuple[str, str]]:
    yield "kind", catalog.kinds.get(part.kind, part.kind)
    yield "status", part.status
    if part.replaced_by:
        yield "replaced by", part.replaced_by
    yield "price", price(part.price, catalog.currency)
    for name, tokens in part.traits.items():
        titles = [
            catalog.traits[name].values[token].title
            for token in tokens
            if name in catalog.traits and token in catalog.traits[name].values
        ]
        yield (
            name,
            ", ".join(sorted(tokens, key=natural))
            + (f" ({', '.join(titles)})" if len(titles) == 1 and titles[0] else ""),
        )
    for name, span in part.design.dimensions.items():
        yield name, format_span(span, unit)
    if cut := part.design.cut:
        yield (
            f"{cut.dimension}, cut to measure",
            (
                f"{format_exactly(cut.low, unit)} to {format_exactly(cut.high, unit)} in steps of "
                f"{format_exactly(cut.step, unit)}, ± {format_exactly(cut.tolerance, unit)}"
            ),
        )
    for feature in part.design.features.values():
        yield f"feature {feature.name}", _feature(feature, unit)
    for name, mark in part.marks.items():
        yield f"mark {name}", mark
    applications = [
        name
        for name, application in catalog.applications.items()
        if any(part.kind in position.kinds for position in application.positions.values())
    ]
    yield "used in", ", ".join(applications) or "no application"
    if part.source:
        yield "source", str(part.source)


def _feature(feature: Feature, unit: Unit) -> str:
    numbers = [f"{name} {format_span(span, unit)}" for name, span in feature.dimensions.items()]
    words = [f"{name} {' '.join(sorted(tokens, key=natural))}" for name, tokens in feature.tokens.items()]
    times = f"{feature.count} x " if feature.count > 1 else ""
    mate = [] if feature.required else ["need not be mated"]
    return "; ".join([f"{times}{feature.side} of {feature.interface}", *words, *numbers, *mate])


@dataclass(frozen=True, slots=True)
class List(Question):
    """What can be named: applications, hosts, preparations, traits, the values of a trait."""

    topic: str | None

    def answer(self, job: Job) -> Answer:
        """List the names of a topic with their meaning; without one, the topics."""
        scene = job.scene
        if self.topic is None:
            rows: list[Row] = [{"list": name, "names": len(names(scene))} for name, names in TOPICS.items()]
            rows += [{"list": name, "names": len(values(scene, name))} for name in traits(scene)]
            return self._listed(job, rows, [])
        known = TOPICS[self.topic](scene) if self.topic in TOPICS else values(scene, self.topic)
        message = []
        rows = [{"name": name, "meaning": title} for name, title in known.items()]
        if self.topic == "hosts" and (groups := _siblings(scene, known)):
            rows = [{"name": own[0], "alike": len(own), "meaning": known[own[0]]} for own in groups]
            message.append(
                "a row stands for all that no rule tells apart; `parts` and the beginning of a name lists them"
            )
        if alike := sorted(set(symbols(scene, self.topic)), key=natural):
            message.append(f"a symbol stands for every value that has it: {', '.join(alike)}")
        return self._listed(job, rows, message)

    def _listed(self, job: Job, rows: list[Row], message: list[str]) -> Answer:
        kept, first = job.shortened(rows)
        if not rows:
            message = ["there are none", *message]
        elif len(kept) < len(rows):
            message = [counted(len(rows), "row", "rows") + first, *message]
        return replace(job.plain(self.text), rows=kept, message=tuple(message))


def _siblings(scene: Scene, codes: Names) -> list[list[str]]:
    """Group hosts of one entry that differ only in what no rule reads (finish, keyway); empty: all differ."""
    used = [scene.application] if scene.application else scene.catalog.applications.values()
    read = {ref.name for each in used for rule in each.rules for ref in (rule.check.left, rule.check.right)}
    groups: dict[tuple[object, ...], list[str]] = {}
    for code in codes:
        part = scene.catalog.parts[code]
        told = sorted((name, tokens) for name, tokens in part.traits.items() if name in read)
        groups.setdefault((part.design, *told), []).append(code)
    return list(groups.values()) if len(groups) < len(codes) else []
