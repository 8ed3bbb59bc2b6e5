"""Each run accepts what the judge accepts of its own joint, rule, look, demand or stack; short cuts change nothing."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from itertools import islice
from typing import Any

import pytest
from fitwright.solver.answers import solve
from fitwright.solver.application import OPENING
from fitwright.solver.choice import Parts
from fitwright.solver.cutting import cut_to_fit
from fitwright.solver.face import Mating
from fitwright.solver.finding import Verdict
from fitwright.solver.joint_run import JointRun
from fitwright.solver.judge import judge
from fitwright.solver.run import DEAD, Reader, Run
from fitwright.solver.setting import Setting
from fitwright.solver.stack_run import StackRun, stack_runs
from fitwright.solver.statement import Use
from fitwright.solver.tally import Tally
from fitwright.solver.word_run import KeepRun, LookRun, RuleRun
from hypothesis import given
from worlds import candidates, fillings, worlds

from catalogs import catalog_of

_Bill = dict[str, Parts]


def _joint_runs(setting: Setting) -> Iterator[tuple[str, JointRun]]:
    matings = {name: Mating(interface, setting.selective) for name, interface in setting.catalog.interfaces.items()}
    for joint in setting.joints:
        yield f"joint {joint.name}:", JointRun(setting, joint, matings)


def _word_runs(setting: Setting) -> Iterator[tuple[str, Run]]:
    """Pair each run of words with how the judge's findings on the same thing begin."""
    for trait in setting.application.match:
        yield f"match {trait}", LookRun(setting, trait)
    for rule in setting.rules:
        yield f"rule {rule.name}", RuleRun(setting, rule)


def _seen(setting: Setting, reader: Reader, name: str, parts: Parts) -> Hashable:
    own = (setting.opening,) if name == OPENING else parts
    return reader.gather(name, tuple(reader.read(name, part) for part in own))


def _accepts(setting: Setting, run: Run, bill: _Bill) -> bool:
    seen = {name: _seen(setting, run, name, bill.get(name, ())) for name in run.positions}
    run.prepare({name: [reading] for name, reading in seen.items()})
    state = run.start()
    for name in run.positions:
        if state is DEAD:
            return False
        state = run.step(state, name, seen[name])
    return state is not DEAD and run.accepts(state)


def _sound(setting: Setting, bill: _Bill, begins: str, check: str = "") -> bool:
    """Tell whether no finding that begins so is worse than what the job welcomes."""
    welcome = (Verdict.FITS, Verdict.SELECTED) if setting.selective else (Verdict.FITS,)
    return all(
        finding.verdict in welcome
        for finding in judge(setting, cut_to_fit(setting, bill))
        if finding.where.startswith(begins) and (not check or finding.check == check)
    )


def _bills(setting: Setting) -> Iterator[_Bill]:
    for parts in islice(candidates(setting), 40):
        yield dict(zip(setting.application.positions, parts, strict=True))


@given(worlds())
def test_a_joint_run_accepts_what_mates(setting: Setting) -> None:
    for begins, run in _joint_runs(setting):
        for bill in _bills(setting):
            assert _accepts(setting, run, bill) == _sound(setting, bill, begins)


@given(worlds())
def test_a_run_of_words_accepts_what_agrees(setting: Setting) -> None:
    for bill in _bills(setting):
        for begins, run in _word_runs(setting):
            assert _accepts(setting, run, bill) == _sound(setting, bill, begins)
        for code in setting.kept:
            assert _accepts(setting, KeepRun(setting, code), bill) == _sound(setting, bill, "bill", f"keep {code}")


@given(worlds())
def test_the_stack_runs_together_accept_what_adds_up(setting: Setting) -> None:
    parts = setting.catalog.parts.values()
    cut_parts = {
        name: {part.design.cut.dimension for part in parts if part.kind in position.kinds and part.design.cut}
        for name, position in setting.application.positions.items()
    }
    runs = list(stack_runs(setting, cut_parts))
    for bill in _bills(setting):
        assert all(_adds_up(setting, run, bill) for run in runs) == _sound(setting, bill, "stack ")


def _adds_up(setting: Setting, run: StackRun, bill: _Bill) -> bool:
    tallies = [run.gather(name, tuple(run.read(name, part) for part in bill[name])) for name in run.positions]
    return run.accepts(Tally.total((run.start, *tallies)))


@given(worlds())
def test_following_joined_pairs_is_trying_all(setting: Setting) -> None:
    """Each joint is walked stop by stop; the steps by look-up are those by trial."""
    parts = list(setting.catalog.parts.values())
    for _, run in _joint_runs(setting):
        seen = {
            name: list(dict.fromkeys(_seen(setting, run, name, own) for own in _own(setting, name, parts)))
            for name in run.positions
        }
        run.prepare(seen)
        states: list[Any] = [run.start()]
        for name in run.positions:
            last = name == run.positions[-1]
            steps = list(run.steps(states, name, seen[name], last))
            assert len(steps) == len(set(steps))
            assert set(steps) == set(Run.steps(run, states, name, seen[name], last))
            states = list(dict.fromkeys(following for _, _, following in steps))


def _own(setting: Setting, name: str, parts: list[Any]) -> list[Parts]:
    return [()] if name == OPENING else fillings(parts, setting.application.positions[name])


# The walk along a joint, in pictures. The parts are invented; every mouth is required.

_AXIS = """
format: fitwright-catalog/1
unit: in
kinds: {body: body, link: link, cam: cam, ring: ring}
interfaces:
  coupling:
    title: coupling
    sides: [tongue, slot]
    checks: [{same: size, because: one size}]
parts:
  - {code: BODY-A, kind: body, title: body, price: 0, features: {rear: {interface: coupling, side: tongue, size: a}}}
  - {code: BODY-B, kind: body, title: body, price: 0, features: {rear: {interface: coupling, side: tongue, size: b}}}
  - {code: BODY-BARE, kind: body, title: body, price: 0}
  - code: LINK-AB
    kind: link
    title: link
    price: 0
    features:
      front: {interface: coupling, side: slot, size: a}
      rear: {interface: coupling, side: tongue, size: b}
  - {code: LINK-END, kind: link, title: link, price: 0, features: {front: {interface: coupling, side: slot, size: a}}}
  - {code: CAM-A, kind: cam, title: cam, price: 0, features: {seat: {interface: coupling, side: slot, size: a}}}
  - {code: CAM-B, kind: cam, title: cam, price: 0, features: {seat: {interface: coupling, side: slot, size: b}}}
  - {code: RING-A, kind: ring, title: ring, price: 0, features: {bore: {interface: coupling, side: slot, size: a}}}
  - {code: RING-B, kind: ring, title: ring, price: 0, features: {bore: {interface: coupling, side: slot, size: b}}}
applications:
  drive:
    title: drive
    positions:
      body: {kind: body}
      link: {kind: link, optional: true}
      cam: {kind: cam, optional: true}
      ring: {kind: ring, optional: true, up to: 2}
    joints: {axis: [JOINT]}
"""


@pytest.mark.parametrize(
    ("joint", "found"),
    [
        # An absent link lets body and cam meet; a link without a rear ends the row; a bare body lets nothing follow.
        (
            "body.rear, link.front, link.rear, cam.seat",
            {"BODY-A CAM-A", "BODY-B CAM-B", "BODY-A LINK-AB CAM-B", "BODY-A LINK-END", "BODY-BARE"},
        ),
        # Each of the repeated rings meets the same mouth.
        (
            "body.rear, ring.bore",
            {"BODY-BARE", "BODY-A RING-A", "BODY-A RING-A RING-A", "BODY-B RING-B", "BODY-B RING-B RING-B"},
        ),
    ],
)
def test_features_meet_along_the_axis(joint: str, found: set[str]) -> None:
    catalog = catalog_of(_AXIS.replace("JOINT", joint))
    answers = solve(catalog, (Use("drive", text="use drive"),))
    named = {word.split(".")[0] for word in joint.split(", ")}
    listed = {
        " ".join(part.code for name, parts in assembly.parts.items() if name in named for part in parts)
        for assembly in answers.in_order()
    }
    assert listed == found
