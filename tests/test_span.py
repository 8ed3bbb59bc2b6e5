"""Spans obey the laws of interval arithmetic, and no sum of lengths falls outside the sum of spans."""

from itertools import product

import pytest
from fitwright.solver.length import INCH, MM
from fitwright.solver.span import Span
from hypothesis import given
from hypothesis import strategies as st

_BOUNDS = (-(10**30), -INCH, -1, 0, 1, INCH // 128, MM, INCH, 10**30)
POOL = [
    Span(low, nominal, high)
    for low, nominal, high in product(_BOUNDS, repeat=3)
    if low <= nominal <= high and (low == nominal or nominal == high or low == -high)
]


@st.composite
def spans(draw: st.DrawFn) -> Span:
    bounds = st.one_of(st.integers(-1000, 1000), st.integers(-(10**12), 10**12))
    return Span(*sorted(draw(st.tuples(bounds, bounds, bounds))))


SPANS = st.one_of(st.sampled_from(POOL), spans())
FACTORS = st.integers(-12, 12)


def _limits(span: Span | None) -> tuple[int, int] | None:
    return (span.low, span.high) if span else None


@pytest.mark.parametrize("bounds", [(1, 0, 2), (0, 3, 2), (2, 1, 0), (0, 0, -1), (1, 0, 0)])
def test_bounds_out_of_order_are_refused(bounds: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match="low <= nominal <= high"):
        Span(*bounds)


def test_a_negative_tolerance_is_refused() -> None:
    with pytest.raises(ValueError, match="low <= nominal <= high"):
        Span.plus_minus(10, -1)


def test_only_whole_numbers_multiply_and_only_spans_add() -> None:
    with pytest.raises(TypeError):
        Span.exact(1) * 0.5  # type: ignore[operator]
    with pytest.raises(TypeError):
        Span.exact(1) + 1  # type: ignore[operator]
    with pytest.raises(TypeError):
        Span.exact(1) - 1  # type: ignore[operator]


@given(SPANS, SPANS, SPANS)
def test_addition_is_commutative_and_associative_with_a_zero(a: Span, b: Span, c: Span) -> None:
    assert a + b == b + a
    assert (a + b) + c == a + (b + c)
    assert a + Span.exact(0) == a


@given(SPANS, SPANS)
def test_negation_turns_round_and_back(a: Span, b: Span) -> None:
    turned = -a
    assert -turned == a
    assert -(a + b) == -a + -b
    assert a - b == a + -b
    assert -(a - b) == b - a
    assert -a == a * -1


@given(SPANS)
def test_a_span_less_itself_holds_zero_and_twice_its_tolerance(a: Span) -> None:
    assert (a - a).contains(0)
    assert (a - a).width == 2 * a.width


@given(SPANS, SPANS, FACTORS, FACTORS)
def test_whole_factors_distribute(a: Span, b: Span, m: int, n: int) -> None:
    assert (a + b) * n == a * n + b * n
    assert n * a == a * n
    assert (a * m) * n == a * (m * n)
    assert (a * (m + n)).within(a * m + a * n)
    if m * n >= 0:
        assert a * (m + n) == a * m + a * n


@given(SPANS, st.integers(0, 12))
def test_a_factor_is_a_repeated_sum(a: Span, n: int) -> None:
    assert Span.total([a] * n) == a * n


@given(st.lists(SPANS, max_size=8))
def test_a_total_is_the_sum_in_any_order(terms: list[Span]) -> None:
    total = Span.exact(0)
    for term in terms:
        total = total + term
    assert Span.total(iter(terms)) == total == Span.total(reversed(terms))


@given(SPANS, SPANS, SPANS, FACTORS)
def test_wider_terms_give_no_narrower_results(a: Span, b: Span, c: Span, n: int) -> None:
    wider = a.hull(c)
    assert (a + b).within(wider + b)
    assert (a - b).within(wider - b)
    assert (b - a).within(b - wider)
    assert (a * n).within(wider * n)


@given(st.lists(st.tuples(SPANS, st.fractions(0, 1), FACTORS), max_size=6))
def test_every_sum_of_lengths_lies_in_the_sum_of_spans(terms: list[tuple[Span, float, int]]) -> None:
    lengths = [span.low + int(span.width * share) for span, share, _ in terms]
    assert all(span.contains(length) for (span, _, _), length in zip(terms, lengths, strict=True))
    total = Span.total(span * factor for span, _, factor in terms)
    assert total.contains(sum(length * term[2] for length, term in zip(lengths, terms, strict=True)))


@given(st.lists(st.tuples(SPANS, FACTORS), max_size=5))
def test_the_ends_of_a_sum_are_reached(terms: list[tuple[Span, int]]) -> None:
    total = Span.total(span * factor for span, factor in terms)
    corners = [sum(ends) for ends in product(*((span.low * factor, span.high * factor) for span, factor in terms))]
    assert (min(corners), max(corners)) == (total.low, total.high)


@given(SPANS, SPANS)
def test_overlap_and_intersection_say_the_same(a: Span, b: Span) -> None:
    both = a.intersection(b)
    assert (both is not None) == a.overlaps(b) == b.overlaps(a) == (a - b).contains(0)
    assert _limits(both) == _limits(b.intersection(a))
    if both:
        assert both.within(a)
        assert both.within(b)
        assert both.nominal == a.nominal or both.nominal in (both.low, both.high)


@given(SPANS, SPANS)
def test_within_is_intersection_without_loss_and_hull_without_gain(a: Span, b: Span) -> None:
    assert a.within(b) == (_limits(a.intersection(b)) == _limits(a)) == (_limits(b.hull(a)) == _limits(b))
    assert a.within(a.hull(b))
    assert b.within(a.hull(b))
    assert a.hull(b).nominal == a.nominal


@given(SPANS, st.integers(-2000, 2000))
def test_contains_is_within_for_one_length(a: Span, length: int) -> None:
    assert a.contains(length) == Span.exact(length).within(a) == a.overlaps(Span.exact(length))


def test_touching_spans_overlap_in_one_length() -> None:
    assert Span(0, 1, 5).intersection(Span(5, 8, 9)) == Span.exact(5)
    assert Span(0, 1, 5).intersection(Span(6, 8, 9)) is None


@given(SPANS)
def test_equal_spans_hash_alike(a: Span) -> None:
    assert len({a, Span(a.low, a.nominal, a.high), a + Span.exact(1)}) == 2


# Worst-case stacks of published examples in ten-thousandths of an inch: (sign, nominal, plus, minus); the
# deviations are those of the part, before its dimension is added or taken off.
_STACKS = {
    "eleven-link motor (Dimensioning and Tolerancing Handbook, ch. 9)": (
        [
            (-1, 3750, 0, 310), (1, 320, 20, 20), (1, 600, 30, 30), (1, 4380, 0, 150), (1, 1200, 50, 50),
            (1, 15000, 100, 40), (1, 1200, 50, 50), (1, 4380, 0, 150), (1, 4500, 70, 70),
            (-1, 30190, 120, 0), (1, 3000, 300, 300),
        ],
        (-340, 1570),
    ),
    "plate gap (worked tutorial)": (
        [(1, 40200, 50, 50), (-1, 20000, 50, 50), (-1, 15000, 30, 30), (-1, 5000, 20, 20)],
        (50, 350),
    ),
    "bearing cover (worked tutorial)": (
        [(-1, 3190, 50, 50), (1, 104860, 100, 100), (-1, 3190, 50, 50)],
        (98480 - 200, 98480 + 200),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", _STACKS)
def test_published_tolerance_stacks_come_out(name: str) -> None:
    links, limits = _STACKS[name]
    unit = INCH // 10_000
    total = Span.total(
        Span((nominal - minus) * unit, nominal * unit, (nominal + plus) * unit) * sign
        for sign, nominal, plus, minus in links
    )
    assert (total.low, total.high) == (limits[0] * unit, limits[1] * unit)


@pytest.mark.parametrize(
    ("hole", "shaft", "clearance"),
    [
        # ISO 286 limits in micrometres with their clearances (machine-design textbook examples).
        ((0, 21), (-20, -7), (7, 41)),  # 25 H7/g6
        ((0, 39), (-50, -25), (25, 89)),  # 50 H8/f7
        # ANSI B4.1 in ten-thousandths of an inch (Machinery's Handbook 31, Table 8a).
        ((0, 12), (-16, -8), (8, 28)),  # RC 4, 0.71 to 1.19 in
        ((0, 16), (-20, -10), (10, 36)),  # RC 4, 1.19 to 1.97 in
    ],
)
def test_published_fits_have_their_clearance(
    hole: tuple[int, int], shaft: tuple[int, int], clearance: tuple[int, int]
) -> None:
    gap = Span(hole[0], hole[0], hole[1]) - Span(shaft[0], shaft[1], shaft[1])
    assert (gap.low, gap.high) == clearance
