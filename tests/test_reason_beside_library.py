"""Reasons beside an unrelated library: CPMpy (https://cpmpy.readthedocs.io), with its MUS tools over OR-Tools.

The job is stated to it over the raw items: a variable for the filling of each position (with its cut length), a switch
for each statement and check, and tables of the rows that the judge lets pass.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import islice
from random import Random
from typing import Any

import cpmpy
import pytest
from cpmpy.tools import mus, quickxplain
from fitwright.solver.assembly import Assembly
from fitwright.solver.element import Element
from fitwright.solver.reason import cores
from fitwright.solver.setting import Setting
from fitwright.solver.soft import SoftNetwork
from naive import Naive
from worlds import world

WORLDS = 9
"""So many worlds without an answer are compared."""


class Stated:
    """A job as constraints of the library; `switches` are the soft ones, one for each element."""

    def __init__(self, setting: Setting, elements: Sequence[Element]) -> None:
        self.switches = {element: cpmpy.boolvar(name=f"e{number}") for number, element in enumerate(elements)}
        self._elements = {switch.name: element for element, switch in self.switches.items()}
        naive = Naive(setting)
        names = list(setting.application.positions)
        numbers: list[dict[object, int]] = [{} for _ in names]
        rows: list[tuple[int, ...]] = []
        faults = [clauses for _, clauses in naive.tried]
        for assembly, _ in naive.tried:
            rows.append(
                tuple(
                    own.setdefault(_filling(assembly, name), len(own)) for name, own in zip(names, numbers, strict=True)
                )
            )
        items = [cpmpy.intvar(0, max(len(own) - 1, 0), name=name) for name, own in zip(names, numbers, strict=True)]
        self.hard: list[Any] = [_among(items, rows)]
        for clause in sorted({each for own in faults for each in own}, key=str):
            passing = [row for row, own in zip(rows, faults, strict=True) if clause not in own]
            switches = [self.switches[element] for element in clause]
            self.hard.append(cpmpy.all(switches).implies(_among(items, passing)))

    def holds(self, elements: Collection[Element]) -> bool:
        """Tell whether the library finds an assembly with these elements switched on."""
        return bool(cpmpy.Model(self.hard, [self.switches[element] for element in elements]).solve())

    def least(self, tool: Any) -> list[Element]:
        """Return the elements of a least conflict that one of the library's tools finds."""
        return [self._elements[switch.name] for switch in tool(list(self.switches.values()), hard=self.hard)]


def _filling(assembly: Assembly, name: str) -> object:
    return assembly.parts[name], assembly.cuts.get(name)


def _among(items: list[Any], rows: list[tuple[int, ...]]) -> Any:
    return cpmpy.Table(items, rows) if rows else cpmpy.BoolVal(False)


def overconstrained() -> Iterator[Setting]:
    """Yield worlds that have candidates and no answer, from one seed after another."""
    for seed in range(10_000):
        setting = world(Random(seed))
        soft = SoftNetwork(setting)
        if soft.exists(()) and not soft.exists(soft.elements):
            yield setting


@pytest.fixture(scope="module")
def settings() -> list[Setting]:
    return list(islice(overconstrained(), WORLDS))


def test_our_reasons_are_inconsistent_and_least_by_the_library(settings: list[Setting]) -> None:
    assert len(settings) == WORLDS
    sizes = set()
    for setting in settings:
        soft = SoftNetwork(setting)
        stated = Stated(setting, soft.elements)
        for core in islice(cores(soft), 2):
            assert not stated.holds(core)
            assert all(stated.holds([each for each in core if each != element]) for element in core)
            sizes.add(len(core))
    assert max(sizes) >= 3


@pytest.mark.parametrize("tool", [mus, quickxplain])
def test_the_least_conflicts_of_the_library_are_inconsistent_and_least_by_ours(
    settings: list[Setting], tool: Any
) -> None:
    for setting in settings[::3]:
        soft = SoftNetwork(setting)
        found = Stated(setting, soft.elements).least(tool)
        assert not soft.exists(found)
        assert all(soft.exists(set(found) - {element}) for element in found)
