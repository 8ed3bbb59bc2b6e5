"""Published tolerance stacks, each stated as a row of links and solved; an unrelated calculator agrees."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

import pytest
from dimstack import Dim
from dimstack.calc import RSS, WC
from dimstack.stack import Stack as OtherStack
from dimstack.tolerance import Bilateral
from fitwright.solver.answers import Answers, solve
from fitwright.solver.check import Gap
from fitwright.solver.finding import Finding, Verdict
from fitwright.solver.length import INCH, MM
from fitwright.solver.notation import parse_span
from fitwright.solver.share import SIGMAS_IN_TOLERANCE, deviation
from fitwright.solver.statement import Selective, Statement, Use
from scipy.stats import norm

from catalogs import catalog_of

_MIL = INCH // 1000

_MOTOR = [
    "-0.375 +0/-0.031",
    "0.032 +0.002/-0.002",
    "0.060 +0.003/-0.003",
    "0.438 +0/-0.015",
    "0.120 +0.005/-0.005",
    "1.500 +0.010/-0.004",
    "0.120 +0.005/-0.005",
    "0.438 +0/-0.015",
    "0.450 +0.007/-0.007",
    "-3.019 +0.012/-0",
    "0.300 +0.030/-0.030",
]
_PLATES = ["4.020 +0.005/-0.005", "-2.000 +0.005/-0.005", "-1.500 +0.003/-0.003", "-0.500 +0.002/-0.002"]
_COVER = ["-0.3190 +0.0050/-0.0050", "10.4860 +0.0100/-0.0100", "-0.3190 +0.0050/-0.0050"]
_RING = ["40 +0.10/-0.10", "-25 +0.05/-0.05", "-2 +0.03/-0.03", "-10 +0.05/-0.05"]

_STACKS = [
    # Dimensioning and Tolerancing Handbook, ch. 9: eleven links; gap .0615, worst case -.0340 to .1570, RSS .0381.
    # A minus sign is the direction of a link; its tolerance belongs to the part as measured.
    ("motor", "in", _MOTOR, "-0.0340", "0.1570", "0.0381"),
    # Worked tutorials: plate gap in a housing (RSS with the housing .00794); bearing cover (RSS .0122).
    ("plates", "in", _PLATES, "0.005", "0.035", "0.00794"),
    ("cover", "in", _COVER, "9.8280", "9.8680", "0.0122"),
    # Retaining ring: 3.00 published; tolerances computed.
    ("ring", "mm", _RING, "2.77", "3.23", "0.1261"),
]
_stacks = pytest.mark.parametrize(
    ("unit", "links", "low", "high", "rss"), [pytest.param(*stack[1:], id=stack[0]) for stack in _STACKS]
)


_LINK = """
  - code: {code}
    kind: {kind}
    title: link
    dimensions: {{length: {length}}}"""


def _stack(unit: str, links: Iterable[str], limits: str, *statements: Statement) -> Answers:
    """State links, each with its direction as a sign, as the parts of an application."""
    own = {f"p{number}": link for number, link in enumerate(links)}
    parts = [_LINK.format(code=name.upper(), kind=name, length=link.lstrip("-")) for name, link in own.items()]
    terms = [f"{'-' if link.startswith('-') else ''}{name}.length" for name, link in own.items()]
    text = f"""
format: fitwright-catalog/1
unit: {unit}
kinds: {{{", ".join(f"{name}: link" for name in own)}}}
parts:{"".join(parts)}
applications:
  row:
    title: row of links
    positions: {{{", ".join(f"{name}: {{kind: {name}}}" for name in own)}}}
    stacks:
      gap:
        title: gap
        sum: [{", ".join(terms)}]
        {limits}
        because: the row must go in
"""
    return solve(catalog_of(text), (Use("row", text="use row"), *statements))


@_stacks
def test_published_stacks_add_up_as_published(unit: str, links: list[str], low: str, high: str, rss: str) -> None:
    finding = _only(_stack(unit, links, "at least: -100"))
    size = INCH if unit == "in" else MM
    assert finding.measure is not None
    assert (finding.measure.low, finding.measure.high) == (int(Decimal(low) * size), int(Decimal(high) * size))
    assert _rss(unit, links) == pytest.approx(float(rss), abs=0.5 * 10.0 ** -(len(rss) - 2))


@_stacks
def test_stacks_agree_with_an_independent_calculator(
    unit: str, links: list[str], low: str, high: str, rss: str
) -> None:
    dims = []
    for link in links:
        nominal, tolerance = link.split(" ")
        plus, minus = tolerance.split("/")
        dims.append(Dim(float(nominal), Bilateral(float(plus), float(minus))))
    other = OtherStack(dims=dims)
    finding = _only(_stack(unit, links, "at least: -100"))
    size = INCH if unit == "in" else MM
    assert finding.measure is not None
    assert finding.measure.low / size == pytest.approx(WC(other).abs_lower, abs=1e-9)
    assert finding.measure.high / size == pytest.approx(WC(other).abs_upper, abs=1e-9)
    assert _rss(unit, links) == pytest.approx(RSS(other).tolerance.upper, abs=1e-9)


def _rss(unit: str, links: list[str]) -> float:
    size = INCH if unit == "in" else MM
    spans = [parse_span(link.lstrip("-"), "in" if unit == "in" else "mm") for link in links]
    return SIGMAS_IN_TOLERANCE * deviation(spans) / size


@_stacks
def test_a_published_stack_fits_up_to_its_worst_case(
    unit: str, links: list[str], low: str, high: str, rss: str
) -> None:
    step = Decimal("0.0001")
    exactly = _stack(unit, links, f"at least: {low}\n        at most: {high}")
    assert _only(exactly).verdict is Verdict.FITS
    assert _only(exactly).margin == 0
    assert not _stack(unit, links, f"at least: {Decimal(low) + step}").exist
    assert not _stack(unit, links, f"at most: {Decimal(high) - step}").exist


def test_the_eleven_links_clear_in_nearly_every_case() -> None:
    # Dimensioning and Tolerancing Handbook, ch. 9: gap .0615, RSS .0381; scipy for the tail.
    assert _stack("in", _MOTOR, "at least: 0").count() == 0
    finding = _only(_stack("in", _MOTOR, "at least: 0", Selective(text="selective")))
    assert finding.verdict is Verdict.SELECTED
    assert finding.margin == -34 * _MIL
    assert 1 - finding.share == pytest.approx(norm.cdf(0, 0.0615, 0.0381 / 3), rel=0.02)


def test_the_share_outside_two_limits_is_that_of_the_course_problem() -> None:
    # Course problem: N(9.51, .045) in 9.5 +- .1 leaves .0300 outside (scipy .030004). Three sigma are .135.
    finding = _only(_stack("mm", ["9.51 +0.135/-0.135"], "at least: 9.4\n        at most: 9.6", Selective(text="s")))
    expected = norm.cdf(9.4, 9.51, 0.045) + norm.sf(9.6, 9.51, 0.045)
    assert 1 - finding.share == pytest.approx(0.0300, abs=5e-5)
    assert 1 - finding.share == pytest.approx(expected, abs=1e-9)


def test_three_sigma_hold_the_published_share() -> None:
    # Within three sigma of a normal law lie 99.7300 % (any table of it).
    finding = _only(
        _stack("mm", ["10 +0.6/-0.6", "-10 +0.8/-0.8"], "at least: -1\n        at most: 1", Selective(text="s"))
    )
    assert finding.share == pytest.approx(0.997300, abs=5e-7)


def _only(answers: Answers) -> Finding:
    """Return the one finding of a gap on the one answer."""
    (assembly,) = answers.in_order()
    (finding,) = [each for each in answers.findings(assembly) if isinstance(each.check, Gap)]
    return finding
