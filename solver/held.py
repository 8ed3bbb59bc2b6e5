"""Parts that are there already, and what can still become of one that was cut."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from .application import Application, Position
from .catalog import Catalog
from .length import Length
from .part import Cut, Part
from .setting import Setting
from .statement import Sieve, Statement


@dataclass(frozen=True, slots=True)
class Held:
    """So many pieces of a part that stand in a position, cut to a length (None: not cut, or not cut yet).

    A `host` is what receives the assembly: it can stay, and is never put anywhere else.
    """

    position: str
    part: Part
    pieces: int = 1
    cut: Length | None = None
    host: bool = False


@dataclass(frozen=True, slots=True)
class StandIn:
    """What a part in the catalog stands for: a held one that was cut, as it is or still `shorter`."""

    held: Held
    shorter: bool


@dataclass(frozen=True, slots=True)
class _AtHome(Statement):
    """Keeps each part that stands in for a held one in the one position that it can stand in."""

    homes: Mapping[Part, str]

    def sieve(self, catalog: Catalog, position: Position) -> Sieve | None:
        """Refuse it everywhere else."""
        return Sieve(None, lambda part: self.homes.get(part, position.name) != position.name)


def with_held(setting: Setting, held: Iterable[Held]) -> tuple[Setting, Mapping[Part, StandIn]]:
    """Return the setting with a stand-in beside every part that was cut, and what each of them stands for.

    A cut part can stay as it is or be cut shorter, in the position that it stands in, or, where there is none of that
    name that takes it, in the first one that does. Stand-ins have the codes of the parts that they stand for.
    """
    stand_ins: dict[Part, StandIn] = {}
    homes: dict[Part, str] = {}
    taken: set[tuple[Part, str]] = set()
    for each in held:
        home = None if each.cut is None or each.host else _home(setting.application, each)
        if home is None or (each.part, home) in taken:
            continue
        taken.add((each.part, home))
        for cut, shorter in _left(each):
            part = replace(each.part, design=replace(each.part.design, cut=cut))
            stand_ins[part], homes[part] = StandIn(each, shorter), home
    if not stand_ins:
        return setting, stand_ins
    # No code of a catalog has a blank, so that these names are free.
    named = {f"{part.code} {number}": part for number, part in enumerate(stand_ins)}
    catalog = replace(setting.catalog, parts={**setting.catalog.parts, **named})
    return Setting(catalog, (*setting.statements, _AtHome(homes, text="what was cut stays in place"))), stand_ins


def _home(application: Application, held: Held) -> str | None:
    places = [place for place in application.positions.values() if held.part.kind in place.kinds and not place.host]
    names = [place.name for place in places]
    return held.position if held.position in names else next(iter(names), None)


def _left(held: Held) -> Iterable[tuple[Cut, bool]]:
    """Yield the lengths that a cut part has or can still be cut to, each time with whether that is shorter."""
    cut = held.part.design.cut
    if cut is None or held.cut is None:
        return
    if as_it_is := cut.between(held.cut, held.cut):
        yield as_it_is, False
    if shorter := cut.between(cut.low, held.cut - 1):
        yield shorter, True
