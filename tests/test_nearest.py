"""The nearest assemblies are those that trying every assembly with every cut length finds, all of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from random import Random

from fitwright.solver.assembly import Assembly
from fitwright.solver.fate import fates
from fitwright.solver.finding import Verdict, worst
from fitwright.solver.held import Held
from fitwright.solver.judge import judge
from fitwright.solver.nearest import Distance, Nearest
from fitwright.solver.part import Part
from fitwright.solver.setting import Setting
from fitwright.solver.statement import Keep
from hypothesis import given
from hypothesis import strategies as st
from worlds import Codes, candidates, codes, world


def held_in(setting: Setting, random: Random) -> list[Held]:
    """Take some candidate apart: some of it cut, some of it from positions that the application does not have."""
    positions = setting.application.positions
    found: dict[Held, int] = {}
    for name, parts in zip(positions, random.choice(list(candidates(setting))), strict=True):
        elsewhere = random.random() < 0.15 and not positions[name].host
        for part in parts:
            cut, length = part.design.cut, None
            if cut and random.random() < 0.8:
                length = random.choice(range(cut.low, cut.high + 1, cut.step))
            each = Held(f"old-{name}" if elsewhere else name, part, 1, length, positions[name].host)
            found[each] = found.get(each, 0) + positions[name].quantity
    return [replace(each, pieces=pieces) for each, pieces in found.items()]


def whole_assemblies(setting: Setting) -> Iterator[Assembly]:
    """Yield every assembly that fits, with every way of cutting it."""
    welcome = Verdict.SELECTED.rank if setting.selective else Verdict.FITS.rank
    for parts in candidates(setting):
        filled = dict(zip(setting.application.positions, parts, strict=True))
        cuts = {name: own[0].design.cut for name, own in filled.items() if own and own[0].design.cut}
        for lengths in product(*(range(cut.low, cut.high + 1, cut.step) for cut in cuts.values() if cut)):
            assembly = Assembly(filled, dict(zip(cuts, lengths, strict=True)))
            if worst([finding.verdict for finding in judge(setting, assembly)]).rank <= welcome:
                yield assembly


def home(setting: Setting, held: Held) -> str | None:
    takes = [p.name for p in setting.application.positions.values() if held.part.kind in p.kinds and not p.host]
    return held.position if held.position in takes else (takes or [None])[0]


def distance_by_definition(setting: Setting, held: Sequence[Held], assembly: Assembly) -> Distance:
    """Count piece by piece."""
    positions = setting.application.positions
    had = {token for each in held if not each.host for token in each.part.traits.get("t", ())}
    stock = [each for each in held for _ in range(each.pieces) if not each.host]
    comes: list[Part] = []
    touched = 0
    cautions = 0
    old_at: Counter[tuple[str, object]] = Counter()
    for each in held:
        old_at[each.position, each.part if each.cut is None else each] += each.pieces
    new_at: Counter[tuple[str, object]] = Counter()
    for name, parts in assembly.parts.items():
        cautions += len({part for part in parts if part.caution})
        for part in [part for part in parts for _ in range(positions[name].quantity)]:
            length = assembly.cuts.get(name) if part.design.cut else None
            thing: object = part
            for each in stock if not positions[name].host else ():
                if each.part is not part:
                    continue
                if each.cut is None:
                    stock.remove(each)
                    break
                if home(setting, each) == name and length is not None and length <= each.cut:
                    touched += length < each.cut
                    stock.remove(each)
                    thing = each
                    break
            else:
                if not positions[name].host:
                    comes.append(part)
                used_up = [each for each in held if each.part is part and each.cut and home(setting, each) == name]
                if used_up and length is not None and used_up[0].cut and length <= used_up[0].cut:
                    thing = used_up[0]  # as many beside it were cut alike, and one more is
            new_at[name, thing] += 1
    touched += sum(abs(new_at[key] - old_at[key]) for key in {*new_at, *old_at})
    keyed = [part for part in comes if "t" in part.traits]
    return Distance(
        sum(1 for part in keyed if had.isdisjoint(part.traits["t"])),
        len(keyed),
        cautions,
        len(comes),
        touched,
        sum(part.preference for part in comes),
    )


@given(st.one_of(st.randoms(use_true_random=False), st.integers(0, 2**64).map(Random)))
def test_the_nearest_are_those_that_trying_all_finds(random: Random) -> None:
    whole = world(random)
    setting = Setting(whole.catalog, tuple(said for said in whole.statements if not isinstance(said, Keep)))
    held = held_in(setting, random)
    found: dict[Codes, Distance] = {}
    for assembly in whole_assemblies(setting):
        distance = distance_by_definition(setting, held, assembly)
        own = codes(assembly.parts.values())
        found[own] = min(found.get(own, distance), distance)
    nearest = Nearest(setting, held)
    if not found:
        assert nearest.distance is None
        assert (nearest.count, list(nearest.in_order())) == (0, [])
        return
    least = min(found.values())
    listed = list(nearest.in_order())
    assert nearest.distance == least
    assert {codes(near.assembly.parts.values()) for near in listed} == {own for own in found if found[own] == least}
    assert len(listed) == nearest.count
    for near in listed:
        assert near.assembly.parts.keys() == setting.application.positions.keys()
        assert distance_by_definition(setting, held, near.assembly) == near.distance == least
        told = fates(held, near, setting.application)
        comes = [fate for fate in told if fate.word == "comes" and not fate.host]
        assert sum(fate.pieces for fate in comes) == least.bought
        assert Counter({each: each.pieces for each in held}).total() == sum(f.pieces for f in told if f.old)
