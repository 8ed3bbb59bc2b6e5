"""The expected share of assemblies that satisfy their limits, by root-sum-square."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from statistics import NormalDist

from .length import Length
from .span import Span

SIGMAS_IN_TOLERANCE = 3
"""A dimension's tolerance is taken as plus or minus three standard deviations about its middle (common practice
in statistical tolerancing: Dimensioning and Tolerancing Handbook, ch. 9); unequal tolerances are centred first."""


def deviation(terms: Sequence[Span]) -> float:
    """Return the standard deviation of a sum, in units of `Length`."""
    return sqrt(sum(term.width**2 for term in terms)) / (2 * SIGMAS_IN_TOLERANCE)


def share_within(demands: Sequence[Sequence[Span]], constants: Sequence[Length]) -> float:
    """Return the chance that every demand (constant + sum of its terms >= 0) holds.

    At most two demands, the lower and the upper limit of one quantity: then the two misses exclude each
    other and their chances add up.
    """
    missing = 0.0
    for terms, constant in zip(demands, constants, strict=True):
        middle = constant + sum(term.low + term.high for term in terms) / 2
        sigma = deviation(terms)
        missing += NormalDist(middle, sigma).cdf(0) if sigma else float(middle < 0)
    return max(0.0, 1.0 - missing)
