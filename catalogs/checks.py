"""Reads checks: same, within, gap and limit, each with its because."""

from __future__ import annotations

from math import lcm

from ..solver.check import Bound, Check, Gap, Ref, Same, Term, Within
from .node import Listing, Node, Scalar
from .reading import Misread, Record, attempt, items, refuse, text
from .value import Limit, Look, Share, bound, name, ref, term, terms

_FORMS = {
    "same": ("same",),
    "within": ("within", "of"),
    "gap": ("gap", "at least", "at most"),
    "limit": ("limit", "at least", "at most"),
}
_UNREAD = Ref("", "")


def check(node: Node, look: Look, sides: tuple[str, ...] = (), forms: tuple[str, ...] = tuple(_FORMS)) -> Check:
    """Read one check. Between two `sides` a token that both should share may stand without them."""
    every = [key for form in forms for key in _FORMS[form]]
    record = Record(node, ("because",), dict.fromkeys(every))
    stated = [form for form in forms if form in record]
    if len(stated) == 1:
        for key in every:
            if key in record and key not in _FORMS[stated[0]]:
                record.fault(
                    record.node.keys[key],
                    f"`{key}` does not go with `{stated[0]}`",
                    f"use {', '.join(_FORMS[stated[0]])} and because",
                )
    elif record.sound or stated:
        refuse(node, "a check needs exactly one of " + ", ".join(forms), "state one comparison per check")
    because = record.get("because", text, "")
    if not stated:
        raise Misread
    if stated[0] == "same":
        left, right = record.get("same", lambda at: _pair(at, look, sides), (_UNREAD, _UNREAD))
        record.close()
        return Same(left, right, because, node.source)
    if stated[0] == "within":
        left = record.get("within", ref(look), _UNREAD)
        if "of" not in record:
            record.fault(record.node, "without `of`", "say in whose set the token must stand, as of: slot.enters")
        right = record.get("of", ref(look), _UNREAD)
        record.close()
        return Within(left, right, because, node.source)
    measure = record.get("gap", terms(look), ()) or record.get("limit", lambda at: (term(look)(at),), ())
    return gap(record, measure, because, look)


def gap(record: Record, measure: tuple[Share, ...], because: str, look: Look) -> Gap:
    """Read the bounds of a sum and close its record; with halves or thirds among the terms all is multiplied."""
    least: Limit | None = record.get("at least", bound(look), None)
    most: Limit | None = record.get("at most", bound(look), None)
    if record.sound and least is None and most is None:
        record.fault(record.node, "without bounds", "give `at least`, `at most` or both")
    if isinstance(least, int) and isinstance(most, int) and least > most:
        record.fault(record.at("at least"), "`at least` is more than `at most`", "swap or correct them")
    record.close()
    shares = [share for each in (measure, least, most) if isinstance(each, tuple) for share in each]
    divisor = lcm(*(share.factor.denominator for share in shares))
    source = record.node.source
    return Gap(_whole(measure, divisor), _bound(least, divisor), _bound(most, divisor), because, source, divisor)


def _whole(shares: tuple[Share, ...], divisor: int) -> tuple[Term, ...]:
    return tuple(Term(int(factor * divisor), ref) for factor, ref in shares)


def _bound(limit: Limit | None, divisor: int) -> Bound | None:
    return _whole(limit, divisor) if isinstance(limit, tuple) else None if limit is None else limit * divisor


def _pair(node: Node, look: Look, sides: tuple[str, ...]) -> tuple[Ref, Ref]:
    if isinstance(node, Scalar) and len(sides) == 2:
        token = name(node)
        look(Ref(sides[0], token), node)
        return Ref(sides[0], token), Ref(sides[1], token)
    found = attempt(ref(look), items(node) if isinstance(node, Listing) else [node])
    if len(found) != 2 or found[0] == found[1]:
        refuse(node, "not two different names", "write same: [owner.name, other.name]")
    return found[0], found[1]
