"""The modular mortise cylinder of every generated job: nine positions, eight joints, three stacks; all invented."""

from __future__ import annotations

from collections.abc import Mapping

from fitwright.solver.application import Application, Joint, Position, Rule, Stack
from fitwright.solver.catalog import Interface
from fitwright.solver.check import Gap, Ref, Same, Term, Within
from fitwright.solver.length import MM

UNIT = MM // 1000
"""Everything generated is counted in micrometres."""

LENGTHS: dict[str, dict[str, range | tuple[int, ...]]] = {
    "host": {"depth": (6000, 5000, 8000), "turn": (24000, 20000, 30000), "plate": (4000, 3000)},
    "body": {"length": (29700, *range(20000, 42000, 1600))},
    "link": {"length": (3000, 5000, 6000, 8000, 10000)},
    "cam": {"height": (4000, 5000, 6000)},
    "tailpiece": {"length": (26000, 30000, 34000, 38000, 42000)},
    "collar": {"height": (1600, 2000, 3200, 4800, 6400, 8000)},
    "screw": {"length": (12000, 10000, 16000, 20000, 25000)},
}
"""Standard lengths of each kind, the plain one first; micrometres."""

FEATURES: dict[str, list[tuple[str, str, str, tuple[int, ...], str, bool]]] = {
    "host": [
        ("hub", "hub", "outer", (6200, 6400, 8200), "ast", True),
        ("thread", "case", "outer", (29260, 29300), "a", True),
        ("hole", "fixing", "outer", (4300, 4500), "a", True),
    ],
    "core": [("shell", "plug", "inner", (12720, 12700, 12740, 12760), "abcdefgh", True)],
    "front": [("socket", "nose", "outer", (18080, 18050, 18100, 18150), "abcdefgh", True)],
    "body": [
        ("bore", "plug", "outer", (12800, 12780, 12820), "abcdefgh", True),
        ("nose", "nose", "inner", (18000, 17980, 18020, 18040), "abcdefgh", True),
        ("rear", "drive", "outer", (8100, 8080, 8120), "abcdefgh", True),
        ("thread", "case", "inner", (29210, 29190), "a", True),
        ("shoulder", "shoulder", "inner", (32000, 31900, 32100), "r", False),
    ],
    "link": [
        ("front", "drive", "inner", (8000, 8020, 8040), "abcdefgh", True),
        ("rear", "drive", "outer", (8100, 8080, 8120), "abcdefgh", True),
    ],
    "cam": [
        ("seat", "drive", "inner", (8000, 7980, 8040), "abcdefgh", True),
        ("blade", "hub", "inner", (6000, 6050, 5900, 6100, 8000), "ast", True),
        ("slot", "tail", "outer", (5100, 5150, 5200), "abcdefgh", False),
    ],
    "tailpiece": [("head", "tail", "inner", (5000, 4950, 5050), "abcdefgh", True)],
    "collar": [("bore", "shoulder", "outer", (32200, 32150, 32300, 32400), "r", True)],
    "screw": [("thread", "fixing", "inner", (4150, 4200, 4100), "amn", True)],
}
"""Mating features of each kind: name, interface, side, standard sizes (micrometres, plain first), forms, required."""


def application() -> Application:
    """Return the application of every generated job: nine positions, eight joints, three stacks."""
    names = ("host", "core", "front", "body", "link", "cam", "tailpiece", "collar", "screw")
    positions = {
        name: Position(
            name,
            frozenset({name}),
            optional=name in ("link", "tailpiece", "collar"),
            host=name == "host",
            quantity=2 if name == "screw" else 1,
            visible=name in ("core", "front", "body", "collar", "screw"),
        )
        for name in names
    }
    joints = (
        _joint("plug", "core.shell", "body.bore"),
        _joint("nose", "body.nose", "front.socket"),
        _joint("axis", "body.rear", "link.front", "link.rear", "cam.seat"),
        _joint("throw", "host.hub", "cam.blade"),
        _joint("tail", "cam.slot", "tailpiece.head"),
        _joint("case", "host.thread", "body.thread"),
        _joint("shoulder", "body.shoulder", "collar.bore"),
        _joint("fixing", "host.hole", "screw.thread"),
    )
    stacks = (
        Stack(
            "projection",
            "how far the cylinder stands out",
            _gap(
                {"body.length": 2, "link.length": 2, "collar.height": -2, "host.depth": -2, "opening.thickness": -1},
                1000,
                5000,
            ),
        ),
        Stack(
            "reach",
            "how far the tailpiece goes into the turn",
            _gap({"tailpiece.length": 1, "cam.height": 1, "link.length": -1, "host.turn": -1}, 2500, 9500),
            when=("tailpiece",),
        ),
        Stack("engagement", "how deep the screws hold", _gap({"screw.length": 1, "host.plate": -1}, 6000, 14000)),
    )
    rules = (
        Rule("keyway", Within(Ref("core", "keyway"), Ref("front", "keyways"), "the key must pass the front")),
        Rule("hand", Within(Ref("opening", "hand"), Ref("host", "hand"), "the case is handed")),
    )
    return Application("cylinder", "modular mortise cylinder", positions, joints, stacks, rules, match=("finish",))


def interfaces() -> dict[str, Interface]:
    """Return the interfaces by name: each with words that must be equal and a clearance between two bounds."""
    clearances = {
        "plug": (20, 120),
        "nose": (20, 160),
        "drive": (40, 160),
        "hub": (50, 350),
        "tail": (30, 250),
        "case": (0, 120),
        "shoulder": (100, 300),
        "fixing": (0, 300),
    }
    found = {}
    for name, (low, high) in clearances.items():
        gap = _gap({"outer.size": 1, "inner.size": -1}, low, high)
        found[name] = Interface(
            name,
            name,
            ("outer", "inner"),
            (Same(Ref("outer", "form"), Ref("inner", "form"), "the forms must agree"), gap),
        )
    return found


def _joint(name: str, *features: str) -> Joint:
    return Joint(name, tuple(_ref(feature) for feature in features))


def _gap(terms: Mapping[str, int], low: int, high: int) -> Gap:
    return Gap(
        tuple(Term(factor, _ref(name)) for name, factor in terms.items()),
        low * UNIT,
        high * UNIT,
        "the clearance must lie between its bounds",
    )


def _ref(dotted: str) -> Ref:
    owner, name = dotted.split(".")
    return Ref(owner, name)
