"""What is typed and what comes back, whatever it is typed on."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from fitwright.catalogs import load
from fitwright.repl import dialogue as dialogues
from fitwright.repl import workbench
from fitwright.repl.answer import Answer
from fitwright.repl.assists import NAMES, QUIET, Assists, assists
from fitwright.repl.dialogue import Dialogue
from fitwright.repl.job import Job
from fitwright.repl.page import Page, columns_of
from fitwright.repl.question import Count, Question
from fitwright.repl.session import Session
from fitwright.repl.status import Status
from fitwright.repl.telling import told, told_below
from fitwright.repl.transcript import Transcript
from fitwright.repl.words import StatementError
from fitwright.solver.setting import JobError
from hypothesis import given, settings
from hypothesis import strategies as st

JOB = "use rim; door 1-3/4 in"


@pytest.fixture
def dialogue() -> Dialogue:
    """A dialogue on the bundled catalogs."""
    return Dialogue(Session(load()), Assists())


def _heard(dialogue: Dialogue, line: str) -> list[str]:
    return [told(heard, Page()) for heard in dialogue.take(line)]


def _facts(dialogue: Dialogue) -> list[str]:
    return [said.text for said in dialogue.session.said]


def test_a_line_may_hold_several_statements_and_each_question_is_answered(dialogue: Dialogue) -> None:
    assert _heard(dialogue, "use rim; door 1-3/4 in; into YEW-30; count; count")[0].startswith(
        "fits\n101,886 assemblies"
    )
    assert _facts(dialogue) == ["use rim", "door 1-3/4 in", "into YEW-30"]


def test_a_line_with_a_fault_changes_nothing_and_names_every_fault(dialogue: Dialogue) -> None:
    heard = list(dialogue.take("use rim; door 7 ell; count; into NOTHING"))
    assert [type(each) for each in heard] == [StatementError, StatementError]
    assert _facts(dialogue) == []


def test_the_prompt_names_what_the_job_is_about(dialogue: Dialogue) -> None:
    assert dialogue.prompt == "fitwright> "
    list(dialogue.take("use mortise"))
    assert dialogue.prompt == "mortise> "
    list(dialogue.take("undo"))
    assert dialogue.prompt == "fitwright> "


@pytest.mark.parametrize("word", ["leave", "exit", "quit", "QUIT"])
def test_these_words_end_it(dialogue: Dialogue, word: str) -> None:
    assert _heard(dialogue, f"{JOB}; {word}; count") == []
    assert dialogue.over


def test_the_caret_stands_under_the_word_that_is_wrong(dialogue: Dialogue) -> None:
    line = "use rim; door 1-3/4 in; into OAK"
    (fault,) = dialogue.take(line)
    assert isinstance(fault, StatementError)
    caret, message = told_below(line, fault, "fitwright> ", Page(100)).split("\n")
    assert caret == " " * len("fitwright> use rim; door 1-3/4 in; into ") + "^"
    assert "OAK" in message


def test_no_caret_stands_where_the_line_was_broken_by_the_screen(dialogue: Dialogue) -> None:
    line = f"use rim; {' ' * 60}into OAK"
    (fault,) = dialogue.take(line)
    assert isinstance(fault, StatementError)
    assert "^" not in told_below(line, fault, "fitwright> ", Page(60))


def test_after_a_wide_character_the_caret_still_stands_below(dialogue: Dialogue) -> None:
    (fault,) = dialogue.take("parts 漢字; fit")
    assert isinstance(fault, StatementError)
    caret = told_below("parts 漢字; fit", fault, "> ", Page(100)).partition("\n")[0]
    assert columns_of(caret) == columns_of("> parts 漢字; ") + 1


@dataclass(frozen=True, slots=True)
class Broken(Question):
    """A question with a defect."""

    def answer(self, job: Job) -> Answer:
        """Fail."""
        raise ZeroDivisionError("a defect")


def test_a_defect_is_one_line_and_the_job_outlives_it(
    dialogue: Dialogue, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    list(dialogue.take(JOB))
    monkeypatch.delenv("FITWRIGHT_DEBUG", raising=False)
    monkeypatch.setattr(Count, "answer", Broken.answer)
    assert _heard(dialogue, "count") == [
        "error: count: internal error: ZeroDivisionError: a defect; the job is as it was "
        "(FITWRIGHT_DEBUG=1 shows where)"
    ]
    assert dialogue.status is Status.INTERNAL
    assert _facts(dialogue) == ["use rim", "door 1-3/4 in"]
    assert _heard(dialogue, "fit 1")[0].startswith("fits\n")
    monkeypatch.setenv("FITWRIGHT_DEBUG", "1")
    list(dialogue.take("count"))
    assert "ZeroDivisionError: a defect" in capsys.readouterr().err


def test_a_defect_of_reading_ends_nothing_either(dialogue: Dialogue, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> Any:
        raise RecursionError("a defect")

    with monkeypatch.context() as broken:
        broken.setattr(Session, "read", fail)
        assert "internal error: RecursionError" in _heard(dialogue, "fit")[0]
    assert _heard(dialogue, f"{JOB}; count")[0].startswith("fits\n")


def test_a_transcript_that_can_not_be_written_is_told_once_and_the_session_goes_on(
    dialogue: Dialogue, tmp_path: Path
) -> None:
    folder = tmp_path / "gone"
    folder.mkdir()
    dialogue.session.transcript = Transcript(str(folder / "pier.txt"))
    list(dialogue.take(JOB))
    (folder / "pier.txt").unlink()
    folder.rmdir()
    (told_once,) = _heard(dialogue, "count")
    assert told_once.startswith(f"error: count: {folder}")
    assert told_once.endswith("; nothing more is recorded")
    assert _heard(dialogue, "count")[0].startswith("fits\n")


def test_an_interrupt_stops_the_question_and_the_next_one_works(
    dialogue: Dialogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    list(dialogue.take(JOB))
    asked = Count.answer

    def endless(self: Count, job: Job) -> Answer:
        while True:
            job.watch.tick()
            time.sleep(0.001)

    waits: Iterator[bool] = iter((False, True))
    wait = dialogues.Workbench.do.__globals__["wait"]

    def interrupted(*given: Any) -> Any:
        if next(waits, False):
            raise KeyboardInterrupt
        return wait(*given)

    monkeypatch.setattr(Count, "answer", endless)
    monkeypatch.setitem(dialogues.Workbench.do.__globals__, "wait", interrupted)
    assert _heard(dialogue, "count; fit") == ["stopped: count: interrupted"]
    assert dialogue.status is Status.INTERRUPTED
    monkeypatch.setattr(Count, "answer", asked)
    assert _heard(dialogue, "count")[0].startswith("fits\n")
    assert _facts(dialogue) == ["use rim", "door 1-3/4 in"]


def test_what_is_left_is_told_once_it_is_known(dialogue: Dialogue) -> None:
    list(dialogue.take(f"{JOB}; into YEW-30"))
    assert dialogue.left() == ""
    dialogue.bench.look().result()
    assert dialogue.left() == "101,886 assemblies left"
    list(dialogue.take("door 7 in"))
    dialogue.bench.look().result()
    assert dialogue.left() == "nothing is left; ask `why not`"


def test_a_job_that_can_not_be_asked_is_looked_at_without_harm(
    dialogue: Dialogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused() -> Job:
        raise JobError("this can't be", "drop it")

    list(dialogue.take("use rim"))
    monkeypatch.setattr(dialogue.session, "begin", refused)
    dialogue.bench.look().result()
    assert (dialogue.bench.outlook, dialogue.left()) == (None, "")


def test_a_menu_that_fails_is_empty(dialogue: Dialogue, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*given: object) -> None:
        raise ZeroDivisionError

    assert dialogue.bench.suggest("use ", 4).result()
    monkeypatch.setattr(workbench, "suggestions", broken)
    assert dialogue.bench.suggest("use ", 4).result() == []


def test_a_look_that_is_out_of_date_is_given_up(dialogue: Dialogue) -> None:
    list(dialogue.take(JOB))
    first = dialogue.bench.look()
    list(dialogue.take("into YEW-30"))
    dialogue.bench.look().result()
    assert first.cancelled() or first.done()
    assert dialogue.left() == "101,886 assemblies left"


def test_the_toolbar_says_how_the_job_stands_as_far_as_there_is_room(dialogue: Dialogue) -> None:
    assert dialogue.toolbar(100) == "no job yet: `use` says what it is about; `help` and `tour` tell more"
    list(dialogue.take(f"{JOB}; into YEW-30; fit 1"))
    dialogue.bench.look().result()
    full = "rim | door 1-3/4 in | into YEW-30 | 101,886 assemblies left | last: fits"
    assert dialogue.toolbar(100) == full
    assert dialogue.toolbar(len(full)) == full
    assert dialogue.toolbar(len(full) - 1) == "rim | door 1-3/4 in | 101,886 assemblies left | last: fits"
    assert dialogue.toolbar(45) == "rim | 101,886 assemblies left | last: fits"
    assert dialogue.toolbar(31) == "rim | 101,886 assemblies left"
    assert dialogue.toolbar(10) == "rim | 101…"
    list(dialogue.take("door 7 in; fit"))
    assert dialogue.toolbar(100).endswith("| last: does not fit")


def test_each_help_is_switched_by_its_name(dialogue: Dialogue) -> None:
    for name in NAMES:
        (said,) = _heard(dialogue, f"set {name} off")
        assert name in said
        assert not getattr(dialogue.assists, name)
        list(dialogue.take(f"set {name} on"))
        assert getattr(dialogue.assists, name)
    list(dialogue.take("set quiet on"))
    assert dialogue.assists == QUIET
    list(dialogue.take("set quiet off"))
    assert dialogue.assists == Assists()
    assert all(name in _heard(dialogue, "set")[0] for name in NAMES)


@pytest.mark.parametrize("line", ["set tollbar on", "set toolbar perhaps", "set toolbar", "tour pilot", "leave now"])
def test_what_can_not_be_set_is_a_fault_with_what_would_be_right(dialogue: Dialogue, line: str) -> None:
    (fault,) = dialogue.take(line)
    assert isinstance(fault, StatementError)
    assert fault.hint or fault.what == "`on` or `off` is missing"
    assert dialogue.assists == Assists()
    assert not dialogue.over


@pytest.mark.parametrize(
    ("option", "variable", "quiet"),
    [(False, None, False), (True, None, True), (False, "1", True), (False, "0", False), (False, "", False)],
)
def test_quiet_is_an_option_or_a_variable(option: bool, variable: str | None, quiet: bool) -> None:
    environment = {} if variable is None else {"FITWRIGHT_QUIET": variable}
    assert assists(option, environment) == (QUIET if quiet else Assists())


_WORDS = (
    "use rim|;|door|1-3/4 in|into|YEW-30|want|finish|626|fit|why|not|undo|redo|clear|drop|1|set|toolbar|off|skip|hint|"
    "tour|technician|show|list|#|\0|\t|'|\"|漢|\ud800|±|-|,|x"
)
_PIECES = st.sampled_from(_WORDS.split("|"))


@settings(max_examples=60)
@given(lines=st.lists(st.lists(_PIECES, max_size=6).map(" ".join) | st.text(max_size=30), max_size=5))
def test_no_line_ends_it_or_raises(lines: list[str]) -> None:
    dialogue = Dialogue(Session(load(), limit=1), Assists())
    for line in lines:
        for heard in dialogue.take(line.replace("save", "").replace("open", "")):
            assert isinstance(heard, StatementError) or heard.status is not Status.INTERNAL, (line, told(heard, Page()))
    assert not dialogue.over
