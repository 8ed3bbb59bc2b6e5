"""What must change: the answers word for word, as JSON, and judged; how the question is read."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
import yaml
from fitwright.catalogs import load
from fitwright.repl.answer import Answer
from fitwright.repl.change import ChangeTo, changed_statements
from fitwright.repl.json_form import answer_form
from fitwright.repl.prose import prose
from fitwright.repl.question import Question
from fitwright.repl.session import Session
from fitwright.repl.status import Status
from fitwright.solver.catalog import Catalog
from fitwright.solver.finding import Verdict
from fitwright.solver.statement import Into, Keep, Use, Want

CASES = yaml.safe_load((Path(__file__).parent / "cases" / "change.yaml").read_text("utf-8"))
RIM = "use rim; door 1-3/4 in; into YEW-30; want finish 605; "


@cache
def bundled() -> Catalog:
    return load()


@cache
def answers(job: str, limit: int | None = None) -> tuple[Answer, ...]:
    session = Session(bundled(), limit=limit)
    reading = session.read(job)
    assert [str(error) for error in reading.errors] == []
    found = []
    for said in reading.said:
        if isinstance(said, Question):
            found.append(session.ask(said))
        else:
            session.say(said)
    return tuple(found)


def told(answer: Answer) -> str:
    lines = prose(answer).splitlines()
    return "\n".join(line for line in lines if not line.startswith(("caution: ", "not checked")))


def test_there_are_cases() -> None:
    assert len(CASES) >= 12


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_each_answer_is_what_the_cases_say(case: dict[str, str]) -> None:
    assert "\n\n".join(map(told, answers(case["job"]))) == case["answers"].rstrip("\n")


@pytest.mark.parametrize("job", [case["job"] for case in CASES])
def test_what_is_shown_is_judged_and_adds_up(job: str) -> None:
    for answer in answers(job):
        if not answer.changed:
            continue
        assert answer.count is not None
        assert answer.count >= len(answer.assemblies) == len(answer.changed.changes)
        for shown, change in zip(answer.assemblies, answer.changed.changes, strict=True):
            assert shown.verdict is Verdict.FITS
            after = sorted((fate.new, fate.part.code, fate.pieces) for fate in change.fates if fate.new)
            pieces: dict[tuple[str, str], int] = {}
            for name, code, number in after:
                assert name is not None
                pieces[name, code] = pieces.get((name, code), 0) + number
            assert pieces == {(line.position, line.part.code): line.quantity for line in shown.lines}
            come = [fate for fate in change.fates if fate.word == "comes" and not fate.host]
            assert change.cost == sum(fate.part.price * fate.pieces for fate in come)
            assert change.distance.bought == sum(fate.pieces for fate in come)
            handled = [step for step in change.steps if step.work == "put in"]
            moved = [fate for fate in change.fates if fate.new and fate.word != "stays"]
            work = bundled().applications[answer.application.name].work if answer.application else ()
            assert sorted((step.code, step.position) for step in handled) == sorted((f.part.code, f.new) for f in moved)
            assert [work.index(step.position) for step in handled] == sorted(work.index(f.new) for f in moved)


@pytest.mark.parametrize("job", [case["job"] for case in CASES])
def test_the_json_carries_what_the_prose_says(job: str) -> None:
    for answer in answers(job):
        form, words = answer_form(answer)["change"], prose(answer)
        assert (form is None) is (answer.changed is None)
        for part in form["nearest"][0]["parts"] if form and form["nearest"] else ():
            assert f"{part['what']} " in words
            assert part["code"] in words


def test_a_limit_shows_fewer_and_counts_all() -> None:
    job = "use rim; door 1-3/4 in; change 1 to use mortise"
    (whole,), (one,), (none,) = answers(job), answers(job, 1), answers(job, 0)
    assert whole.count == one.count == none.count == 4
    assert [len(each.assemblies) for each in (whole, one, none)] == [4, 1, 0]
    assert "3 others are as near\n" in prose(one)
    assert "4 assemblies as near as any" in prose(none)


def test_new_statements_take_the_place_of_those_about_the_same() -> None:
    catalog = bundled()
    said = (Use("rim"), Into("YEW-30"), Want("finish", ("605",)), Want("keyway", ("P1",)), Keep(("ALD-T3",)))
    new, left_out = changed_statements(catalog, said, (Want("finish", ("626",)),))
    assert new == (Use("rim"), Into("YEW-30"), Want("keyway", ("P1",)), Want("finish", ("626",)))
    assert left_out == (Keep(("ALD-T3",)),)
    new, left_out = changed_statements(catalog, said, (Use("mortise"),))
    assert new == (Use("mortise"), Want("finish", ("605",)), Want("keyway", ("P1",)))
    assert left_out == (Into("YEW-30"), Keep(("ALD-T3",)))


def test_the_text_of_each_statement_is_its_own() -> None:
    reading = Session(bundled()).read(f"{RIM}change 1 to door 2 in and want finish 626")
    (question,) = [said for said in reading.said if isinstance(said, ChangeTo)]
    assert [said.text for said in question.to] == ["door 2 in", "want finish 626"]


def test_what_follows_use_is_understood_by_it() -> None:
    reading = Session(bundled()).read(f"{RIM}change 1 to use mortise and into OAK-210")
    assert not reading.errors


@pytest.mark.parametrize(
    ("said", "column", "message"),
    [
        ("change", 7, "what it is to be is missing; say it as a fact, such as `to want finish 626`"),
        ("change 1", 9, "what it is to be is missing; say it as a fact, such as `to want finish 626`"),
        ("change 1 to finish 626", 12, "what it is to be is missing; say it as a fact, such as `to want finish 626`"),
        ("change 1 to want finish 999", 24, "no finish is named 999; say `list finish` for all"),
        ("change 1 to door 2 in and want finish 999", 38, "no finish is named 999; say `list finish` for all"),
        ("change 0 to door 2 in", 7, "0 is out of range; give a number from 1 to 10000"),
        ("change ALD-TT3 to door 2 in", 7, "no part is named ALD-TT3; did you mean ALD-T3?"),
        ("change to door 2 in", 7, "the number of an assembly, or the codes of its parts, is missing"),
    ],
)
def test_what_can_not_be_read_is_refused_with_its_place(said: str, column: int, message: str) -> None:
    (error,) = Session(bundled()).read(f"use rim\n{said}").errors
    assert (error.column, error.message[: len(message)]) == (column, message)


def test_a_job_without_answers_has_no_assembly_to_change() -> None:
    (answer,) = answers("use rim; door 3 in; into YEW-30; change 1 to door 2 in")
    assert answer.status is Status.WRONG
    assert answer.message == ("there is no assembly 1; the job has none: say `why not`",)
