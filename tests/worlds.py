"""Small random worlds, all invented: a catalog and a job over it, few enough assemblies to try every one.

Each world is grown around one planted assembly that mostly fits, so that most worlds have an answer and most of
their checks refuse something. Lengths are bare small numbers; nothing here looks like the trade's figures.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations_with_replacement, product
from math import prod
from random import Random

from fitwright.solver.application import Application, Joint, Position, Rule, Stack
from fitwright.solver.assembly import Assembly
from fitwright.solver.catalog import Catalog, Interface, Preparation, Trait, TraitValue
from fitwright.solver.check import Check, Gap, Ref, Same, Term, Within
from fitwright.solver.choice import Parts
from fitwright.solver.cutting import cut_to_fit
from fitwright.solver.finding import Verdict, worst
from fitwright.solver.judge import judge
from fitwright.solver.part import STATUSES, Cut, Design, Feature, Part
from fitwright.solver.setting import Setting
from fitwright.solver.span import Span
from fitwright.solver.statement import (
    Door,
    Into,
    Keep,
    Measure,
    OpeningIs,
    Selective,
    Statement,
    Use,
    Want,
    Without,
    WithoutTrait,
)
from hypothesis import strategies as st

MOST_ASSEMBLIES = 250
"""A world has no more candidates than this, fitting or not."""

NAMES = ("host", "body", "link", "blade", "ring")
LOOKS = {"p": "S", "q": "S", "s": "T", "z": None}
Codes = tuple[tuple[str, ...], ...]
"""The sorted codes of each position's parts: an assembly as a value that can be compared."""


def worlds() -> st.SearchStrategy[Setting]:
    """Return a strategy that draws worlds: half of them from seeds, for variety, half in a way that shrinks."""
    return st.one_of(st.randoms(use_true_random=False), st.integers(0, 2**64).map(Random)).map(world)


def world(random: Random) -> Setting:
    """Grow a world from random decisions."""
    return _Growth(random).setting()


def codes(parts: Iterable[Parts]) -> Codes:
    """Reduce an assembly to its codes; the order of repeated parts does not matter."""
    return tuple(tuple(sorted(part.code for part in own)) for own in parts)


def candidates(setting: Setting) -> Iterator[tuple[Parts, ...]]:
    """Yield every way of filling the positions with raw items of the right kinds, fitting or not."""
    parts = list(setting.catalog.parts.values())
    yield from product(*(fillings(parts, position) for position in setting.application.positions.values()))


def brute_force(setting: Setting) -> dict[Codes, Assembly]:
    """Return every assembly that the judge accepts, found by trying all candidates."""
    welcome = Verdict.SELECTED.rank if setting.selective else Verdict.FITS.rank
    found = {}
    for parts in candidates(setting):
        assembly = cut_to_fit(setting, dict(zip(setting.application.positions, parts, strict=True)))
        if worst([finding.verdict for finding in judge(setting, assembly)]).rank <= welcome:
            found[codes(parts)] = assembly
    return found


def fillings(parts: Iterable[Part], position: Position) -> list[Parts]:
    """Return what the position may hold, as multisets of parts of its kinds."""
    own = [part for part in parts if part.kind in position.kinds]
    return [
        parts
        for count in range(0 if position.optional else 1, (position.up_to or 1) + 1)
        for parts in combinations_with_replacement(own, count)
    ]


class _Growth:
    """The decisions of one world, in the order in which each can lean on the ones before."""

    def __init__(self, random: Random) -> None:
        self._random = random
        self._untidiness = random.choice([0.3, 1.0])
        self._positions = self._grow_positions()
        self._sides: dict[Ref, tuple[str, str]] = {}
        self._numbers: dict[Ref, int] = {}
        self._interfaces = {
            name: Interface(name, "", ("m", "f"), tuple(self._interface_checks())) for name in ("i0", "i1")
        }
        self._joints = tuple(self._joint(f"j{number}") for number in range(random.randint(1, 3)))
        shared = {kind for position in self._positions.values() if len(position.kinds) > 1 for kind in position.kinds}
        self._cut_kinds = {
            name
            for name, position in self._positions.items()
            if name not in shared and not position.up_to and self._chance(0.3)
        }
        self._parts = [part for kind in self._positions for part in self._parts_of(kind)]
        self._thin()
        self._planted = {
            name: random.choice(self._fillings(position) or [()]) for name, position in self._positions.items()
        }
        self._thickness = self._around(random.randint(1, 5) * 10)
        self._stacks = tuple(self._stack(f"s{number}") for number in range(random.randint(0, 3)))

    def setting(self) -> Setting:
        """Return the world with its job."""
        traits = {
            "fin": Trait("fin", "", True, {value: TraitValue(value, "", look) for value, look in LOOKS.items()}),
            "hand": Trait("hand"),
            "t": Trait("t", keyed=True),
        }
        holes = {ref.name: self._feature(ref) for ref in self._sides if ref.owner == "opening"}
        preparation = Preparation("bored", "", {"depth": self._around(20)}, holes)
        application = Application(
            "world",
            "",
            self._positions,
            self._joints,
            self._stacks,
            self._rules(),
            ("fin",) if self._chance(0.5) else (),
        )
        catalog = Catalog(
            {},
            traits,
            self._interfaces,
            {"bored": preparation},
            {"world": application},
            {part.code: part for part in self._parts},
        )
        return Setting(catalog, tuple(self._statements()))

    def _chance(self, share: float) -> bool:
        return self._random.random() >= 1 - share  # so that what is left out shrinks away first

    def _odd(self, share: float) -> bool:
        """Tell whether something is to go wrong; in a tidy world it does so more rarely."""
        return self._chance(share * self._untidiness)

    def _around(self, nominal: int) -> Span:
        return Span(
            nominal - self._random.choice([0, 0, 0, 2]), nominal, nominal + self._random.choice([0, 0, 0, 2, 5])
        )

    def _grow_positions(self) -> dict[str, Position]:
        found: dict[str, Position] = {}
        for name in NAMES[: self._random.randint(2, 5)]:
            kinds = {name}
            if found and self._chance(0.15):
                kinds.add(self._random.choice(list(found)))
            repeated = self._chance(0.2)
            found[name] = Position(
                name,
                frozenset(kinds),
                optional=self._chance(0.4),
                up_to=2 if repeated else None,
                quantity=2 if not repeated and self._chance(0.15) else 1,
                host=name == "host" and self._chance(0.6),
                visible=self._chance(0.5),
            )
        return found

    def _interface_checks(self) -> Iterator[Check]:
        if self._chance(0.5):
            yield Same(Ref("m", "t"), Ref("f", "t"), "one mouth")
        if self._chance(0.4):
            yield Within(Ref("m", "u"), Ref("f", "v"), "it must enter")
        if self._chance(0.1):
            yield Within(Ref("f", "t"), Ref("f", "v"), "of a piece")
        if self._chance(0.8):
            times = self._random.choice([1, 1, 1, 2])
            yield Gap(
                (Term(times, Ref("f", "d")), Term(-times, Ref("m", "d"))),
                self._random.choice([-5, 0]),
                self._random.choice([None, 15, 20, 40]),
                "play",
            )
        if self._chance(0.2):
            yield Gap((Term(1, Ref("m", "d")),), None, (Term(1, Ref("f", "e")), Term(1, Ref("m", "e"))), "reach")

    def _joint(self, name: str) -> Joint:
        """Lay features along an axis so that a full row of parts has the sides to meet."""
        refs: list[Ref] = []
        side = "m"
        stops = self._random.sample(list(self._positions), self._random.randint(2, min(4, len(self._positions))))
        if self._chance(0.2):
            stops.insert(0, "opening")
        interface = self._random.choice(["i0", "i1"])
        number = max(self._positions[stop].quantity for stop in stops if stop != "opening")
        for place, stop in enumerate(stops):
            share = 0.7 if 0 < place < len(stops) - 1 else 0.2
            through = stop != "opening" and not self._positions[stop].up_to and self._chance(share)
            own = [Ref(stop, f"{name}-in"), Ref(stop, f"{name}-out")] if through else [Ref(stop, name)]
            for ref in own:
                self._sides[ref] = (interface, side)
                self._numbers[ref] = number if stop == "opening" else number // self._positions[stop].quantity
                side = "f" if side == "m" else "m"
            refs += own
        return Joint(name, tuple(refs))

    def _feature(self, ref: Ref) -> Feature:
        interface, side = self._sides[ref]
        if self._odd(0.03):
            side = "f" if side == "m" else "m"
        if self._odd(0.03):
            interface = "i0" if interface == "i1" else "i1"
        wide = 10 if side == "f" else 0
        tokens = {name: self._words() for name in ("t", "u", "v") if self._chance(0.9)}
        if "v" in tokens and self._chance(0.6):
            tokens["v"] = ("a", "b")
        return Feature(
            ref.name,
            interface,
            side,
            {"d": self._around(self._random.choice([10, 10, 10, 15, 20]) + wide), "e": self._around(15)},
            tokens,
            count=3 if self._odd(0.02) else self._numbers[ref],
            required=self._odd(0.25),
        )

    def _words(self) -> tuple[str, ...]:
        return ("b",) if self._odd(0.15) else ("a",)

    def _parts_of(self, kind: str) -> Iterator[Part]:
        owners = [name for name, position in self._positions.items() if kind in position.kinds]
        for number in range(self._random.randint(1, 3)):
            features = {
                ref.name: self._feature(ref) for ref in self._sides if ref.owner in owners and self._chance(0.85)
            }
            dimensions = {"l": self._around(self._random.choice([10, 20, 20, 30])), "k": self._around(10)}
            cut = None
            if kind in self._cut_kinds and self._chance(0.8):
                low = self._random.choice([8, 10, 15])
                cut = Cut(
                    "l",
                    low,
                    low + self._random.choice([0, 9, 20]),
                    self._random.choice([2, 5]),
                    self._random.choice([0, 1, 3]),
                )
                del dimensions["l"]
            design = Design(kind, dimensions, features, cut)
            for place in range(self._random.randint(1, 2)):
                traits: dict[str, tuple[str, ...]] = {}
                if self._chance(0.8):
                    traits["fin"] = (self._random.choice(list(LOOKS)),)
                if self._chance(0.4):
                    traits["hand"] = (self._random.choice(["L", "L", "L", "R"]),)
                if self._chance(0.3):
                    traits["t"] = self._words()
                code = f"{kind}-{number}-{place}".upper()
                caution = "mind it" if self._chance(0.2) else None
                price, status = self._random.randint(1, 5), self._random.choice(STATUSES)
                yield Part(code, code, design, traits, price, status, caution=caution)

    def _thin(self) -> None:
        """Take parts away until there are few enough candidates."""
        while prod(len(self._fillings(position)) for position in self._positions.values()) > MOST_ASSEMBLIES:
            kinds = [part.kind for part in self._parts]
            most = max(kinds, key=kinds.count)
            del self._parts[kinds.index(most)]

    def _fillings(self, position: Position) -> list[Parts]:
        return fillings(self._parts, position)

    def _nominal(self, owner: str, name: str) -> int:
        if owner == "opening":
            return self._thickness.nominal
        return sum(
            part.design.cut.low if name == "l" and part.design.cut else part.design.dimensions[name].nominal
            for part in self._planted[owner]
        )

    def _stack(self, name: str) -> Stack:
        """Bound a sum around what it is in the planted assembly; it reads at most one dimension that is cut."""
        owners = self._random.sample(list(self._positions), self._random.randint(1, len(self._positions)))
        cut = [owner for owner in owners if owner in self._cut_kinds]
        terms = [
            Term(self._random.choice([1, 1, -1, -1, 2]), Ref(owner, "k" if owner in cut[1:] else "l"))
            for owner in owners
        ]
        if self._chance(0.5):
            terms.append(Term(-1, Ref("opening", "thickness")))
        if self._chance(0.1):
            terms = [Term(1, Ref("opening", "thickness"))]
        middle = sum(factor * self._nominal(*ref) for factor, ref in terms)
        least, most = (self._random.choice([5, 10, 20, 30]) for _ in range(2))
        low: int | tuple[Term, ...] | None = middle - least
        high: int | tuple[Term, ...] | None = middle + most
        kind = self._random.randrange(5)
        if kind == 0:
            low = None
        elif kind == 1:
            high = None
        elif kind == 2:
            low, high = (self._limit(),), None
        elif kind == 3 and not cut:
            low, high = (self._limit(), self._limit()), (self._limit(), self._limit(), self._limit())
        return Stack(name, "", Gap(tuple(terms), low, high, "room"), when=self._some(0.2), unless=self._some(0.1))

    def _limit(self) -> Term:
        """A dimension to be a bound; it may be one that the sum reads too."""
        fixed = [name for name in self._positions if name not in self._cut_kinds]
        owner = self._random.choice([*self._positions, *fixed])
        return Term(1, Ref(owner, self._random.choice(["k", "l"]) if owner in fixed else "k"))

    def _some(self, share: float) -> tuple[str, ...]:
        return tuple(name for name in self._positions if self._chance(share / 2))

    def _rules(self) -> tuple[Rule, ...]:
        one, other = self._random.sample(list(self._positions), 2)
        rules = [
            Rule("hand", Within(Ref("opening", "hand"), Ref(one, "hand"), "it swings one way")),
            Rule("alike", Same(Ref(one, "hand"), Ref(other, "hand"), "one hand")),
            Rule("self", Within(Ref(one, "t"), Ref(one, "hand"), "of a piece")),
        ]
        return tuple(rule for rule, share in zip(rules, (0.4, 0.3, 0.05), strict=True) if self._chance(share))

    def _statements(self) -> Iterator[Statement]:
        codes_of_all = [part.code for part in self._parts]
        bought = [part.code for own in self._planted.values() for part in own]
        yield Use("world", text="use world")
        if self._chance(0.8):
            yield Door(self._thickness, text="door")
        if self._chance(0.4):
            yield OpeningIs("hand", ("L",), text="opening hand L")
        if self._chance(0.5):
            yield OpeningIs("preparation", ("bored",), text="opening preparation bored")
        if self._planted.get("host") and self._chance(0.3):
            yield Into(self._planted["host"][0].code, text="into")
        if self._chance(0.3):
            yield Want("fin", tuple(self._random.sample(list(LOOKS), 3)), text="want fin")
        if self._chance(0.1):
            yield Want("t", ("a",), text="want t a")
        if bought and self._chance(0.3):
            yield Keep(tuple(self._random.sample(bought, self._random.randint(1, min(2, len(bought))))), text="keep")
        if self._chance(0.2):
            yield Without((self._random.choice(codes_of_all),), text="without")
        if self._chance(0.1):
            yield WithoutTrait("hand", ("R",), text="without hand R")
        if self._chance(0.2):
            yield self._measure()
        if self._chance(0.3):
            yield Selective(text="selective")

    def _measure(self) -> Measure:
        """Ask for a length near the planted one; a cut part may have to be cut to it."""
        owner = self._random.choice(list(self._positions))
        nominal = self._nominal(owner, "l") + self._random.choice([0, 0, 5])
        return Measure(owner, "l", Span(nominal - 2, nominal, nominal + self._random.choice([2, 6])), text="want l")
