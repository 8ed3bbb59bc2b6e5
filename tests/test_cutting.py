"""The window of a cut is what trying every step finds, and no other length is judged better than the one taken."""

from __future__ import annotations

from itertools import islice, product

from fitwright.solver.assembly import Assembly
from fitwright.solver.cutting import Window, cut_to_fit
from fitwright.solver.finding import Verdict, worst
from fitwright.solver.judge import judge
from fitwright.solver.part import Cut
from fitwright.solver.setting import Setting
from hypothesis import given
from hypothesis import strategies as st
from worlds import candidates, worlds

_cuts = st.builds(
    lambda low, length, step, tolerance: Cut("length", low, low + length, step, tolerance),
    st.integers(-20, 40),
    st.integers(0, 60),
    st.integers(1, 9),
    st.integers(0, 6),
)
_demands = st.lists(st.tuples(st.one_of(st.integers(-120, 120), st.integers(-4, 4)), st.integers(-3, 3)), max_size=4)


def _steps(cut: Cut | None) -> list[int]:
    assert cut is not None
    return list(range(cut.low, cut.high + 1, cut.step))


def _suits(cut: Cut, length: int, selective: bool, demands: list[tuple[int, int]]) -> bool:
    """Try the length as it may come out: at the wrong end of its tolerance, or at the right one."""
    ends = (length - cut.tolerance, length + cut.tolerance)
    pick = max if selective else min
    return all(pick(left + factor * end for end in ends) >= 0 for left, factor in demands)


@given(_cuts, st.booleans(), _demands)
def test_a_window_holds_the_steps_that_satisfy_every_demand(
    cut: Cut, selective: bool, demands: list[tuple[int, int]]
) -> None:
    window = Window.of(cut, selective, demands)
    expected = [length for length in _steps(cut) if _suits(cut, length, selective, demands)]
    assert list(range(window.low, window.high + 1, cut.step)) == expected
    assert bool(window) == bool(expected)


@given(_cuts, _demands)
def test_the_middle_leaves_the_most_room_and_can_be_shortened(cut: Cut, demands: list[tuple[int, int]]) -> None:
    window = Window.of(cut, False, demands)
    if window:
        steps = list(range(window.low, window.high + 1, cut.step))
        room = {length: min(length - window.low, window.high - length) for length in steps}
        assert window.middle == max(steps, key=lambda length: (room[length], length))


@given(worlds())
def test_no_other_length_is_judged_better(setting: Setting) -> None:
    cut = (parts for parts in candidates(setting) if any(own and own[0].design.cut for own in parts))
    for parts in islice(cut, 20):
        bill = dict(zip(setting.application.positions, parts, strict=True))
        places = [name for name, own in bill.items() if own and own[0].design.cut]
        lengths = [_asked_for(setting, name, bill[name][0].design.cut) for name in places]
        if not all(lengths):
            continue  # no part that can be cut so would stand there
        taken = _rank(setting, cut_to_fit(setting, bill))
        best = min(_rank(setting, Assembly(bill, dict(zip(places, some, strict=True)))) for some in product(*lengths))
        assert taken == best


def _asked_for(setting: Setting, position: str, cut: Cut | None) -> list[int]:
    assert cut is not None
    asked = [said for said in setting.measures if (said.position, said.dimension) == (position, cut.dimension)]
    return [length for length in _steps(cut) if all(said.admits(length) for said in asked)]


def _rank(setting: Setting, assembly: Assembly) -> int:
    verdicts = [finding.verdict for finding in judge(setting, assembly) if finding.where.startswith("stack")]
    return worst([Verdict.FITS, *verdicts]).rank


@given(worlds())
def test_a_part_that_nothing_suits_is_cut_to_one_of_its_lengths_all_the_same(setting: Setting) -> None:
    for parts in islice(candidates(setting), 50):
        assembly = cut_to_fit(setting, dict(zip(setting.application.positions, parts, strict=True)))
        for name, own in assembly.parts.items():
            assert (name in assembly.cuts) == bool(own and own[0].design.cut)
            if own and own[0].design.cut:
                assert assembly.cuts[name] in _steps(own[0].design.cut)
