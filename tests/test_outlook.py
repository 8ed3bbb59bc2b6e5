"""What a further statement would leave, counted on the graph of the job without it, as the job solved anew says it."""

from __future__ import annotations

from random import Random

from fitwright.repl.job import Job
from fitwright.repl.outlook import Outlook
from fitwright.solver.part import STATUSES
from fitwright.solver.setting import JobError, Setting
from fitwright.solver.span import Span
from fitwright.solver.statement import (
    Door,
    Into,
    Keep,
    Measure,
    OfStatus,
    OpeningIs,
    Selective,
    Statement,
    Use,
    Used,
    Want,
    Without,
    WithoutTrait,
)
from hypothesis import given
from hypothesis import strategies as st
from worlds import LOOKS, worlds

VALUES = (*LOOKS, "L", "R", "a", "b")


@given(worlds(), st.randoms(use_true_random=False))
def test_each_count_is_that_of_the_job_solved_anew(setting: Setting, random: Random) -> None:
    facts = [said for said in setting.facts if isinstance(said, Use) or random.random() < 0.7]
    outlook = Outlook(Job(setting.catalog, tuple(facts)))
    for said in [_said(setting, random) for _ in range(8)]:
        assert outlook.leaves(said, wait=True) == _solved(setting, (*facts, said)), said


@given(worlds(), st.randoms(use_true_random=False))
def test_what_is_not_waited_for_comes_when_it_is_settled(setting: Setting, random: Random) -> None:
    outlook = Outlook(Job(setting.catalog, setting.facts))
    asked = [_said(setting, random) for _ in range(4)]
    known = {said: outlook.leaves(said) for said in asked}
    while outlook.settle():
        pass
    for said in asked:
        found = outlook.leaves(said)
        assert known[said] in (None, found)
        assert found == _solved(setting, (*setting.facts, said)), said


def _solved(setting: Setting, facts: tuple[Statement, ...]) -> int | None:
    try:
        return Job(setting.catalog, Setting(setting.catalog, facts).facts).answers.count()
    except JobError:
        return None


def _said(setting: Setting, random: Random) -> Statement:
    codes, values = list(setting.catalog.parts), random.sample(VALUES, random.randint(1, 4))
    some = tuple(random.sample(codes, min(len(codes), random.randint(1, 3))))
    trait, length = random.choice(["fin", "hand", "t"]), random.choice([10, 15, 20, 25, 30])
    application = setting.application
    hosts = [code for code in codes if application.host and setting.catalog.parts[code].kind in application.host.kinds]
    return random.choice(
        [
            Keep(some, text="keep"),
            Used(some, text="use"),
            Without(some, text="without"),
            WithoutTrait(trait, tuple(values), text="without"),
            Want(trait, tuple(values), text="want"),
            OfStatus(tuple(random.sample(STATUSES, random.randint(1, 2))), text="want status"),
            Door(Span.exact(random.choice([10, 20, 30, 40])), text="door"),
            Measure(
                random.choice(list(application.positions)), "l", Span(length - 2, length, length + 5), text="want l"
            ),
            OpeningIs("hand", (random.choice("LR"),), text="opening hand"),
            OpeningIs("preparation", ("bored",), text="opening preparation"),
            Selective(text="selective"),
            *(Into(code, text="into") for code in hosts[:1]),
        ]
    )
