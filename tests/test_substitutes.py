"""The question `substitutes`: word for word, its counter-examples asked as jobs of their own, how it is read."""

from __future__ import annotations

from functools import cache
from pathlib import Path

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

CASES = yaml.safe_load((Path(__file__).parent / "cases" / "substitutes.yaml").read_text("utf-8"))


@cache
def bundled() -> Catalog:
    return load()


@cache
def answer(job: str, limit: int | None = None, time_limit: float | None = None) -> Answer:
    session = Session(bundled(), limit=limit, time_limit=time_limit)
    reading = session.read(job)
    assert [str(error) for error in reading.errors] == []
    for said in reading.said[:-1]:
        session.do(said)
    question = reading.said[-1]
    assert isinstance(question, Question)
    return session.ask(question)


def test_there_are_cases() -> None:
    assert len(CASES) >= 6


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_each_answer_is_what_the_cases_say(case: dict[str, str]) -> None:
    assert prose(answer(case["job"])) == case["answer"].rstrip("\n")


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_a_counter_example_is_a_job_with_answers(case: dict[str, str]) -> None:
    """The job runs as it is quoted, holds an assembly with one part of the pair, and the other does not fit there."""
    for row in answer(case["job"]).rows:
        if not (example := row["counter-example"]):
            continue
        head, job, _ = str(example).split("`")
        refused = head.removeprefix("not ").removesuffix(" in ")
        (right,) = {str(row["part"]), str(row["may be"])} - {refused}
        session = Session(bundled())
        for said in session.read(f"{job}; count").said:
            given = session.do(said)
        assert given
        assert given.count
        possible = [session.job.answers.choices(name) for name in session.job.application.positions]
        assert any(part and part.code == right for parts in possible for part in parts), (job, right)


def test_the_rows_as_json_have_the_same_columns_and_the_count_is_of_pairs() -> None:
    found = answer_form(answer("use bored; substitutes rose"))
    (row,) = found["rows"]
    assert list(row) == [
        "part",
        "may be",
        "pairs",
        "relation",
        "status",
        "price",
        "counter-example",
        "beyond the checks",
    ]
    assert found["count"] == row["pairs"] == 5


def test_a_limit_shortens_the_rows_and_not_the_counts() -> None:
    job = "use bored; substitutes ROW-B2"
    every, one = answer(job), answer(job, limit=1)
    assert len(one.rows) == 1
    assert one.message == (every.message[0], f"{len(every.rows)} rows, the first 1 shown")
    assert one.count == every.count


def test_without_any_pair_the_answer_is_no() -> None:
    assert answer("substitutes nothing-is-called-so").status is Status.NO
    assert answer("use bored; substitutes rose").status is Status.YES


def test_it_stops_when_the_time_is_over() -> None:
    found = answer("substitutes", time_limit=0.05)
    assert found.outcome == "stopped"
    assert found.status is Status.OUT_OF_TIME
