"""Invented catalogs of any size, as model objects, and a job for each.

Two kinds. `ordinary`: some hundred designs with standard dimensions, each in many finishes and keyways. `unlucky`:
a store of parts that were each measured with a caliper, so that hardly two items are alike. Both ask the same
application: a modular mortise cylinder in a lock case. Everything is drawn from a seeded generator.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import product
from random import Random

from fitwright.solver.catalog import Catalog, Trait, TraitValue
from fitwright.solver.check import Tokens
from fitwright.solver.length import MM
from fitwright.solver.part import STATUSES, Design, Feature, Part
from fitwright.solver.setting import Setting
from fitwright.solver.span import Span
from fitwright.solver.statement import Door, Into, OpeningIs, Statement, Use, Want

from .cylinder import FEATURES, LENGTHS, UNIT, application, interfaces

KINDS = ("ordinary", "unlucky")
FINISHES = (
    ("626", "US26D"),
    ("605", "US3"),
    ("612", "US10"),
    ("652", "US26D"),
    ("625", "US26"),
    ("606", "US4"),
    ("613", "US10B"),
    ("630", "US32D"),
    ("632", "US3"),
    ("619", "US15"),
    ("629", "US32"),
    ("618", "US14"),
)
"""ANSI/BHMA A156.18 numbers with the older symbols of the look."""

WEIGHTS = {"host": 4, "core": 4, "front": 4, "body": 10, "link": 4, "cam": 8, "tailpiece": 5, "collar": 6, "screw": 5}
"""How many designs of each kind stand beside one another in an ordinary catalog."""

STOCK = {"host": 2, "core": 20, "front": 16, "body": 22, "link": 4, "cam": 9, "tailpiece": 6, "collar": 14, "screw": 7}
"""How many items of each kind stand beside one another in a store of measured parts."""

Measure = Callable[[int, int], int]
"""From a nominal dimension and how far items stray from it, to the dimension of one item; micrometres."""


def setting(kind: str, size: int, seed: int = 2) -> Setting:
    """Return a catalog of `size` items with a job that has answers. ValueError for an unknown kind or size < 150."""
    if kind not in KINDS:
        raise ValueError(f"no kind of catalog is named {kind}; one of {', '.join(KINDS)}")
    if size < 150:
        raise ValueError(f"a catalog of {size} items is too small for nine kinds; at least 150")
    random = Random(f"{kind} {size} {seed}")
    parts = list(_ordinary(random, size) if kind == "ordinary" else _unlucky(random, size))
    return Setting(_catalog(parts), _job(kind))


def _job(kind: str) -> tuple[Statement, ...]:
    looks = ("626", "652") if kind == "ordinary" else ("626", "652", "630", "625", "619")
    said: list[Statement] = [
        Use("cylinder", text="use cylinder"),
        Door(Span.plus_minus(44 * MM, MM // 2), text="door 44 mm ± 0.5"),
        OpeningIs("hand", ("LH",), text="hand LH"),
        Into("HOST-1", text="into HOST-1"),
        Want("finish", looks, text="want finish"),
    ]
    if kind == "ordinary":
        said.append(Want("keyway", ("K1",), text="want keyway"))
    return tuple(said)


def _catalog(parts: Sequence[Part]) -> Catalog:
    traits = {
        "finish": Trait(
            "finish", "finish", True, {number: TraitValue(number, number, symbol) for number, symbol in FINISHES}
        ),
        "keyway": Trait("keyway"),
        "keyways": Trait("keyways"),
        "hand": Trait("hand"),
        "metal": Trait("metal"),
    }
    return Catalog(
        {name: name for name in WEIGHTS},
        traits,
        interfaces(),
        {},
        {"cylinder": application()},
        {part.code: part for part in parts},
        "crowns",
    )


def _ordinary(random: Random, size: int) -> Iterator[Part]:
    """Yield designs of all kinds in turn, each expanded into its finishes, keyways or metals, to the number asked."""
    scale = size / 300
    finishes = [number for number, _ in FINISHES[: max(4, min(12, round(3 * scale**0.33)))]]
    keyways = [f"K{n}" for n in range(1, 1 + max(2, min(16, round(2 * scale**0.5))))]
    numbers = dict.fromkeys(WEIGHTS, 0)
    made = 0
    while made < size:
        kind = min(WEIGHTS, key=lambda name: numbers[name] / WEIGHTS[name])
        numbers[kind] += 1
        design = _design(kind, random, numbers[kind] == 1, lambda nominal, stray: nominal)
        for place, traits in enumerate(_options(kind, random, finishes, keyways)):
            if made == size:
                return
            made += 1
            code = f"{kind.upper()}-{numbers[kind]}" + (f".{place}" if place else "")
            yield _part(code, design, traits, random)


def _unlucky(random: Random, size: int) -> Iterator[Part]:
    """Yield single items, each with dimensions of its own, measured to 0.01 mm."""
    keyways = [f"K{n}" for n in range(1, 5)]
    numbers = dict.fromkeys(STOCK, 0)
    for _ in range(size):
        kind = min(STOCK, key=lambda name: numbers[name] / STOCK[name])
        numbers[kind] += 1
        first = numbers[kind] == 1
        design = _design(kind, random, first, lambda nominal, stray: nominal + 10 * random.randint(-stray, stray))
        options = _options(kind, random, [number for number, _ in FINISHES[:10]], keyways)
        yield _part(f"{kind.upper()}-{numbers[kind]}", design, options[0] if first else random.choice(options), random)


def _options(kind: str, random: Random, finishes: Sequence[str], keyways: Sequence[str]) -> list[dict[str, Tokens]]:
    if kind == "core":
        return [{"finish": (finish,), "keyway": (keyway,)} for finish, keyway in product(finishes, keyways)]
    if kind == "front":
        # A front lets one keyway through, or with a wide slot its neighbour too.
        return [
            {"finish": (finish,), "keyways": tuple(sorted({keyway, random.choice(keyways)}))}
            for finish, keyway in product(finishes, keyways)
        ]
    if kind == "host":
        return [{"finish": (finish,), "hand": hand} for finish, hand in product(finishes, (("LH", "RH"), ("RH",)))]
    if kind in ("body", "collar", "screw"):
        return [{"finish": (finish,)} for finish in finishes]
    return [{"metal": ("brass",)}]


def _part(code: str, design: Design, traits: Mapping[str, Tokens], random: Random) -> Part:
    return Part(
        code,
        code.lower(),
        design,
        traits,
        price=random.randint(50, 9000),
        status=random.choices(STATUSES, (6, 3, 1))[0],
    )


def _design(kind: str, random: Random, plain: bool, measure: Measure) -> Design:
    """Draw a design of a kind; the `plain` one takes the first form and standard size everywhere, so that all fit.

    Sizes are nominal steps of a standard range, and `measure` makes one item of them.
    """

    def pick(steps: Sequence[int], stray: int) -> Span:
        nominal = steps[0] if plain else random.choice(steps)
        return Span.plus_minus((nominal if plain else measure(nominal, stray)) * UNIT, 10 * UNIT)

    def feature(
        name: str, interface: str, side: str, steps: Sequence[int], forms: str, required: bool = True
    ) -> Feature:
        form = forms[0] if plain else random.choice(forms)
        # Two equal screws hold the case, so it has two equal holes.
        return Feature(
            name, interface, side, {"size": pick(steps, 8)}, {"form": (form,)}, 2 if name == "hole" else 1, required
        )

    lengths = {name: pick(steps, 30) for name, steps in LENGTHS.get(kind, {}).items()}
    features = [feature(*row) for row in FEATURES[kind]]
    return Design(kind, lengths, {own.name: own for own in features})
