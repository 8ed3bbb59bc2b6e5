"""Published figures, each stated as a small job and solved. The parts are invented; the figures are not."""

from __future__ import annotations

from decimal import Decimal
from math import sqrt
from pathlib import Path

import pytest
from fitwright.solver.answers import Answers, solve
from fitwright.solver.catalog import Catalog
from fitwright.solver.check import Gap
from fitwright.solver.finding import Finding, Verdict
from fitwright.solver.hand import parse_hand
from fitwright.solver.length import INCH, MM
from fitwright.solver.notation import parse_span
from fitwright.solver.statement import Door, OpeningIs, Selective, Statement, Use, Want
from scipy.stats import norm

from catalogs import catalog_of

_CASES = Path(__file__).parent / "cases" / "published"
_MIL = INCH // 1000
_MICRON = MM // 1000
_TENTH_MIL = INCH // 10_000


def _asked(catalog: Catalog, *statements: Statement) -> Answers:
    (application,) = catalog.applications
    return solve(catalog, (Use(application, text=f"use {application}"), *statements))


def _only(answers: Answers, check: type = Gap) -> Finding:
    """Return the one finding of a kind on the one answer."""
    (assembly,) = answers.in_order()
    (finding,) = [each for each in answers.findings(assembly) if isinstance(each.check, check)]
    return finding


def _case(name: str) -> Catalog:
    return catalog_of((_CASES / f"{name}.yaml").read_text(encoding="utf-8"))


def _codes(answers: Answers) -> set[str]:
    return {" ".join(part.code for part in assembly.all_parts) for assembly in answers.in_order()}


# Threads: the least play of a 2A thread in a 2B thread is the allowance of the table.


def _threads(external: str, internal: str) -> Answers:
    return _asked(
        catalog_of(f"""
format: fitwright-catalog/1
unit: in
kinds: {{core: core, shell: shell}}
interfaces:
  screw-thread:
    title: screw thread
    sides: [external, internal]
    checks:
      - {{same: thread, because: one diameter and one pitch}}
      - {{gap: [internal.pitch, -external.pitch], at least: 0 in, because: the flanks must clear}}
parts:
  - code: CORE
    kind: core
    title: core
    features: {{body: {{interface: screw-thread, side: external, thread: {external}-2A}}}}
  - code: SHELL
    kind: shell
    title: shell
    features: {{bore: {{interface: screw-thread, side: internal, thread: {internal}-2B}}}}
applications:
  mortise:
    title: threaded core
    positions: {{shell: {{kind: shell}}, core: {{kind: core}}}}
    joints: {{screwed: [shell.bore, core.body]}}
""")
    )


@pytest.mark.parametrize(
    ("thread", "least", "most"),
    [
        # ASME B1.1-2019: allowance of 2A, and the highest 2B less the lowest 2A pitch diameter (ten-thousandths).
        ("10-24 UNC", 10, 1672 - 1586),
        ("10-32 UNF", 9, 1736 - 1658),
        ("1/4-20 UNC", 11, 2224 - 2127),
        ("1/2-13 UNC", 15, 4565 - 4435),
        ("1-14 UNS", 16, 9605 - 9467),
        ("5/8-32 UN", 11, 6093 - 6000),
        # By the formulas of ASME B1.1 with an engagement of nine pitches; that the trade threads mortise cylinders
        # 1.150-32 is common practice.
        ("1.150-32 UNS", 12, 11347 - 11246),
    ],
)
def test_a_thread_turns_into_its_own_with_the_published_allowance(thread: str, least: int, most: int) -> None:
    finding = _only(_threads(thread, thread))
    assert finding.verdict is Verdict.FITS
    assert finding.measure is not None
    assert (finding.measure.low, finding.measure.high) == (least * _TENTH_MIL, most * _TENTH_MIL)
    assert finding.margin == least * _TENTH_MIL


@pytest.mark.parametrize(
    ("external", "internal"),
    [
        ("1.150-32 UNS", "1-14 UNS"),
        ("10-24 UNC", "10-32 UNF"),
        ("1-14 UNS", "1.150-32 UNS"),
    ],
)
def test_a_thread_does_not_enter_another(external: str, internal: str) -> None:
    assert _threads(external, internal).count() == 0


# Limits and fits.


def _fit(hole: str, shaft: str, *statements: Statement, gap: str = "at least: 0") -> Answers:
    return _asked(
        catalog_of(f"""
format: fitwright-catalog/1
unit: in
kinds: {{plate: plate, pin: pin}}
interfaces:
  bore:
    title: pin in a bore
    sides: [hole, shaft]
    checks: [{{gap: [hole.width, -shaft.width], {gap}, because: it must go in by hand}}]
parts:
  - {{code: PLATE, kind: plate, title: plate, features: {{bore: {{interface: bore, side: hole, width: {hole}}}}}}}
  - {{code: PIN, kind: pin, title: pin, features: {{end: {{interface: bore, side: shaft, width: {shaft}}}}}}}
applications:
  pinned:
    title: pinned plate
    positions: {{plate: {{kind: plate}}, pin: {{kind: pin}}}}
    joints: {{bored: [plate.bore, pin.end]}}
"""),
        *statements,
    )


# Highest and lowest deviation of hole and of shaft, then the least and the greatest clearance.
_FITS = [
    # Micrometres. Deviations: ISO 286-2 (IT6, IT7, IT8 of 18-30 mm are 13, 21, 33, of 30-50 mm 16, 25, 39).
    # Clearances: worked examples of machine-design textbooks.
    ("25 H7/g6", "mm", 25, (21, 0), (-7, -20), 7, 41),
    ("50 H8/f7", "mm", 50, (39, 0), (-25, -50), 25, 89),
    ("50 H7/f7", "mm", 50, (25, 0), (-25, -50), 25, 75),
    ("20 H6/e7", "mm", 20, (13, 0), (-40, -61), 40, 74),
    ("20 H7/k6", "mm", 20, (21, 0), (15, 2), -15, 19),
    ("40 H7/p6", "mm", 40, (25, 0), (42, 26), -42, -1),
    ("50 H7/s6", "mm", 50, (25, 0), (59, 43), -59, -18),
    ("100 H7/p6", "mm", 100, (35, 0), (59, 37), -59, -2),
    # Ten-thousandths of an inch: ANSI B4.1 as in Machinery's Handbook 31, table 8a.
    ("RC 4 at 1 in", "in", 1, (12, 0), (-8, -16), 8, 28),
    ("RC 4 at 1.5 in", "in", Decimal("1.5"), (16, 0), (-10, -20), 10, 36),
    ("RC 3 at 1 in", "in", 1, (8, 0), (-8, -13), 8, 21),
]
_STEP = {"mm": _MICRON, "in": _TENTH_MIL}


def _limits(unit: str, nominal: Decimal | int, deviations: tuple[int, int]) -> str:
    step = Decimal("0.001") if unit == "mm" else Decimal("0.0001")
    highest, lowest = (nominal + step * deviation for deviation in deviations)
    return f"{lowest}..{highest} {unit}"


_Row = tuple[str, str, Decimal | int, tuple[int, int], tuple[int, int], int, int]


def _named(fit: _Row, *statements: Statement, gap: str = "at least: 0") -> Answers:
    _, unit, nominal, hole, shaft, _, _ = fit
    return _fit(_limits(unit, nominal, hole), _limits(unit, nominal, shaft), *statements, gap=gap)


_fits = pytest.mark.parametrize("fit", [pytest.param(fit, id=fit[0]) for fit in _FITS])


@_fits
def test_published_fits_clear_as_published(fit: _Row) -> None:
    _, unit, _, _, _, low, high = fit
    expected = Verdict.FITS if low >= 0 else Verdict.SELECTED if high >= 0 else Verdict.FAILS
    assert _named(fit).exist == (expected is Verdict.FITS)
    selective = _named(fit, Selective(text="selective"))
    assert selective.exist == (expected is not Verdict.FAILS)
    assert selective.verdict() is expected
    if selective.exist:
        finding = _only(selective)
        assert finding.measure is not None
        step = _STEP[unit]
        assert (finding.measure.low, finding.measure.high) == (low * step, high * step)
        assert finding.margin == low * step


@_fits
def test_published_limits_of_a_fit_are_exact(fit: _Row) -> None:
    _, unit, _, _, _, low, high = fit
    step = Decimal("0.001") if unit == "mm" else Decimal("0.0001")

    def within(least: int, most: int) -> bool:
        return _named(fit, gap=f"at least: {least * step} {unit}, at most: {most * step} {unit}").exist

    assert within(low, high)
    assert not within(low + 1, high)
    assert not within(low, high - 1)


def test_the_share_of_a_transition_fit_is_that_of_a_normal_law() -> None:
    # 20 H7/k6 (ISO 286-2), each deviation three sigma about its middle; scipy as the independent oracle.
    finding = _only(_fit("20..20.021 mm", "20.002..20.015 mm", Selective(text="selective")))
    middle, sigma = (21 + 0) / 2 - (15 + 2) / 2, sqrt((21 / 6) ** 2 + (13 / 6) ** 2)
    assert finding.share == pytest.approx(norm.sf(0, middle, sigma), abs=1e-9)


def _bolted(centres: str) -> Answers:
    """Two bolts through a plate: the centres may be off by half of each play, so once the play of one."""
    return _asked(
        catalog_of(f"""
format: fitwright-catalog/1
unit: mm
kinds: {{plate: plate, frame: frame}}
parts:
  - {{code: FRAME, kind: frame, title: frame, dimensions: {{centres: 50, bolt: 11.84..11.95}}}}
  - {{code: PLATE, kind: plate, title: plate, dimensions: {{centres: {centres}, hole: 12..12.11}}}}
applications:
  bolted:
    title: plate on two bolts
    positions: {{frame: {{kind: frame}}, plate: {{kind: plate}}}}
    joints: {{}}
    stacks:
      centres:
        title: centres
        sum: [plate.centres, -frame.centres]
        at least: [frame.bolt, -plate.hole]
        at most: [plate.hole, -frame.bolt]
        because: both bolts must enter
""")
    )


def test_two_bolts_enter_holes_at_the_published_centres() -> None:
    # 12 H11/d11 (ISO 286-2) at 50 mm: hole centres 49.950 to 50.050 (worked example of a machine-design textbook).
    assert _bolted("50 ± 0.050").exist
    assert not _bolted("50 +0.051/-0.050").exist
    assert not _bolted("50 +0.050/-0.051").exist


# Doors.


def test_the_worked_profile_cylinder_is_the_only_one() -> None:
    # Worked example: 20 + 8 = 28 on one side and 20 + 20 = 40 on the other -> 30/40, lengths in steps of 5 mm;
    # at most 3 mm beyond the escutcheon outside (EN 1906). The lock in the middle of the door: common practice.
    answers = _asked(_case("profile"), Door(parse_span("40 mm"), text="door 40 mm"))
    found = {
        (assembly.parts["outer"][0].code, assembly.parts["cylinder"][0].code, assembly.parts["inner"][0].code)
        for assembly in answers.in_order()
    }
    assert ("PLATE-OUT", "C-30-40", "PLATE-IN") in found
    assert {cylinder for outer, cylinder, inner in found if (outer, inner) == ("PLATE-OUT", "PLATE-IN")} == {"C-30-40"}
    assert found == {
        ("PLATE-OUT", "C-30-40", "PLATE-IN"),
        ("PLATE-IN", "C-40-30", "PLATE-OUT"),
        ("PLATE-OUT", "C-30-30", "PLATE-OUT"),
        ("PLATE-IN", "C-40-40", "PLATE-IN"),
    }


@pytest.mark.parametrize(
    ("door", "cylinders"),
    [
        ("38 mm", {"C-30-30"}),  # 30 - 19 - 8 = 3 mm: just allowed
        ("37.9 mm", set()),  # 3.05 mm
        ("44 mm", {"C-30-30"}),  # flush
        ("44.1 mm", set()),
        ("48 mm", {"C-35-35"}),
    ],
)
def test_a_cylinder_projects_three_millimetres_at_most(door: str, cylinders: set[str]) -> None:
    # EN 1906: at most 3 mm beyond the escutcheon.
    answers = _asked(_case("profile"), Door(parse_span(door), text=f"door {door}"))
    assert {
        assembly.parts["cylinder"][0].code
        for assembly in answers.in_order()
        if assembly.parts["outer"] == assembly.parts["inner"] and assembly.parts["outer"][0].code == "PLATE-OUT"
    } == cylinders


@pytest.mark.parametrize(
    ("word", "looks"),
    [
        # ANSI/BHMA A156.18: US26D names a look that 626 (on brass or bronze) and 652 (on steel) share; US3 605 and 632.
        ("US26D", {("626", "626"), ("626", "652"), ("652", "626"), ("652", "652")}),
        ("626", {("626", "626")}),
        ("US3", {("605", "605"), ("605", "632"), ("632", "605"), ("632", "632")}),
        ("US32D", {("630", "630")}),
    ],
)
def test_a_symbol_names_a_look_and_a_number_names_a_finish(word: str, looks: set[tuple[str, str]]) -> None:
    catalog = _case("finishes")
    want = Want("finish", catalog.traits["finish"].named(word), text=f"want finish {word}")
    found = {
        tuple(part.traits["finish"][0] for part in assembly.all_parts) for assembly in _asked(catalog, want).in_order()
    }
    assert found == looks


def test_finishes_match_where_they_look_alike() -> None:
    # ANSI/BHMA A156.18: 626 and 652 match in look, not in base metal; so do 605 and 632. 630 stands alone here.
    assert _asked(_case("finishes")).count() == 4 + 4 + 1


@pytest.mark.parametrize(("inside", "lock"), [("LH", "RHR"), ("RHR", "LH"), ("RH", "LHR"), ("LHR", "RH")])
def test_a_hand_seen_from_inside_is_turned(inside: str, lock: str) -> None:
    # Trade definition of hand, seen from the key side; that swapping sides maps LH to RHR and RH to LHR is derived.
    seen = parse_hand(inside)
    catalog = _case("handed")
    as_seen = OpeningIs("hand", (seen.value,), text=f"opening hand {inside}")
    turned = OpeningIs("hand", (seen.from_other_side.value,), text=f"opening hand {inside} from inside")
    assert _codes(_asked(catalog, as_seen)) == {f"LOCK-{inside}"}
    assert _codes(_asked(catalog, turned)) == {f"LOCK-{lock}"}


@pytest.mark.parametrize(
    ("written", "bolt"),
    [
        # 1 in = 25.4 mm exactly (agreement of 1959). Mixed fractions as the trade writes them; a general unit library
        # that reads from left to right takes `1 1/8 inch` for an eighth and `4 1/2 in` for two inches.
        ("1-3/8 in", "BOLT-B"),
        ('1 3/8"', "BOLT-B"),
        ("1.375 in", "BOLT-B"),
        ("34.925 mm", "BOLT-B"),
        ("1 1/8 inch", "BOLT-A"),
        ("28.575 mm", "BOLT-A"),
        ("4 1/2 in", "BOLT-D"),
        ("2 in", "BOLT-C"),
        ("1/8 in", "BOLT-E"),
        ("1-3/4 in", "BOLT-F"),
        ("44.45 mm", "BOLT-F"),
    ],
)
def test_a_mixed_fraction_in_a_job_is_the_length_that_the_trade_means(written: str, bolt: str) -> None:
    assert _codes(_asked(_case("lengths"), Door(parse_span(written), text=f"door {written}"))) == {bolt}


@pytest.mark.parametrize(("wanted", "lowest"), [(("1",), 1), (("1", "2"), 2), (("1", "2", "3"), 3)])
def test_an_assembly_has_the_grade_of_its_lowest_part(wanted: tuple[str, ...], lowest: int) -> None:
    # ANSI/BHMA A156.2, 3.1. Grade 1 is the best, so the lowest part has the greatest number.
    catalog = _case("graded")
    answers = _asked(catalog, Want("grade", wanted, text="want grade"))
    everything = _asked(catalog)
    expected = {
        assembly.all_parts
        for assembly in everything.in_order()
        if max(int(part.traits["grade"][0]) for part in assembly.all_parts) <= lowest
    }
    assert {assembly.all_parts for assembly in answers.in_order()} == expected
    assert len(expected) == lowest**3


@pytest.mark.parametrize(("preparation", "latch"), [("160", "LATCH-238"), ("161", "LATCH-234")])
def test_a_preparation_takes_the_latch_of_its_backset(preparation: str, latch: str) -> None:
    # 160: 2-1/8 in cross bore, 2-3/8 in backset; 161: 2-1/8, 2-3/4; edge bore 1 in (trade glossary).
    said = OpeningIs("preparation", (preparation,), text=f"opening preparation {preparation}")
    assert _codes(_asked(_case("bored"), said)) == {f"CHASSIS {latch}"}


def test_what_the_door_is_prepared_for_is_left_open_where_it_is_not_said() -> None:
    answers = _asked(_case("bored"))
    assert {tuple(codes.split()) for codes in _codes(answers)} == {
        (chassis, latch) for chassis in ("CHASSIS", "CHASSIS-WIDE") for latch in ("LATCH-238", "LATCH-234")
    }
    assert set(answers.setting.unstated) == {"backset", "edge-bore", "preparation"}
