"""The guided first sessions: every step can be done as it says, in other words, or be skipped."""

from __future__ import annotations

from pathlib import Path

import pytest
from fitwright.catalogs import load
from fitwright.repl.assists import Assists
from fitwright.repl.dialogue import Dialogue
from fitwright.repl.page import Page
from fitwright.repl.session import Session
from fitwright.repl.status import Status
from fitwright.repl.telling import told
from fitwright.repl.tours import COURSES

OVER = "that was the tour; the job is again what it was before"


@pytest.fixture
def dialogue() -> Dialogue:
    """A dialogue on the bundled catalogs, with a job of the user's own."""
    begun = Dialogue(Session(load()), Assists())
    list(begun.take("use mortise"))
    return begun


def _heard(dialogue: Dialogue, line: str) -> str:
    return "\n".join(told(heard, Page()) for heard in dialogue.take(line))


def _facts(dialogue: Dialogue) -> list[str]:
    return [said.text for said in dialogue.session.said]


@pytest.mark.parametrize("name", COURSES)
def test_the_line_of_each_step_does_it_and_at_the_end_the_users_job_is_back(dialogue: Dialogue, name: str) -> None:
    steps = COURSES[name].steps
    assert f"step 1 of {len(steps)}: {steps[0].do}" in _heard(dialogue, f"tour {name}")
    for number, step in enumerate(steps, 1):
        heard = _heard(dialogue, step.line)
        assert step.see in heard
        expected = OVER if number == len(steps) else f"step {number + 1} of {len(steps)}: {steps[number].do}"
        assert heard.endswith(expected)
    assert dialogue.status <= Status.NO, "a tour may show what does not fit, but nothing that is wrong"
    assert _facts(dialogue) == ["use mortise"]
    assert dialogue.tour is None


@pytest.mark.parametrize("name", COURSES)
def test_each_step_may_be_skipped_and_the_next_one_still_works(dialogue: Dialogue, name: str) -> None:
    steps = COURSES[name].steps
    list(dialogue.take(f"tour {name}"))
    for _ in steps[:-1]:
        assert "step " in _heard(dialogue, "skip")
    assert OVER in _heard(dialogue, steps[-1].line)


def test_a_tour_is_not_recorded(dialogue: Dialogue, tmp_path: Path) -> None:
    file = tmp_path / "pier.txt"
    list(dialogue.take(f"record {file}; tour technician"))
    list(dialogue.take("use rim; door 1-3/4 in"))
    list(dialogue.take("leave"))
    list(dialogue.take("show; record off"))
    said = [line for line in file.read_text().splitlines() if line.startswith("> ")]
    assert said == ["> use mortise", "> show"]


def test_to_skip_a_step_asks_what_it_asks_whatever_was_said_before(dialogue: Dialogue) -> None:
    list(dialogue.take("tour manager; skip; skip"))
    list(dialogue.take("door 3 in"))
    assert _heard(dialogue, "skip").startswith("fits\n7,008 assemblies\n")


@pytest.mark.parametrize("name", COURSES)
def test_each_hint_is_what_can_be_typed(dialogue: Dialogue, name: str) -> None:
    list(dialogue.take(f"tour {name}"))
    for step in COURSES[name].steps:
        assert _heard(dialogue, "hint") == f"type: {step.line}"
        list(dialogue.take(step.line))


def test_a_step_is_done_by_its_effect_whatever_the_words(dialogue: Dialogue) -> None:
    list(dialogue.take("tour technician; use rim"))
    assert "step 3 of" in _heard(dialogue, "DOOR 1.75 IN")


def test_a_step_may_be_done_in_several_lines(dialogue: Dialogue) -> None:
    list(dialogue.take("tour manager"))
    assert _heard(dialogue, "use mortise") == ""
    assert _heard(dialogue, "into OAK-220") == ""
    assert "step 2 of" in _heard(dialogue, "door 1-3/4 in")


def test_a_fact_that_no_step_asks_for_is_named_and_undone(dialogue: Dialogue) -> None:
    list(dialogue.take("tour technician; use rim"))
    assert _heard(dialogue, "door 2 in") == (
        "this step asks for no `door 2 in`; `undo` takes it back, `hint` shows what to type"
    )
    list(dialogue.take("undo"))
    assert "step 3 of" in _heard(dialogue, "door 1-3/4 in")


def test_a_fault_or_another_question_leaves_the_step_as_it_is(dialogue: Dialogue) -> None:
    list(dialogue.take("tour technician"))
    assert "step" not in _heard(dialogue, "use rin")
    assert "step" not in _heard(dialogue, "list applications")
    assert "step 2 of" in _heard(dialogue, "use rim")


def test_leave_ends_the_tour_first_and_puts_the_job_back(dialogue: Dialogue) -> None:
    list(dialogue.take("tour technician; use rim; door 2 in"))
    assert _heard(dialogue, "leave") == "the tour is left; the job is again what it was before"
    assert _facts(dialogue) == ["use mortise"]
    assert not dialogue.over
    list(dialogue.take("leave"))
    assert dialogue.over


def test_another_tour_takes_the_place_of_the_first(dialogue: Dialogue) -> None:
    list(dialogue.take("tour technician; use rim"))
    assert "step 1 of" in _heard(dialogue, "tour catalog")
    list(dialogue.take("leave"))
    assert _facts(dialogue) == ["use mortise"]


def test_without_a_tour_its_words_say_so_and_list_them(dialogue: Dialogue) -> None:
    assert _heard(dialogue, "skip") == _heard(dialogue, "hint") == "no tour is on; `tour` begins one"
    listed = _heard(dialogue, "tour")
    assert all(name in listed and course.title in listed for name, course in COURSES.items())


def test_a_script_is_shown_the_steps_and_stays_as_it_is() -> None:
    session = Session(load())
    reading = session.read("use rim; tour manager; skip; leave; set toolbar off; count")
    answers = [answer for said in reading.said if (answer := session.do(said))]
    assert f"Type: {COURSES['manager'].steps[0].line}" in answers[0].message[0]
    assert {answer.message for answer in answers[1:4]} == {("this is for the prompt; nothing was done",)}
    assert answers[4].count
