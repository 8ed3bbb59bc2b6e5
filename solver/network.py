"""The job as a constraint problem: a variable for each position, one for each running state, tables between them."""

from __future__ import annotations

from collections.abc import Callable, Hashable

from constraint import Problem

from .application import OPENING
from .columns import Columns
from .face import Mating
from .joint_run import JointRun
from .part import Part
from .relate import balance, relate
from .run import Run
from .setting import Setting
from .stack_run import StackRun, stack_runs
from .watch import Watch
from .word_run import KeepRun, LookRun, RuleRun


class Network(Columns):
    """A setting turned into tables over classes of interchangeable parts.

    `domains` are the values that are left, `tables` the constraints, `states` the sizes of the running-state
    variables. `dead_end` names a position (or the opening) that is left without a choice before any search. Parts to
    which `apart` gives different labels are never in one class.
    """

    def __init__(
        self, setting: Setting, watch: Watch | None = None, apart: Callable[[Part], Hashable] | None = None
    ) -> None:
        readers = _readers(setting)
        super().__init__(setting, readers, watch or Watch(), _labelling(frozenset(setting.required), apart))
        self.states: dict[str, int] = {}
        for number, reader in enumerate(readers):
            if self.dead_end is None:
                self._relate(number, reader)

    def problem(self) -> Problem:
        """Return the python-constraint problem. There must be no `dead_end`."""
        problem = Problem()
        for name, values in self.domains.items():
            problem.addVariable(name, sorted(values))
        for name, size in self.states.items():
            problem.addVariable(name, range(size))
        for table in self.tables:
            problem.addConstraint(table, table.scope)
        return problem

    def _relate(self, number: int, reader: Run | StackRun) -> None:
        columns = {name: self.columns[number, name] for name in reader.positions if name != OPENING}
        variables = self.shapes if reader.of_shape else {}
        if OPENING in reader.positions:
            columns[OPENING] = [reader.gather(OPENING, (reader.read(OPENING, self.setting.opening),))]
        related = (
            balance(reader, str(number), columns, variables, self.watch)
            if isinstance(reader, StackRun)
            else relate(reader, str(number), columns, variables, self.watch)
        )
        self.tables += related.tables
        self.states.update(related.states)
        for name, kept in related.kept.items():
            self.domains[name] &= kept
        empty = [name for name, values in self.domains.items() if not values]
        if related.dead or empty:
            self.dead_end = next(iter([*empty, *reader.positions]), OPENING).removesuffix(":shape")


def _labelling(required: frozenset[str], apart: Callable[[Part], Hashable] | None) -> Callable[[Part], Hashable] | None:
    """Return what tells parts apart beside what readers see of them; None where nothing does."""
    if not required:
        return apart
    return lambda part: (part.code if part.code in required else None, apart(part) if apart else None)


def _readers(setting: Setting) -> list[Run | StackRun]:
    application = setting.application
    matings = {name: Mating(interface, setting.selective) for name, interface in setting.catalog.interfaces.items()}
    return [
        *(JointRun(setting, joint, matings) for joint in setting.joints),
        *(LookRun(setting, trait) for trait in application.match),
        *(RuleRun(setting, rule) for rule in setting.rules),
        *(KeepRun(setting, code) for code in setting.required),
        *stack_runs(setting, cut_dimensions(setting)),
    ]


def cut_dimensions(setting: Setting) -> dict[str, set[str]]:
    """Return for each position the dimensions that some part there is cut in."""
    return {
        name: {shelf.design.cut.dimension for shelf in setting.catalog.shelves(position.kinds) if shelf.design.cut}
        for name, position in setting.application.positions.items()
    }
