"""Jobs that ask too much: the reason, the numbers and the ways out, word for word and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from fitwright.catalogs import load
from fitwright.repl.answer import Answer
from fitwright.repl.json_form import answer_form
from fitwright.repl.prose import prose
from fitwright.repl.question import Question
from fitwright.repl.session import Session
from fitwright.repl.status import Status
from fitwright.solver.catalog import Catalog

from catalogs import SAMPLE, catalog_of

CASES = yaml.safe_load((Path(__file__).parent / "cases" / "why-not.yaml").read_text("utf-8"))
JOBS = [case["job"] for case in CASES]


@cache
def bundled() -> Catalog:
    return load()


@cache
def answers(job: str) -> tuple[Answer, ...]:
    return tuple(_asked(job))


def _asked(job: str, catalog: Catalog | None = None) -> Iterator[Answer]:
    session = Session(catalog or bundled())
    reading = session.read(job)
    assert [str(error) for error in reading.errors] == []
    for said in reading.said:
        if isinstance(said, Question):
            yield session.ask(said)
        else:
            session.say(said)


def told(answer: Answer) -> str:
    """Return the prose without what stands under every answer of its kind."""
    lines = prose(answer).splitlines()
    return "\n".join(line for line in lines if not line.startswith(("caution: ", "not checked")))


def test_there_are_cases() -> None:
    assert len(CASES) >= 15


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_each_answer_is_what_the_cases_say(case: dict[str, str]) -> None:
    assert "\n\n".join(map(told, answers(case["job"]))) == case["answers"].rstrip("\n")


@pytest.mark.parametrize("job", JOBS)
def test_the_json_carries_what_the_prose_says(job: str) -> None:
    for answer in answers(job):
        form, words = answer_form(answer), prose(answer)
        for member in [each for reason in form["reasons"] for each in reason["members"]]:
            assert (member["statement"] or member["check"] or member["where"]) is not None
            assert str(member["statement"] or member["source"] or member["where"]) in words
            if member["margin"]:
                assert member["margin"].removeprefix("-") in words
        for way in form["ways"]:
            assert f"{way['count']:,} assemb" in words
        assert all(reason["verified"] for reason in form["reasons"])


@pytest.mark.parametrize("job", JOBS)
def test_each_way_out_is_a_job_with_that_many_answers(job: str) -> None:
    facts = [text for text in map(str.strip, job.split(";")) if not text.startswith(("why not", "fit"))]
    for answer in answers(job):
        asked = answer.question.removeprefix("why not").strip()
        for way in answer.refusal.ways if answer.refusal else ():
            assert set(way.out) <= set(facts)
            changed = [fact for fact in facts if fact not in way.out] + list(way.into)
            again = answers("; ".join([*changed, answer.question if asked else "count"]))[0]
            assert (again.count, again.status) == (way.count, Status.YES)


def test_a_no_ends_with_1_and_a_yes_with_0() -> None:
    jobs = ["use rim; door 4 in; why not", "use rim; why not BEE-B1", "use rim; why not ALD-T1", "use rim; why not"]
    assert [answers(job)[0].status for job in jobs] == [Status.NO, Status.NO, Status.YES, Status.YES]


@pytest.mark.parametrize(
    ("question", "message"),
    [
        ("why not ALD-TT1", "line 2: no part or trait is named ALD-TT1; did you mean ALD-T1?"),
        ("why not finish 999", "line 2: no finish is named 999; say `list finish` for all"),
        ("why not 0", "line 2: 0 is out of range; give a number from 1 to 10000"),
        ("why not 2 3", "line 2: 3 is too much here; leave it out, or start a new statement"),
    ],
)
def test_what_is_not_known_is_another_answer_than_what_is_in_none(question: str, message: str) -> None:
    (error,) = Session(bundled()).read(f"use rim\n{question}").errors
    assert str(error).splitlines()[0] == message


def test_a_job_too_open_without_its_statements_gets_its_no_without_a_reason() -> None:
    sizes = ", ".join(f"{size}: {{dimensions: {{thickness: {size}/64 in}}}}" for size in range(1, 41))
    text = SAMPLE.replace("code: ASH-R1\n", f"code: ASH-R{{size}}\n    options: {{size: {{{sizes}}}}}\n")
    catalog = catalog_of(text.replace("up to: 3", "up to: 5"))
    few = ", ".join(map(str, range(1, 11)))
    full, short = _asked(f"use rim; want size {few}; door 7 in; why not; fit", catalog)
    assert [answer.outcome for answer in (full, short)] == ["does not fit", "does not fit"]
    assert full.message == (
        "the reason can't be sought: the position collar can be filled in too many ways where statements are left out",
    )
    assert short.refusal is None
    assert short.message[0] == "nothing is left after `door 7 in`; before it there were assemblies"


def test_a_member_has_every_key_in_json() -> None:
    (form,) = map(answer_form, answers("use rim; door 3 in; into YEW-30; why not"))
    ((statement, check),) = [reason["members"] for reason in form["reasons"]]
    assert list(statement) == list(check)
    expected: dict[str, Any] = {
        "statement": None,
        "where": "stack door-range",
        "nominal": "3 in",
        "low": "3 in",
        "high": "3 in",
        "margin": "-3/4 in",
        "unit": "in",
        "compared": None,
        "parts": ["YEW-30"],
        "nearest": True,
        "source": "harbour/use-rim.yaml:31",
    }
    assert {name: check[name] for name in expected} == expected
    assert statement["statement"] == "door 3 in"


def test_a_further_reason_is_of_what_was_asked_before_on_the_same_facts() -> None:
    job = "use rim; door 1-3/4 in; opening fire 90; into YEW-30"
    *_, second = answers(f"{job}; why not YEW-40-LH; why not 2")
    assert [line for line in told(second).splitlines() if line.startswith("- rule")] == [
        "- rule fire: opening fire one of host fire [harbour/use-rim.yaml:69]"
    ]
    for between in ("count", "opening fire 60"):
        *_, third = answers(f"{job}; why not YEW-40-LH; {between}; why not 2")
        assert "nothing stands in the way" in told(third)


def test_where_a_statement_left_nothing_the_reason_is_about_what_was_said_up_to_it() -> None:
    (answer,) = answers("use rim; door 1-3/4 in; want finish 613; want finish 626; into ELM-520; fit")
    assert "nothing is left after `want finish 626`" in told(answer)
    assert "- the job says `want finish 613`\n- the job says `want finish 626`" in told(answer)


@pytest.mark.parametrize(
    ("asked", "first", "second"),
    [
        ("door 3 in", "does not fit", "what stands against `door 3 in`:"),
        ("door 2 in", "fits", "with `door 2 in` there are 111,114 assemblies"),
        ("opening fire 90", "does not fit", "what stands against `opening fire 90`:"),
        ("opening hand LH", "fits", "`opening hand LH` leaves 99,450 of 99,450 assemblies"),
        ("into YEW-40-LH", "fits", "with `into YEW-40-LH` there are 101,886 assemblies"),
        ("body length 3 in", "does not fit", "what stands against `want body length 3 in`:"),
        ("want body length 1-1/4 in", "fits", "`want body length 1-1/4 in` leaves 23,706 of 99,450 assemblies"),
        ("without ALD-T1", "does not fit", "what stands against `without ALD-T1`:"),
    ],
)
def test_any_fact_can_be_asked_about_as_if_it_were_said(asked: str, first: str, second: str) -> None:
    (answer,) = answers(f"use rim; door 1-3/4 in; into ASH-200; why not {asked}")
    assert told(answer).splitlines()[:2] == [first, second]
