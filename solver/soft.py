"""A job as tables of which every statement and check can be left out, to ask what would then hold together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from .application import OPENING, Joint, Position, Stack
from .assembly import Assembly
from .check import Check, Gap, Same, Within
from .choice import Choice
from .columns import shapes_of
from .cutting import Window, window_of
from .element import MATED, SIDES, Element, of_joint, of_match, of_rule, of_stack, of_statement, resting_on, statements
from .face import Mating
from .folds import choices
from .graph import Graph
from .joint_run import JointRun
from .length import Length
from .lenient import LenientJointRun, of_stacks, of_tally, wider
from .network import cut_dimensions
from .part import Cut, Part
from .reading import Gathering, classes_of, fillings
from .relate import Related, balance, relate
from .relation import Relation, Table
from .run import Reader, Run
from .search import compiled
from .setting import Setting, limited
from .shelf import Mask, Shelf, places
from .sieve_run import SieveReader
from .stack_run import StackRun, stack_runs
from .statement import Keep, Measure, Used
from .tally import Tally
from .watch import Watch, watched
from .word_run import KeepRun, LookRun, RuleRun

Elements = frozenset[Element]


@dataclass(frozen=True, slots=True)
class Relaxed:
    """A gap check that is made with more room, in its own measure."""

    element: Element
    room: Length


@dataclass(slots=True)
class _Switch:
    """A reader and what it stands on: the elements that it checks, and the statements without which it is not read."""

    reader: Reader
    checks: Elements
    rests_on: Elements = frozenset()
    joint: Joint | None = None
    stacks: list[tuple[Stack, Elements]] = field(default_factory=list)
    columns: dict[str, list[Hashable]] = field(default_factory=dict)
    made: dict[Hashable, Related] = field(default_factory=dict)


class SoftNetwork:
    """A setting over classes of parts that every reader sees alike, statements included.

    `elements` are the statements and the checks that can be left out; what is not among them (which application,
    which positions must be filled) always holds. Raises `JobError` where the setting can't be asked.
    """

    def __init__(self, setting: Setting, watch: Watch | None = None) -> None:
        self.setting, self.watch = setting, watch or Watch()
        self.choices: dict[str, list[Choice]] = {}
        self._shapes: dict[str, str] = {}
        self._sizes: dict[str, int] = {}
        self._shape_tables: dict[str, Table] = {}
        self._matings = {
            name: Mating(interface, setting.selective) for name, interface in setting.catalog.interfaces.items()
        }
        self._information: dict[int, Mapping[frozenset[Hashable], float]] = {}
        self._known: dict[Elements, dict[str, int] | None] = {}
        self._switches = list(self._all_switches())
        for name, position in setting.application.positions.items():
            self.watch.tick()
            self._choose(name, position)
            self._shape(name)
        for switch in self._switches:
            if OPENING in switch.reader.positions:
                seen = switch.reader.read(OPENING, setting.opening)
                switch.columns[OPENING] = [switch.reader.gather(OPENING, (seen,))]
            if switch.joint:
                switch.checks = self._checks_of(switch)
        said = [of_statement(each) for each in statements(setting)]
        checks = [element for switch in self._switches for element in _in_order(switch) if element.statement is None]
        self.elements = tuple(dict.fromkeys((*said, *checks)))

    def exists(self, active: Iterable[Element], relaxed: Relaxed | None = None) -> bool:
        """Tell whether some assembly satisfies these elements."""
        return self.solution(active, relaxed) is not None

    def solution(self, active: Iterable[Element], relaxed: Relaxed | None = None) -> dict[str, int] | None:
        """Return a value for each position of an assembly that satisfies these elements, None where there is none."""
        wanted = frozenset(active)
        if relaxed is not None:
            return self._solve(wanted, relaxed)
        if wanted not in self._known:
            self._known[wanted] = self._solve(wanted, None)
        return self._known[wanted]

    def possible(self, active: Iterable[Element]) -> dict[str, set[Part]]:
        """Return for each position the parts that stand there in some assembly that satisfies these elements."""
        graph = self._graph(frozenset(active), None, first_only=False)
        if graph is None:
            return {name: set() for name in self.choices}
        found = choices(graph, {})
        return {
            name: {
                part
                for value in found.get(name, range(len(own)))
                for members, _ in own[value].classes
                for part in members
            }
            for name, own in self.choices.items()
        }

    def with_setting(self, setting: Setting) -> SoftNetwork:
        """Return the network for a setting that differs in what the opening measures only; most of it is shared."""
        other = object.__new__(SoftNetwork)
        other.__dict__.update(self.__dict__)
        other.setting, other._known, other._information = setting, {}, dict(self._information)
        other._switches = [replace(each, made={} if each.stacks else each.made) for each in self._switches]
        return other

    def assembly(self, solution: Mapping[str, int], active: Elements, last: Element | None = None) -> Assembly:
        """Return the assembly of a solution, each cut length one that the active stacks allow.

        Where there is a choice of lengths, it is the one that brings the `last` element nearest.
        """
        parts = {name: next(own[solution[name]].fillings()) for name, own in self.choices.items()}
        cuts: dict[str, Length] = {}
        for name, own in parts.items():
            if not own or not (cut := own[0].design.cut):
                continue

            cut = limited(cut, name, _measures(active)) or cut

            def window(check: Callable[[Stack], bool], name: str = name, cut: Cut = cut) -> Window:
                stacks = [stack for stack in self.setting.stacks if check(stack)]
                return window_of(self.setting, parts, name, cut, self.setting.selective, stacks)

            allowed = window(lambda stack: of_stack(stack) in active)
            cuts[name] = allowed.middle if allowed else cut.low
            if last and allowed:
                own_window = window(lambda stack: of_stack(stack) == last)
                cuts[name] = min(max(own_window.middle, allowed.low), allowed.high)
        return Assembly(parts, cuts)

    def _all_switches(self) -> Iterator[_Switch]:
        setting, measures = self.setting, self.setting.measures
        for said in statements(setting):
            element = frozenset({of_statement(said)})
            for name, position in setting.application.positions.items():
                if sieve := said.sieve(setting.catalog, position):
                    yield _Switch(SieveReader(setting, name, sieve), element)
            for code in said.codes if isinstance(said, Keep | Used) else ():
                yield _Switch(KeepRun(setting, code), element)
        for joint in setting.joints:
            yield _Switch(JointRun(setting, joint, self._matings), frozenset(), resting_on(setting, joint), joint=joint)
        for trait in setting.application.match:
            yield _Switch(LookRun(setting, trait), frozenset({of_match(trait)}))
        for rule in setting.rules:
            yield _Switch(RuleRun(setting, rule), frozenset({of_rule(rule)}), resting_on(setting, rule))
        unmeasured = replace(setting, statements=tuple(said for said in setting.statements if said not in measures))
        for run in stack_runs(unmeasured, cut_dimensions(setting)):
            stacks = [(stack, resting_on(setting, stack)) for stack in run.stacks]
            yield _Switch(run, frozenset(of_stack(stack) for stack, _ in stacks), stacks=stacks)

    def _choose(self, name: str, position: Position) -> None:
        switches = [switch for switch in self._switches if name in switch.reader.positions]
        readers = [switch.reader for switch in switches]
        classes = classes_of(self.setting.catalog, name, readers, self._groups(name, position, readers))
        choices = self.choices[name] = []
        columns = [switch.columns.setdefault(name, []) for switch in switches]
        gatherings = [Gathering(reader, name, [seen[at] for seen, _ in classes]) for at, reader in enumerate(readers)]
        for members in watched(fillings(name, position, len(classes)), self.watch):
            for column, gathering in zip(columns, gatherings, strict=True):
                column.append(gathering.of(members))
            counts = Counter(members) if len(members) > 1 else dict.fromkeys(members, 1)
            choices.append(Choice(tuple([(classes[member][1], count) for member, count in counts.items()])))
        self._sizes[name] = len(choices)

    def _groups(
        self, name: str, position: Position, readers: Sequence[Reader]
    ) -> Iterator[tuple[Shelf, None, Iterable[Mask]]]:
        """Yield the parts of each shelf in groups that are alike in all that is read of them."""
        catalog, codes = self.setting.catalog, frozenset(self.setting.required)
        sieves = [reader.sieve for reader in readers if isinstance(reader, SieveReader)]
        by_code = [sieve.test for sieve in sieves if sieve.trait is None]
        named = frozenset[str]().union(*(reader.trait_names(name) for reader in readers))
        traits = sorted(catalog.trait_names.intersection(named))
        for shelf in catalog.shelves(position.kinds):
            self.watch.tick()
            alone = shelf.matching(shelf.everything, lambda part: part.code in codes) if codes else 0
            masks = [1 << place for place in places(alone)]
            yield shelf, None, masks + _split(shelf, list(shelf.alike(shelf.everything & ~alone, traits)), by_code)

    def _shape(self, name: str) -> None:
        """Give the position a variable for its shape, where it pays."""
        own = [switch for switch in self._switches if name in switch.columns]
        of_shape = [switch for switch in own if switch.reader.of_shape]
        if found := shapes_of([switch.columns[name] for switch in of_shape], len(of_shape) == len(own)):
            shapes, columns = found
            variable = self._shapes[name] = f"{name}:shape"
            every = range(len(columns[0]))
            self._sizes[variable] = len(every)
            self._shape_tables[variable] = Relation((name, variable), (shapes, every), {(each, each) for each in every})
            for switch, column in zip(of_shape, columns, strict=True):
                switch.columns[name] = column

    def _checks_of(self, switch: _Switch) -> Elements:
        seen: list[Any] = [reading for column in switch.columns.values() for reading in column]
        faces = [face for many in seen for pair in many for face in pair if face]
        if switch.joint is None or not faces:
            return frozenset()
        found: dict[Any, None] = {SIDES: None}
        if any(face.required for face in faces):
            found[MATED] = None
        for name in dict.fromkeys(face.interface for face in faces):
            found.update(dict.fromkeys(self.setting.catalog.interfaces[name].checks))
        return frozenset(of_joint(switch.joint, check) for check in found)

    def _related(self, active: Elements, relaxed: Relaxed | None) -> Iterator[Related]:
        for number, switch in enumerate(self._switches):
            on = switch.checks & active
            if not on or not switch.rests_on <= active:
                continue
            here = relaxed if relaxed and relaxed.element in on else None
            if switch.stacks:
                on = frozenset(of_stack(stack) for stack, rests in switch.stacks if rests <= active) & on
                if not on:
                    continue
            lengths = _measures(active) if switch.stacks else ()
            key = on, here, lengths
            if key not in switch.made:
                switch.made[key] = self._relate(f"{number}", switch, on, here, lengths)
            yield switch.made[key]

    def _relate(
        self, name: str, switch: _Switch, on: Elements, relaxed: Relaxed | None, lengths: tuple[Measure, ...]
    ) -> Related:
        reader, columns = switch.reader, switch.columns
        variables = self._shapes if reader.of_shape else {}
        if isinstance(reader, SieveReader):
            (position,) = reader.positions
            refused = columns[position]
            return Related(kept={position: frozenset(value for value, out in enumerate(refused) if not out)})
        if switch.stacks:
            whole = [stack for stack, _ in switch.stacks]
            some = [stack for stack in whole if of_stack(stack) in on]
            at = of_stacks(whole, some)
            made = [_roomier(stack, relaxed) for stack in some]
            run = StackRun(self.setting, made, reader.cut_position if isinstance(reader, StackRun) else None)
            narrowed: dict[str, list[Hashable]] = {
                position: [_limited(of_tally(tally, at), position, lengths) for tally in columns[position]]  # type: ignore[arg-type]
                for position in run.positions
            }
            return balance(run, name, narrowed, variables, self.watch)
        if switch.joint and (relaxed or on != switch.checks):
            checks: dict[Check, Check] = {
                each.check: each.check for each in on if isinstance(each.check, Same | Within | Gap)
            }
            if relaxed and isinstance(relaxed.element.check, Gap):
                checks[relaxed.element.check] = wider(relaxed.element.check, relaxed.room)
            demands = {each.check for each in on if isinstance(each.check, str)}
            lenient = LenientJointRun(self.setting, switch.joint, self._matings, checks, demands)
            columns = {position: [lenient.reduced(seen) for seen in own] for position, own in columns.items()}
            return relate(lenient, name, columns, variables, self.watch)
        return relate(reader, name, columns, variables, self.watch) if isinstance(reader, Run) else Related()

    def _solve(self, active: Elements, relaxed: Relaxed | None) -> dict[str, int] | None:
        graph = self._graph(active, relaxed, first_only=True)
        found = next(iter(graph), None) if graph else None
        return None if found is None else {name: found.get(name, 0) for name in self.choices}

    def _graph(self, active: Elements, relaxed: Relaxed | None, first_only: bool) -> Graph | None:
        """Return the graph of the variables that these elements are about; None where nothing satisfies them."""
        if not all(self.choices.values()):  # nothing can stand in a position that must be filled
            return None
        domains: dict[str, frozenset[int]] = {}
        tables: list[Table] = []
        states: dict[str, int] = {}
        for related in self._related(active, relaxed):
            if related.dead:
                return None
            tables += related.tables
            states.update(related.states)
            for name, kept in related.kept.items():
                domains[name] = domains[name] & kept if name in domains else kept
        read = {name for table in tables for name in table.scope}.union(domains)
        tables += [table for name, table in self._shape_tables.items() if name in read]
        concerned = {name for table in tables for name in table.scope}.union(domains)
        values: dict[Hashable, list[int]] = {
            name: sorted(domains.get(name, range(size))) for name, size in self._sizes.items() if name in concerned
        }
        if not all(values.values()):
            return None
        values.update((name, list(range(size))) for name, size in states.items())
        graph = compiled(values, tables, self._information, self.watch, first_only)
        return graph or None


def _measures(active: Elements) -> tuple[Measure, ...]:
    """Return the measures among elements, in a settled order."""
    found = (element.statement for element in active)
    return tuple(sorted((said for said in found if isinstance(said, Measure)), key=repr))


def _limited(tally: Tally, position: str, lengths: Sequence[Measure]) -> Tally:
    return tally._replace(cut=limited(tally.cut, position, lengths)) if lengths else tally


def _in_order(switch: _Switch) -> list[Element]:
    """Return the elements of a switch as the catalog has them: what is asked of every joint comes last."""

    def line(element: Element) -> tuple[bool, str, int, str]:
        source = getattr(element.check, "source", None)
        return (isinstance(element.check, str), *(source or ("", 0)), str(element.check))

    return sorted(switch.checks, key=line)


def _roomier(stack: Stack, relaxed: Relaxed | None) -> Stack:
    if relaxed and relaxed.element == of_stack(stack):
        return replace(stack, gap=wider(stack.gap, relaxed.room))
    return stack


def _split(shelf: Shelf, masks: list[int], tests: list[Callable[[Any], bool]]) -> list[int]:
    """Part the items further: those that pass a test from those that do not."""
    for test in tests:
        passing = shelf.matching(shelf.everything, test)
        masks = [part for mask in masks for part in (mask & passing, mask & ~passing) if part]
    return masks
