"""The shell on a screen: what is shown while one types, and what the keys do."""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from fitwright.catalogs import load
from fitwright.repl import workbench
from fitwright.repl.answer import Answer
from fitwright.repl.assists import QUIET, Assists
from fitwright.repl.dialogue import Dialogue
from fitwright.repl.history import History
from fitwright.repl.job import Job
from fitwright.repl.page import columns_of
from fitwright.repl.question import Count
from fitwright.repl.session import Session
from fitwright.repl.shell import Shell, shell
from fitwright.repl.status import Status
from fitwright.solver.statement import Statement
from hypothesis import given, settings
from hypothesis import strategies as st
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput
from sessions import DOCUMENTS, blocks, commands
from terminal import terminal

JOB = "use rim; door 1-3/4 in; into YEW-30"
LEFT = "101,886 assemblies left"
WORKING = "working; Ctrl-C stops it"
ONLY_MENU = Assists(toolbar=False, checks=False, counts=False, mending=False, pages=False)


@pytest.fixture
def session() -> Session:
    """A session on the bundled catalogs."""
    return Session(load())


def _typed(lines: str, session: Session, assists: Assists = QUIET) -> tuple[str, int]:
    """Type lines where nothing can be seen; return what was printed, and the exit status."""
    shown: list[str] = []
    with create_pipe_input() as keyboard:
        keyboard.send_text(lines)
        dialogue = Dialogue(session, assists)
        status = Shell(dialogue, History(None), shown.append, keyboard, DummyOutput()).run()
    greeting, *answers = shown
    assert greeting == dialogue.greeting
    return "\n".join(answers), status


def test_facts_are_said_and_questions_answered_until_the_end_of_input(session: Session) -> None:
    printed, status = _typed(f"{JOB}\rcount\r\x04", session)
    assert printed.startswith("fits\n101,886 assemblies\n")
    assert status is Status.YES
    assert [said.text for said in session.said] == ["use rim", "door 1-3/4 in", "into YEW-30"]


def test_leave_ends_it_before_the_end_of_input(session: Session) -> None:
    assert _typed("use rim\rleave\rcount\r", session) == ("", Status.YES)


def test_a_key_that_interrupts_gives_the_line_up_and_nothing_else(session: Session) -> None:
    _typed("use rim\rdoor 1 in\x03door 2 in\r\x04", session)
    assert [said.text for said in session.said] == ["use rim", "door 2 in"]


@settings(max_examples=25)
@given(line=st.text(st.characters(exclude_characters="\x1a\x1c", exclude_categories=["Cs"]), max_size=40))
def test_whatever_is_typed_the_next_line_is_heard(line: str) -> None:
    session = Session(load())
    # Escape alone begins a key of several characters; the interrupt clears what is left of the line.
    _typed(line.replace("\x04", "") + "\x1b\x1b\x03\x03use rim\rleave\r", session)
    assert session.said or "leave" in line or "quit" in line


def test_the_toolbar_and_the_line_below_a_fact_say_what_is_left(session: Session) -> None:
    with terminal(session) as screen:
        screen.wait("no job yet: `use` says what it is about")
        screen.enter(JOB, "rim>", LEFT, f"rim | door 1-3/4 in | into YEW-30 | {LEFT}")
        screen.enter("door 7 in", "nothing is left; ask `why not`")
        screen.enter("fit", "last: does not fit")


def test_a_question_that_takes_long_is_said_to_be_worked_on(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    answered = Count.answer
    monkeypatch.setattr(workbench, "LONG", 0.05)
    assert WORKING not in _typed(f"{JOB}\rshow\r\x04", session)[0]

    def late(self: Count, job: Job) -> Answer:
        time.sleep(0.3)
        return answered(self, job)

    monkeypatch.setattr(Count, "answer", late)
    assert _typed("count\r\x04", session)[0].startswith(f"{WORKING}\nfits\n")


def test_what_takes_long_is_shown_above_the_line_that_is_being_typed(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    known = threading.Event()

    class Slow(workbench.Outlook):  # type: ignore[misc]
        def solve(self) -> None:
            known.wait(10)
            super().solve()

    monkeypatch.setattr(workbench, "Outlook", Slow)
    with terminal(session) as screen:
        screen.enter(JOB, "rim>", "into YEW-30 | …")
        screen.press("want fin")
        screen.wait("rim> want fin")
        known.set()
        shown = screen.wait(lambda text: text.count(LEFT) == 2)
        assert shown.index(LEFT) < shown.index("rim> want fin")


def test_the_menu_shows_what_may_stand_at_the_cursor_and_with_how_many(session: Session) -> None:
    with terminal(session) as screen:
        screen.enter("use rim; door 1-3/4 in", "rim>")
        screen.press("into YEW-4")
        screen.wait("YEW-40-LHR")
        screen.wait(" left  Yew rim latch, hand RH")


def test_the_menu_follows_what_is_taken_back_and_closes_when_told_to(session: Session) -> None:
    with terminal(session) as screen:
        screen.enter("use rim", "rim>")
        screen.press("into YEW-40-LHX")
        screen.wait("into YEW-40-LHX")
        screen.press("\x7f")
        screen.wait("Yew rim latch, hand LHR")
        screen.press("escape")
        screen.wait(lambda text: "Yew rim latch" not in text)
        assert "rim> into YEW-40-LH" in screen.text


def test_the_end_of_input_ends_a_tour_before_the_session(session: Session) -> None:
    printed, status = _typed("use mortise\rtour manager\r\x04show\r\x04", session)
    assert "the tour is left; the job is again what it was before" in printed
    assert "1  use mortise" in printed or "1: use mortise" in printed
    assert status is Status.YES


def test_each_fault_of_a_pasted_block_names_its_line(session: Session) -> None:
    with terminal(session) as screen:
        screen.press("\x1b[200~use rim\ndoor 1-3/4\nwant finsh 626\x1b[201~", "enter")
        screen.wait("line 2: 1-3/4 has no unit")
        screen.wait("line 3: no trait or position is named finsh")


def test_the_verdict_of_an_answer_and_of_another_job_are_not_mixed_up(session: Session) -> None:
    with terminal(session) as screen:
        screen.enter(f"{JOB}; door 3 in; count", "last: does not fit")
        screen.enter("undo", LEFT)
        screen.wait(lambda text: "last:" not in text)


def test_enter_takes_a_completion_only_where_one_is_chosen(session: Session) -> None:
    with terminal(session) as screen:
        screen.enter("use rim", "rim>")
        screen.press("into YEW-4")
        screen.wait("hand RHR")
        screen.press("down")
        screen.wait("rim> into YEW-40-LH")
        screen.press("enter")
        screen.wait(lambda text: "YEW-40-RHR" not in text)
        assert len(session.said) == 1
        screen.press("enter")
        screen.wait(lambda _: len(session.said) == 2)
        screen.press("into YEW-3")
        screen.wait("YEW-30")
        screen.press("enter")
        screen.wait("^")
        assert len(session.said) == 2


def test_what_is_wrong_is_marked_by_a_word_and_underlined_while_one_types(session: Session) -> None:
    with terminal(session) as screen:
        screen.press("use rim; want finsh 626")
        screen.wait("wrong: no trait or position is named finsh; did you mean finish?")
        screen.wait(lambda _: screen.underlined == "finsh")
        screen.press(*["\x7f"] * 6, "ish 626")
        screen.wait(lambda text: "wrong:" not in text and not screen.underlined)


def test_what_is_only_unfinished_is_not_marked(session: Session) -> None:
    with terminal(session, Assists(menu=False)) as screen:
        for key in "use rim; door 1-3/4 in; into YEW-30; want finish 626":
            screen.press(key)
            time.sleep(0.01)
            assert "wrong" not in screen.text
        screen.wait("want finish 626")
    assert "wrong" not in screen.raw


def test_a_line_with_a_fault_comes_back_with_the_cursor_behind_the_word(session: Session) -> None:
    with terminal(session, Assists(mending=True)) as screen:
        screen.enter("use rim; door 7 ell", "ell is not a known unit; use in or mm")
        line = "fitwright> use rim; door 7 ell"
        lines = screen.wait(lambda text: text.count(line) == 2).split("\n")
        assert lines[lines.index(line) + 1] == " " * line.index("ell") + "^"
        assert not session.said
        screen.press(*["\x7f"] * 3, "in", "enter")
        screen.wait("rim>")
        assert [said.text for said in session.said] == ["use rim", "door 7 in"]


def test_without_mending_the_next_line_is_empty(session: Session) -> None:
    with terminal(session) as screen:
        screen.enter("use rin", "did you mean rim")
        screen.wait(lambda text: text.count("fitwright>") == 2)
        assert screen.text.count("use rin") == 1
        screen.press("up")
        screen.wait(lambda text: text.count("use rin") == 2)


def test_quiet_shows_nothing_but_what_was_asked_for(session: Session) -> None:
    with terminal(session, QUIET) as screen:
        screen.enter(f"{JOB}; fit 3", "1  core ALD-CP1-605, front ALD-F1-605", "locksmith.")
        screen.press("into YEW-4 ell")
        screen.wait("into YEW-4 ell")
        time.sleep(0.2)
        assert "left" not in screen.text
        assert " | " not in screen.text
        assert "wrong" not in screen.text
        assert all(character.isascii() for character in screen.text)


def test_in_quiet_the_tab_key_lists_what_may_stand_at_the_cursor(session: Session) -> None:
    with terminal(session, QUIET) as screen:
        screen.enter("use rim", "rim>")
        screen.press("into YEW-4", "tab")
        screen.wait("into YEW-40-")
        screen.press("tab")
        screen.wait("YEW-40-RHR")


def test_sixty_columns_are_kept_and_a_resize_is_heard(session: Session) -> None:
    with terminal(session, rows=60) as screen:
        screen.enter(JOB, LEFT)
        screen.resize(60, 60)
        screen.wait(lambda text: any(line.startswith("rim |") and len(line) <= 60 for line in text.split("\n")))
        screen.enter("want status stocked; why 1", "host: YEW-30", "locksmith.")
        assert max(map(columns_of, screen.text.split("\n"))) <= 60


def test_colours_are_never_used(session: Session) -> None:
    """Only attributes are set, so that NO_COLOR has nothing to take away."""
    import re

    with terminal(session) as screen:
        screen.enter(JOB, LEFT)
        screen.press("want finish 62", "down")
        time.sleep(0.3)
    codes = {int(code or 0) for found in re.findall(r"\x1b\[([\d;]*)m", screen.raw) for code in found.split(";")}
    assert codes <= {0, 1, 4, 7, 24, 27}


def test_a_long_answer_stops_at_each_screenful(session: Session) -> None:
    with terminal(session, rows=24) as screen:
        screen.press("help", "enter")
        screen.wait("lines more: Enter goes on, a shows all, q stops")
        first = screen.text
        assert "use          what the job is about" in first
        screen.press("x", " ")
        screen.wait(lambda text: text != first and "lines more" in text)
        screen.press("q")
        screen.wait("fitwright>")
        screen.press("help", "enter")
        screen.wait("lines more")
        screen.press("a")
        screen.wait("leave")
        screen.wait(lambda text: "lines more" not in text)
        screen.enter("set pages off", "fitwright>")
        screen.press("help", "enter")
        screen.wait("leave")
        assert "more:" not in screen.text


def test_lines_of_earlier_sessions_are_there_and_those_of_this_one_are_kept(session: Session, tmp_path: Path) -> None:
    path = tmp_path / "history"
    path.write_text("use rim; count\n", "utf-8")
    with terminal(session, history=History(path)) as screen:
        screen.press("up")
        screen.wait("fitwright> use rim; count")
        screen.press("c-c")
        screen.enter("use rim", "rim>")
        screen.enter("use rim", "rim>")
    assert path.read_text("utf-8") == "use rim; count\nuse rim\n"


def test_a_history_that_fails_is_told_once_and_the_lines_of_this_session_are_there(
    session: Session, tmp_path: Path
) -> None:
    with terminal(session, history=History(tmp_path)) as screen:
        screen.enter("use rim", "rim>", "what is typed is not kept")
        screen.enter("door 2 in", "rim | door 2 in | 1,014,582")
        screen.press("up", "up")
        screen.wait("rim> use rim")
        assert screen.text.count("what is typed is not kept") == 1


def test_an_interrupt_stops_a_question_and_the_next_one_works(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The signal that the key sends is raised by hand: this keyboard belongs to no terminal of the system."""
    wait, begun = workbench.wait, threading.Event()

    def endless(self: Count, job: Job) -> Answer:
        begun.set()
        while True:
            job.watch.tick()
            time.sleep(0.001)

    def interrupted(*given: Any) -> Any:
        if begun.is_set():
            begun.clear()
            raise KeyboardInterrupt
        return wait(*given)

    with terminal(session) as screen:
        screen.enter(JOB, LEFT)
        with monkeypatch.context() as slow:
            slow.setattr(Count, "answer", endless)
            slow.setattr(workbench, "wait", interrupted)
            screen.enter("count", "stopped: count: interrupted")
        screen.press("keep ALD-T")
        screen.wait("ALD-T1  no: not with into YEW-30")
        screen.press("c-c")
        screen.enter("count", "101,886 assemblies")
        screen.enter("count", "fits")
        screen.wait("101,886 assemblies")
        assert len(session.said) == 3


def test_a_tour_is_taken_at_the_prompt(session: Session) -> None:
    with terminal(session) as screen:
        screen.enter("tour technician", "step 1 of 9")
        screen.enter("use rim", "step 2 of 9")
        screen.enter("leave", "the tour is left; the job is again what it was before")
        screen.enter("leave")
        assert screen.leave() == Status.YES


def test_where_the_terminal_is_no_console_lines_are_read_plainly(
    session: Session, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class NoConsoleScreenBufferError(Exception):
        """What prompt_toolkit raises on Windows in such a place."""

    def refuse(*_: object, **__: object) -> None:
        raise NoConsoleScreenBufferError

    lines = iter(["use rim", "door 7 ell", "count"])

    def typed(prompt: str) -> str:
        print(prompt, end="")
        try:
            return next(lines)
        except StopIteration:
            raise EOFError from None

    monkeypatch.setattr("fitwright.repl.shell.Prompt", refuse)
    monkeypatch.setattr("builtins.input", typed)
    assert shell(Dialogue(session, QUIET), History(None)) is Status.YES
    printed = capsys.readouterr()
    assert "rim> fits\n1,014,582 assemblies" in printed.out
    assert "ell is not a known unit" in printed.err


def _jobs_in_docs() -> Iterator[object]:
    for document in DOCUMENTS:
        for block in blocks(document.read_text("utf-8")):
            for command, output in commands(block.text) if block.info == "console" else ():
                asked = re.fullmatch(r'fitwright ask "([^"$]+)"', command)
                if asked and not output.startswith("line "):
                    yield pytest.param(asked[1], output, id=f"{document.name}:{block.line}: {asked[1][-40:]}")


@pytest.mark.parametrize(("job", "answer"), list(_jobs_in_docs()))
def test_what_the_docs_ask_is_answered_so_at_the_prompt(job: str, answer: str, session: Session) -> None:
    asks = not all(isinstance(said, Statement) for said in session.read(job).said)
    typed, _ = _typed(f"{job}{'' if asks else '; fit'}\r\x04", session, replace(QUIET, tables=True))
    assert f"{typed}\n".replace(f"{WORKING}\n", "") == answer
