"""What is offered at the cursor: the right things in the right order, with exact numbers, and never an exception."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from fitwright.catalogs import load
from fitwright.repl.completion import MOST, Suggestion, suggestions
from fitwright.repl.outlook import Outlook
from fitwright.repl.session import Session
from fitwright.repl.standing import Standing, standing
from fitwright.repl.vocabulary import Scene
from hypothesis import given, settings
from hypothesis import strategies as st

JOB = "use rim; door 1-3/4 in; into YEW-30; want finish 613"


def _session(job: str = JOB) -> Session:
    session = Session(load())
    for said in session.read(job).said:
        session.do(said)
    return session


@cache
def _known() -> tuple[Session, Outlook]:
    session = _session()
    outlook = Outlook(session.job)
    outlook.solve()
    return session, outlook


def _offered(text: str, job: str = "") -> list[str]:
    session = _session(job)
    return [each.text for each in suggestions(text, len(text), Scene(session.catalog, session.said))]


def _settled(text: str, session: Session, outlook: Outlook) -> list[Suggestion]:
    scene = Scene(session.catalog, session.said)
    for _ in range(3):  # the job, the numbers, the reasons
        suggestions(text, len(text), scene, outlook)
        while outlook.settle():
            pass
    return suggestions(text, len(text), scene, outlook)


@pytest.mark.parametrize(
    ("text", "offered"),
    [
        ("us", ["use"]),
        ("use r", ["rim"]),
        ("use rim; door 1 in; into yew-3", ["YEW-30"]),
        ("use rim; want fin", ["finish"]),
        ("use rim; want finish 61", ["612", "613", "618", "619"]),
        ("keep t3", ["ALD-T3"]),
        ("keep ALDT3", ["ALD-T3"]),
        ("help wan", ["want"]),
        ("use rim; choices tail", ["tailpiece"]),
        ("set tool", ["toolbar"]),
        ("set toolbar o", ["on", "off"]),
        ("tour tech", ["technician"]),
        ("use rim; instead o", ["of"]),
        ("# use r", []),
        ("use nothing; keep", ["keep"]),
    ],
)
def test_what_may_stand_at_the_cursor_is_offered(text: str, offered: list[str]) -> None:
    found = _offered(text)
    assert found[: len(offered)] == offered
    if not offered:
        assert found == []


def test_the_files_of_the_folder_are_offered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("pier.job", "gate house.job", ".hidden"):
        (tmp_path / name).touch()
    (tmp_path / "folder").mkdir()
    monkeypatch.chdir(tmp_path)
    assert _offered("open ") == ['"gate house.job"', "pier.job"]
    assert _offered("replay pi") == ["pier.job"]
    assert _offered("record o") == ["off"]
    assert standing("open pie", load())[0] is Standing.UNFINISHED


def test_the_facts_are_offered_to_be_dropped() -> None:
    session = _session()
    found = suggestions("drop ", 5, Scene(session.catalog, session.said))
    assert [(each.text, each.meaning) for each in found] == [
        (str(number), said.text) for number, said in enumerate(session.said, 1)
    ]


def test_what_leaves_nothing_stands_last_with_its_reason() -> None:
    session = _session()
    found = _settled("keep ALD-T", session, Outlook(session.job))
    assert [(each.text, each.count, each.reason) for each in found[:3]] == [
        ("ALD-T3", 6552, ""),
        ("ALD-T1", 0, "not with into YEW-30"),
        ("ALD-T2", 0, "not with into YEW-30"),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "door ",
        "opening hand ",
        "into ",
        "want keyway ",
        "without finish ",
        "keep ALD-C",
        "want status ",
        "want finish 605, ",
        "without ALD-F1-",
    ],
)
def test_each_number_is_that_of_the_job_solved_anew(text: str) -> None:
    session = _session("use rim; door 1-3/4 in; into YEW-30")
    found = _settled(text, session, Outlook(session.job))
    counted = [each for each in found if each.count is not None]
    assert counted
    for each in counted[:6]:
        line = text[: each.start] + each.text
        assert _session(f"use rim; door 1-3/4 in; into YEW-30; {line}").job.answers.count() == each.count, line


def test_numbers_are_those_of_the_facts_before_the_cursor_on_the_line() -> None:
    session = _session("use rim; door 1-3/4 in")
    (found,) = _settled("into YEW-30; want finish 613; keep ALD-T3", session, Outlook(session.job))
    assert (found.text, found.count) == ("ALD-T3", 6552)


def test_what_is_undone_on_the_line_counts_as_undone() -> None:
    session = _session("use rim; door 1-3/4 in; into YEW-30")
    outlook = Outlook(session.job)
    text = "undo; keep ALD-T1"
    for _ in range(3):
        found = suggestions(text, len(text), Scene(session.catalog, session.said), outlook, session.ledger)
        while outlook.settle():
            pass
    assert [(each.text, each.count) for each in found] == [("ALD-T1", 298_350)]


def test_in_the_middle_of_a_word_only_what_is_missing_is_put_in() -> None:
    session = _session("use rim")
    for found in suggestions("into YEW-30; fit", 8, Scene(session.catalog, session.said)):
        line = "into YEW-30; fit"[: found.start] + found.text + "into YEW-30; fit"[8:]
        assert standing(line, session.catalog, session.said)[0] is not Standing.WRONG


@settings(max_examples=60)
@given(
    text=st.text(st.sampled_from("use rim;dorwantfihkepALD-T3,162/'\"#漢\0\n"), max_size=30),
    cursor=st.integers(-3, 40),
    begun=st.sampled_from(["", "use rim; ", "use rim; want finish ", "use mortise; keep "]),
)
def test_any_text_with_any_cursor_is_taken_and_what_is_put_in_is_not_wrong(text: str, cursor: int, begun: str) -> None:
    catalog, text = load(), begun + text
    cursor = max(0, min(cursor + len(begun), len(text)))
    found = suggestions(text, cursor, Scene(catalog))
    assert len(found) <= MOST
    for each in found[:5]:
        line = text[: each.start] + each.text
        assert standing(line, catalog)[0] is not Standing.WRONG or standing(text[: each.start], catalog)[0] is (
            Standing.WRONG
        ), line
    session, outlook = _known()
    for each in suggestions(text, cursor, Scene(catalog, session.said), outlook, session.ledger):
        assert each.count is None or each.count >= 0
        outlook.settle()
