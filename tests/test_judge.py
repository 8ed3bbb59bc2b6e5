"""The judge says what the definitions say: compared with a second, naive reading of them, and each finding once."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import islice
from random import Random

import pytest
from definitions import sum_verdict, verdict_by_definition
from fitwright.solver.assembly import Assembly
from fitwright.solver.catalog import Catalog
from fitwright.solver.check import Bound, Gap, Ref, Term
from fitwright.solver.finding import Finding, Verdict, worst
from fitwright.solver.judge import judge
from fitwright.solver.length import MM
from fitwright.solver.part import Part
from fitwright.solver.setting import Setting
from fitwright.solver.span import Span
from fitwright.solver.statement import Keep, Statement, Use, Want, Without
from hypothesis import assume, given
from hypothesis import strategies as st
from worlds import brute_force, candidates, worlds

from catalogs import catalog_of


def _ref(name: str) -> Ref:
    return Ref("part", name)


@given(worlds(), st.randoms(use_true_random=True))
def test_candidates_with_any_cut_are_judged_by_the_definitions(setting: Setting, random: Random) -> None:
    for parts in candidates(setting):
        bill = dict(zip(setting.application.positions, parts, strict=True))
        cuts = {name: random.choice(_lengths(own[0])) for name, own in bill.items() if own and own[0].design.cut}
        _compare(setting, Assembly(bill, cuts))


@given(worlds())
def test_every_single_change_of_an_answer_is_judged_by_the_definitions(setting: Setting) -> None:
    for assembly in islice(brute_force(setting).values(), 3):
        assert verdict_by_definition(setting, assembly).rank <= (Verdict.SELECTED.rank if setting.selective else 0)
        for changed in _changes(setting, assembly):
            _compare(setting, changed)


def _compare(setting: Setting, assembly: Assembly) -> None:
    found = worst([finding.verdict for finding in judge(setting, assembly)])
    assert found is verdict_by_definition(setting, assembly), assembly


def _lengths(part: Part) -> list[int]:
    """Return every length that the part may be cut to, and one off its steps."""
    cut = part.design.cut
    assert cut
    return [*range(cut.low, cut.high + 1, cut.step), cut.low + 1]


def _changes(setting: Setting, assembly: Assembly) -> Iterator[Assembly]:
    """Yield the assembly with one part replaced, added or taken away, or one cut changed."""
    for name, position in setting.application.positions.items():
        own = assembly.parts[name]
        others = [
            part
            for part in setting.catalog.parts.values()
            # A part of another kind must at least have the dimensions that the stacks read here.
            if part.kind in position.kinds or not part.design.cut
        ]
        for place in range(len(own)):
            rest = own[:place] + own[place + 1 :]
            for changed in (rest, *((*rest, part) for part in others)):
                yield from _recut(assembly, name, changed)
        for part in others:
            yield from _recut(assembly, name, (*own, part))
        if own and own[0].design.cut:
            for length in (*_lengths(own[0]), own[0].design.cut.high + own[0].design.cut.step):
                yield Assembly(assembly.parts, {**assembly.cuts, name: length})


def _recut(assembly: Assembly, name: str, parts: tuple[Part, ...]) -> Iterator[Assembly]:
    cuts = {place: length for place, length in assembly.cuts.items() if place != name}
    if parts and parts[0].design.cut:
        for length in _lengths(parts[0]):
            yield Assembly({**assembly.parts, name: parts}, {**cuts, name: length})
    else:
        yield Assembly({**assembly.parts, name: parts}, cuts)


# Each kind of finding once, with its numbers. The shelf is invented.

_SHELF = """
format: fitwright-catalog/1
unit: mm
kinds: {plate: plate, peg: peg, washer: washer, cap: cap}
traits:
  finish:
    applies to: visible
    values: {626: {symbol: US26D}, 652: {symbol: US26D}, 605: {symbol: US3}}
  hand: {}
interfaces:
  peg-in-hole:
    title: peg in a hole
    sides: [peg, hole]
    checks:
      - {same: shape, because: a square peg fits no round hole}
      - {within: peg.key, of: hole.keys, because: the key must enter}
      - {gap: [hole.width, -peg.width], at least: 0, at most: 0.5, because: it must slide and not rattle}
  glue: {title: glue, sides: [peg, hole], checks: [{same: shape, because: it must cover}]}
parts:
  - code: PLATE
    kind: plate
    title: plate
    traits: {finish: 626, hand: left}
    dimensions: {thickness: 5}
    features: {hole: {interface: peg-in-hole, side: hole, shape: round, keys: [a, b], width: 10.2 ± 0.1}}
  - {code: WASHER, kind: washer, title: washer, dimensions: {thickness: 1}}
  - {code: CAP, kind: cap, title: cap, traits: {finish: 652, hand: left}}
  - {code: CAP-BRASS, kind: cap, title: cap, traits: {finish: 605, hand: right}}
PEGS
applications:
  shelf:
    title: shelf
    positions:
      plate: {kind: plate, visible: true, title: shelf plate}
      peg: {kind: peg}
      washer: {kind: washer, optional: true, up to: 2}
      cap: {kind: cap, optional: true, visible: true}
    joints: {bore: [plate.hole, peg.tip]}
    stacks:
      flush:
        title: peg beyond the washers
        sum: [peg.length, -plate.thickness, -washer.thickness]
        at least: 0
        at most: 2
        because: it must not catch a sleeve
    rules: {hand: {same: [plate.hand, cap.hand], because: one hand throughout}}
    match: [finish]
"""
_PEG = """
  - code: {code}
    kind: peg
    title: peg
    {length}
    features: {{tip: {{interface: {interface}, side: {side}, {tip}}}}}
"""
_PEGS = {
    "PEG": {},
    "PEG-FAT": {"tip": "shape: round, key: a, width: 10.1 ± 0.1"},
    "PEG-HUGE": {"tip": "shape: round, key: a, width: 10.6 ± 0.1"},
    "PEG-SQUARE": {"tip": "shape: square, key: a, width: 10 ± 0.1"},
    "PEG-C": {"tip": "shape: round, key: c, width: 10 ± 0.1"},
    "PEG-TWIN": {"tip": "shape: round, key: a, width: 10 ± 0.1, count: 2"},
    "PEG-GLUED": {"interface": "glue", "tip": "shape: round"},
    "PEG-HOLLOW": {"side": "hole", "tip": "shape: round, keys: a, width: 10 ± 0.1"},
    "ROD": {"length": "cut: {dimension: length, from: 5, to: 9, step: 0.5, tolerance: 0.25}"},
}


@cache
def _shelf() -> Catalog:
    usual = {
        "length": "dimensions: {length: 6 ± 0.1}",
        "interface": "peg-in-hole",
        "side": "peg",
        "tip": "shape: round, key: a, width: 10 ± 0.1",
    }
    pegs = "".join(_PEG.format(code=code, **{**usual, **special}) for code, special in _PEGS.items())
    return catalog_of(_SHELF.replace("PEGS\n", pegs))


def _finding(bill: str, where: str, *statements: Statement, cuts: dict[str, int] | None = None) -> Finding:
    """Return the worst finding at a place."""
    return max(_findings(bill, where, *statements, cuts=cuts), key=lambda finding: finding.verdict.rank)


def _findings(bill: str, where: str, *statements: Statement, cuts: dict[str, int] | None = None) -> list[Finding]:
    """Judge a bill such as `plate PLATE, peg PEG` and return what is found at a place, which must be something."""
    catalog = _shelf()
    parts: dict[str, tuple[Part, ...]] = {}
    for entry in bill.split(", "):
        name, *of_it = entry.split()
        parts[name] = tuple(catalog.parts[code] for code in of_it)
    findings = judge(Setting(catalog, (Use("shelf", text="use shelf"), *statements)), Assembly(parts, cuts or {}))
    there = [finding for finding in findings if finding.where == where]
    assert there, [finding.where for finding in findings]
    return there


_JOINT = "joint bore: plate.hole - peg.tip"


@pytest.mark.parametrize(
    ("peg", "low", "high", "margin", "verdict"),
    [
        ("PEG", 0, 4, 0, Verdict.FITS),
        ("PEG-FAT", -1, 3, -1, Verdict.SELECTED),
        ("PEG-HUGE", -6, -2, -6, Verdict.FAILS),
    ],
)
def test_a_gap_is_found_with_its_worst_case_and_margin(
    peg: str, low: int, high: int, margin: int, verdict: Verdict
) -> None:
    (finding,) = [finding for finding in _findings(f"plate PLATE, peg {peg}", _JOINT) if finding.measure]
    tenth = MM // 10
    assert finding.measure == Span(low * tenth, (low + high) // 2 * tenth, high * tenth)
    assert finding.margin == margin * tenth
    assert finding.verdict is verdict
    assert finding.because == "it must slide and not rattle"
    assert finding.source is not None
    assert _SHELF.splitlines()[finding.source.line - 1].lstrip().startswith("- {gap:")


@pytest.mark.parametrize(
    ("peg", "compared", "because"),
    [
        ("PEG-SQUARE", "square | round", "a square peg fits no round hole"),
        ("PEG-C", "c | a b", "the key must enter"),
    ],
)
def test_words_that_differ_are_found_with_both_sides(peg: str, compared: str, because: str) -> None:
    finding = _finding(f"plate PLATE, peg {peg}", _JOINT)
    assert (finding.verdict, finding.compared, finding.because) == (Verdict.FAILS, compared, because)
    assert (finding.measure, finding.margin, finding.share) == (None, None, 0.0)


@pytest.mark.parametrize(
    ("washers", "margin", "verdict"),
    [
        ("", 9, Verdict.FITS),
        (" WASHER", -1, Verdict.SELECTED),
        (" WASHER WASHER", -11, Verdict.FAILS),
    ],
)
def test_a_stack_adds_up_every_repeated_part(washers: str, margin: int, verdict: Verdict) -> None:
    finding = _finding(f"plate PLATE, peg PEG, washer{washers}", "stack flush")
    assert (finding.margin, finding.verdict) == (margin * MM // 10, verdict)


@pytest.mark.parametrize(
    ("least", "most", "verdict"),
    [
        (Span.exact(10), Span.exact(20), Verdict.SELECTED),
        (Span.exact(20), Span.exact(20), Verdict.SELECTED),
        (Span.exact(20), Span.exact(19), Verdict.FAILS),  # each bound can be met, but never both
        (Span(15, 20, 25), Span(5, 10, 15), Verdict.SELECTED),
        (Span(16, 20, 25), Span(5, 10, 15), Verdict.FAILS),
    ],
)
def test_bounds_that_exclude_each_other_cannot_be_met_by_selecting(least: Span, most: Span, verdict: Verdict) -> None:
    own = {"least": least, "most": most, "length": Span(0, 15, 30)}
    terms = {name: (Term(1, Ref("part", name)),) for name in own}
    gap = Gap(terms["length"], terms["least"], terms["most"], "room between two others")
    assert gap.judge(lambda ref: own[ref.name], "here").verdict is verdict


_SUMS = st.lists(st.builds(Term, st.sampled_from([-3, -2, -1, 1, 2, 3]), st.sampled_from("abc").map(_ref)), max_size=4)
_BOUNDS = st.none() | st.integers(-20, 20) | _SUMS.map(tuple)


@given(_SUMS.map(tuple), _BOUNDS, _BOUNDS, st.tuples(*[st.tuples(st.integers(-10, 10), st.integers(0, 10))] * 3))
def test_a_sum_and_its_bounds_may_share_dimensions_in_any_way(
    terms: tuple[Term, ...], least: Bound | None, most: Bound | None, ends: tuple[tuple[int, int], ...]
) -> None:
    assume((least, most) != (None, None))
    own = {_ref(name): Span(low, low, low + width) for name, (low, width) in zip("abc", ends, strict=True)}
    found = Gap(terms, least, most, "room").judge(own.__getitem__, "here").verdict
    assert found is sum_verdict(terms, least, most, lambda ref: [own[ref]])


def test_a_stack_counts_the_tolerance_of_a_cut() -> None:
    finding = _finding("plate PLATE, peg ROD", "stack flush", cuts={"peg": 6 * MM})
    assert finding.measure == Span(3 * MM // 4, MM, 5 * MM // 4)


@pytest.mark.parametrize(
    ("bill", "where", "words"),
    [
        ("plate PLATE", "peg", "peg"),
        ("plate PLATE PLATE, peg PEG", "plate", "2"),
        ("plate PLATE, peg PEG, washer WASHER WASHER WASHER", "washer", "3"),
        ("plate PLATE, peg PEG, cap WASHER", "cap", "WASHER is a washer"),
        ("plate PLATE, peg PEG, shade CAP", "shade", "shelf"),
        ("plate PLATE, peg ROD", "peg", "ROD is not cut"),
        ("plate PLATE, peg PEG-GLUED", _JOINT, "not made for each other"),
        ("plate PLATE, peg PEG-HOLLOW", _JOINT, "not made for each other"),
        ("plate PLATE, peg PEG-TWIN", _JOINT, "1 meet 2"),
        ("plate PLATE, peg PEG, cap CAP-BRASS", "match finish", "PLATE is US26D, CAP-BRASS is US3"),
    ],
)
def test_each_fault_says_where_it_is_and_why(bill: str, where: str, words: str) -> None:
    finding = _finding(bill, where)
    assert finding.verdict is Verdict.FAILS
    assert words in finding.because


def test_a_rule_compares_both_words() -> None:
    finding = _finding("plate PLATE, peg PEG, cap CAP-BRASS", "rule hand")
    assert (finding.verdict, finding.compared) == (Verdict.FAILS, "left | right")
    assert _finding("plate PLATE, peg PEG, cap CAP", "rule hand").verdict is Verdict.FITS


@pytest.mark.parametrize(
    ("length", "sound"),
    [
        (5.0, True),
        (7.5, True),
        (9.0, True),
        (4.5, False),
        (9.5, False),
        (6.2, False),
    ],
)
def test_a_cut_must_be_on_its_steps(length: float, sound: bool) -> None:
    catalog = _shelf()
    parts = {"plate": (catalog.parts["PLATE"],), "peg": (catalog.parts["ROD"],)}
    assembly = Assembly(parts, {"peg": round(length * MM)})
    findings = judge(Setting(catalog, (Use("shelf", text="use shelf"),)), assembly)
    assert ("peg" not in {finding.where for finding in findings}) == sound


def test_a_statement_that_refuses_a_part_is_named() -> None:
    want = Want("finish", ("605",), text="want finish 605")
    assert _finding("plate PLATE, peg PEG", "plate", want).check == "want finish 605"
    assert "PEG" in _finding("plate PLATE, peg PEG", "peg", Without(("PEG",), text="without PEG")).because


def test_a_part_to_keep_must_be_used() -> None:
    keep = Keep(("CAP",), text="keep CAP")
    assert "CAP" in _finding("plate PLATE, peg PEG", "bill", keep).because
    settled = Setting(_shelf(), (Use("shelf", text="use shelf"), keep))
    parts = {name: (_shelf().parts[code],) for name, code in [("plate", "PLATE"), ("peg", "PEG"), ("cap", "CAP")]}
    assert all(finding.verdict is Verdict.FITS for finding in judge(settled, Assembly(parts)))


def test_a_part_of_the_wrong_kind_is_a_finding_even_where_a_stack_reads_it() -> None:
    assert "CAP is a cap" in _finding("plate PLATE, peg CAP", "peg").because
