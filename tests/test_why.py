"""Why an assembly fits: in short, in full and about one position, word for word and as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from fitwright.catalogs import load
from fitwright.repl.answer import Answer
from fitwright.repl.json_form import answer_form
from fitwright.repl.prose import prose
from fitwright.repl.question import Question
from fitwright.repl.session import Session

CASES = yaml.safe_load((Path(__file__).parent / "cases" / "why.yaml").read_text("utf-8"))
RIM = "use rim; door 1-3/4 in; opening hand RHR; into YEW-30; want finish 626"
SELECTED = "use rim; door 1-3/4 in; into ELM-520; want finish 626; selective"


def asked(job: str) -> Answer:
    session = Session(load())
    reading = session.read(job)
    assert [str(error) for error in reading.errors] == []
    *facts, question = reading.said
    for said in facts:
        assert not isinstance(said, Question)
        session.say(said)
    assert isinstance(question, Question)
    return session.ask(question)


def test_there_are_cases() -> None:
    assert len(CASES) >= 7


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_each_answer_is_what_the_cases_say(case: dict[str, str]) -> None:
    lines = prose(asked(case["job"])).splitlines()
    told = "\n".join(line for line in lines if not line.startswith(("caution: ", "not checked")))
    assert told == case["answer"].rstrip("\n")


@pytest.mark.parametrize("job", [RIM, SELECTED])
def test_the_short_form_has_a_line_for_each_place_with_its_worst_margin(job: str) -> None:
    answer = asked(f"{job}; why 1")
    lines = prose(answer).splitlines()
    places: dict[str, list[str]] = {}
    for finding in answer_form(answer)["assemblies"][0]["findings"]:
        places.setdefault(finding["where"].partition(":")[0], []).append(finding["verdict"])
    for place, verdicts in places.items():
        (line,) = [line for line in lines if line.startswith(f"{place}: ")]
        worst = "fits if selected" if "fits if selected" in verdicts else "fits"
        assert line.startswith(f"{place}: {worst}")
    assert [line.partition(":")[0] for line in lines if line.partition(":")[0] in places] == list(places)


def test_the_short_and_the_full_form_have_the_same_json() -> None:
    short, full = (answer_form(asked(f"{RIM}; why 1{form}")) for form in ("", " full"))
    assert {**short, "question": ""} == {**full, "question": ""}
    assert answer_form(asked(f"{RIM}; why 1 short")) == {**short, "question": "why 1 short"}


def test_what_concerns_a_position_names_it_and_every_finding_concerns_one() -> None:
    whole = answer_form(asked(f"{RIM}; why 1"))["assemblies"][0]
    told = []
    for name in whole["positions"]:
        answer = asked(f"{RIM}; why 1 {name}")
        form = answer_form(answer)["assemblies"][0]
        assert form["positions"] == whole["positions"]
        assert form["verdict"] == whole["verdict"]
        told += form["findings"]
        assert all(finding in whole["findings"] for finding in form["findings"])
        filled = whole["positions"][name] not in (None, [])
        for finding in form["findings"] if filled else ():
            if finding["where"].startswith("joint "):
                assert f"{name}." in finding["where"]
            elif "when" not in finding["where"]:
                assert name in finding["check"]
        for finding in whole["findings"]:
            if f" {name}." in finding["where"]:
                assert finding in form["findings"]
    assert all(finding in told for finding in whole["findings"])


@pytest.mark.parametrize(
    ("question", "message"),
    [
        ("why 1 heart", "line 1: no position is named heart; use host, body, core"),
        ("why 1 bdy", "line 1: no position is named bdy; did you mean body?"),
        ("why 1 body long", "line 1: no form of the answer is named long"),
        ("why 1 full body", "line 1: body is too much here"),
    ],
)
def test_a_position_or_form_that_is_not_known_is_an_error(question: str, message: str) -> None:
    (error,) = Session(load()).read(f"use rim; {question}").errors
    assert str(error).startswith(message)
