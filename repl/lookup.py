"""The questions about the catalog itself: `parts`, `part`, `list`."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from ..solver.catalog import Catalog
from ..solver.length import Unit, format_length, format_span
from ..solver.part import Feature, Part
from .answer import Answer, Row, Status
from .job import MOST_ROWS, Job
from .question import Question
from .vocabulary import TOPICS, symbols, traits, values
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
            return replace(
                job.plain(self.text), rows=tuple(rows), message=(counted(len(job.catalog.parts), "part", "parts"),)
            )
        found = [part for part in job.catalog.parts.values() if self.word.casefold() in _described(job.catalog, part)]
        most = MOST_ROWS if job.limit is None else job.limit
        message = counted(len(found), "part", "parts") + (f", the first {most} shown" if len(found) > most else "")
        rows = [
            {
                "code": part.code,
                "kind": part.kind,
                "title": part.title,
                "status": part.status,
                "price": price(part.price, job.catalog.currency),
            }
            for part in found[:most]
        ]
        return replace(
            job.plain(self.text), rows=tuple(rows), message=(message,), status=Status.YES if found else Status.NO
        )


def _described(catalog: Catalog, part: Part) -> str:
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
        yield name, ", ".join(tokens) + (f" ({', '.join(titles)})" if len(titles) == 1 and titles[0] else "")
    for name, span in part.design.dimensions.items():
        yield name, format_span(span, unit)
    if cut := part.design.cut:
        yield (
            f"{cut.dimension}, cut to measure",
            (
                f"{format_length(cut.low, unit)} to {format_length(cut.high, unit)} in steps of "
                f"{format_length(cut.step, unit)}, ± {format_length(cut.tolerance, unit)}"
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
    words = [f"{name} {' '.join(tokens)}" for name, tokens in feature.tokens.items()]
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
            return replace(job.plain(self.text), rows=tuple(rows))
        known = TOPICS[self.topic](scene) if self.topic in TOPICS else values(scene, self.topic)
        rows = [{"name": name, "meaning": title} for name, title in known.items()]
        alike = sorted(set(symbols(scene, self.topic)))
        message = (f"a symbol stands for every value that has it: {', '.join(alike)}",) if alike else ()
        return replace(job.plain(self.text), rows=tuple(rows), message=message)
