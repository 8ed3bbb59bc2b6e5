"""Jobs and sessions in files: saved, opened, recorded, replayed; nothing of the user's is lost."""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from fitwright.catalogs import load
from fitwright.repl.answer import Answer
from fitwright.repl.one_shot import one_shot
from fitwright.repl.session import Session
from fitwright.repl.status import Status
from fitwright.solver.catalog import Catalog
from hypothesis import given
from hypothesis import strategies as st

JOB = "use rim; door 1-3/4 in; into YEW-30; want finish 626"


@cache
def bundled() -> Catalog:
    return load()


def done(session: Session, text: str) -> list[Answer]:
    reading = session.read(text)
    assert [str(error) for error in reading.errors] == []
    return [answer for said in reading.said if (answer := session.do(said)) is not None]


def refused(session: Session, text: str) -> str:
    (error,) = session.read(text).errors
    return error.message


@pytest.fixture
def session(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Session:
    monkeypatch.chdir(tmp_path)
    return Session(bundled())


class TestJobs:
    def test_what_was_saved_is_opened(self, session: Session, tmp_path: Path) -> None:
        saved, _, opened = done(session, f"{JOB}; save pier.job; clear; open pier.job")
        assert saved.message == ("4 facts saved to pier.job",)
        assert opened.message == ("4 facts read from pier.job",)
        assert [said.text for said in session.said] == JOB.split("; ")
        assert (tmp_path / "pier.job").read_text() == "# fitwright-job/1\n" + JOB.replace("; ", "\n") + "\n"

    def test_a_saved_job_is_one_for_run(self, session: Session, capsys: pytest.CaptureFixture[str]) -> None:
        done(session, f"{JOB}; save pier.job")
        assert one_shot(["run", "pier.job", "--limit", "1"]) == Status.YES
        assert capsys.readouterr().out.startswith("fits\n")

    def test_opening_can_be_undone(self, session: Session) -> None:
        done(session, f"{JOB}; save pier.job; drop 4; open pier.job; undo")
        assert [said.text for said in session.said] == JOB.split("; ")[:3]

    def test_questions_in_a_file_are_left_out(self, session: Session, tmp_path: Path) -> None:
        (tmp_path / "a.job").write_text("use rim\ndoor 2 in\nfit\ncount\n")
        (opened,) = done(session, "open a.job")
        assert opened.message == ("2 facts read from a.job", "2 lines that are no facts left out")

    def test_a_name_may_hold_blanks_and_semicolons_in_quotes(self, session: Session, tmp_path: Path) -> None:
        done(session, f'{JOB}; save "the; pier.job"; clear; open "the; pier.job"')
        assert (tmp_path / "the; pier.job").exists()
        assert len(session.said) == 4

    @pytest.mark.parametrize(
        ("content", "message"),
        [
            (b"dear diary", "keep.txt holds something else; name another file"),
            (b"# fitwright-job/1\nfit\n", "keep.txt holds more than facts (line 2), which would be lost"),
            (b"\xff\xfe", "keep.txt is not UTF-8 text (line 1); save it as UTF-8"),
        ],
    )
    def test_saving_loses_nothing_of_the_users(
        self, session: Session, tmp_path: Path, content: bytes, message: str
    ) -> None:
        (tmp_path / "keep.txt").write_bytes(content)
        (answer,) = done(session, f"{JOB}; save keep.txt")
        assert (answer.outcome, answer.message[0][: len(message)]) == ("error", message)
        assert (tmp_path / "keep.txt").read_bytes() == content
        assert os.listdir(tmp_path) == ["keep.txt"]

    def test_a_file_with_faults_leaves_the_job_as_it_is(self, session: Session, tmp_path: Path) -> None:
        done(session, JOB)
        (tmp_path / "bad.job").write_text("use rim\ndoor thick\nwant finish 999\n")
        told = refused(session, "open bad.job")
        assert told.startswith("bad.job has 2 faults; the job stays as it is; bad.job, line 2, column 6: ")
        assert len(session.said) == 4

    @pytest.mark.parametrize(
        ("make", "message"),
        [
            (lambda path: None, "x can't be read: No such file or directory"),
            (lambda path: path.mkdir(), "x is a directory; name the file of a job"),
            (lambda path: path.write_bytes(b"\0"), "x is no text; name the file of a job"),
            (lambda path: path.write_bytes(b" " * 1_000_001), "x is longer than 1,000,000 bytes; that is no job"),
            (lambda path: path.write_text(""), "x says nothing of a job; name another file"),
            (lambda path: path.write_text("# fitwright-job/9\n"), "x is of version 9 of its format; this"),
            (lambda path: path.write_text("# fitwright-transcript/1\n"), "x is a transcript; say `replay` with it"),
            (lambda path: path.write_text("open x\n"), "x has a fault; the job stays as it is; x, line 1"),
        ],
    )
    def test_what_is_no_job_is_one_clear_error(
        self, session: Session, tmp_path: Path, make: Callable[[Path], object], message: str
    ) -> None:
        make(tmp_path / "x")
        assert refused(session, "open x").startswith(message)


class TestTranscripts:
    def test_a_replay_finds_every_answer_as_recorded(self, session: Session) -> None:
        *_, replayed = done(
            session,
            f"use rim; record a.txt; {JOB}; fit 2; why 1; why not ALD-T1; show; drop 4; count; undo; next; record off; "
            "replay a.txt",
        )
        assert replayed.message == ("8 answers as recorded, 0 differ",)
        assert replayed.status is Status.YES

    def test_what_stood_before_is_recorded_too(self, session: Session, tmp_path: Path) -> None:
        done(session, f"{JOB}; record a.txt; count; record off; count")
        assert (tmp_path / "a.txt").read_text().splitlines() == [
            "# fitwright-transcript/1",
            *(f"> {said}" for said in JOB.split("; ")),
            "> count",
            *(line for line in (tmp_path / "a.txt").read_text().splitlines()[6:]),
        ]
        assert (tmp_path / "a.txt").read_text().count("> count") == 1

    def test_a_difference_is_shown_with_its_statement(self, session: Session, tmp_path: Path) -> None:
        done(session, f"{JOB}; record a.txt; count; record off")
        text = (tmp_path / "a.txt").read_text()
        (tmp_path / "a.txt").write_text(text.replace("12,952 assemblies", "12,951 assemblies"))
        (replayed,) = done(session, "replay a.txt")
        assert replayed.message[:2] == ("0 answers as recorded, 1 differs", "5. `count`")
        assert "    -12,951 assemblies" in replayed.message
        assert "    +12,952 assemblies" in replayed.message
        assert replayed.status is Status.NO

    def test_the_command_ends_with_1_where_answers_differ(self, session: Session, tmp_path: Path) -> None:
        assert one_shot(["ask", f"{JOB}; count; why 1 short", "--transcript", "a.txt", "--units", "mm"]) == Status.YES
        assert (tmp_path / "a.txt").read_text().splitlines()[1] == "# units: mm"
        assert one_shot(["replay", "a.txt"]) == Status.YES
        (tmp_path / "a.txt").write_text((tmp_path / "a.txt").read_text().replace("fits", "fails"))
        assert one_shot(["replay", "a.txt"]) == Status.NO

    def test_a_replay_changes_neither_the_job_nor_any_file(self, session: Session, tmp_path: Path) -> None:
        (tmp_path / "a.txt").write_text("# fitwright-transcript/1\n> use rim\n> save b.job\n1 fact saved to b.job\n")
        done(session, JOB)
        done(session, "replay a.txt")
        assert len(session.said) == 4
        assert os.listdir(tmp_path) == ["a.txt"]

    @pytest.mark.parametrize(
        ("text", "message"),
        [
            ("", "a.txt is no transcript; the first line of one is `# fitwright-transcript/1`"),
            ("> use rim\n", "a.txt is no transcript; the first line of one is `# fitwright-transcript/1`"),
            ("# fitwright-transcript/1\nfits\n", "a.txt, line 2: an answer stands before any statement; begin with"),
        ],
    )
    def test_what_is_no_transcript_is_one_clear_error(
        self, session: Session, tmp_path: Path, text: str, message: str
    ) -> None:
        (tmp_path / "a.txt").write_text(text)
        (answer,) = done(session, "replay a.txt")
        assert answer.outcome == "error"
        assert answer.message[0].startswith(message)

    def test_recording_loses_nothing_of_the_users(self, session: Session, tmp_path: Path) -> None:
        (tmp_path / "keep.txt").write_text("dear diary\n")
        (answer,) = done(session, "record keep.txt")
        assert answer.message == ("keep.txt holds something else; name another file",)
        assert (tmp_path / "keep.txt").read_text() == "dear diary\n"
        assert done(session, "record off")[0].message == ("nothing was being recorded",)

    def test_what_was_recorded_before_is_not_written_over(self, session: Session, tmp_path: Path) -> None:
        done(session, f"record keep.txt; {JOB}; record off")
        before = (tmp_path / "keep.txt").read_text()
        assert done(session, "record keep.txt")[0].message == (
            "keep.txt holds what was recorded before; name another file, or delete it first",
        )
        assert (tmp_path / "keep.txt").read_text() == before

    def test_statements_with_faults_in_a_transcript_are_differences(self, session: Session, tmp_path: Path) -> None:
        (tmp_path / "a.txt").write_text("# fitwright-transcript/1\n> use rom\n> replay a.txt\n")
        (answer,) = done(session, "replay a.txt")
        assert answer.message[0] == "0 answers as recorded, 2 differ"


WORDS = st.sampled_from(
    ["use rim", "door 1-3/4 in", "door 2 in", "undo", "redo", "clear", "drop 1", "drop 1, 2", "show", "count", "next",
     "fit 1", "sort by price", "sort by body", "group by tailpiece", "why 1", "use bored", "want finish 626", "drop x",
     "open nowhere", "replay nowhere", "record off", "sort", "group by", "next 0", "want body length 1 in"]
)  # fmt: skip


@given(st.lists(WORDS | st.text(max_size=12), max_size=8))
def test_no_line_ends_a_session(lines: list[str]) -> None:
    session = Session(bundled(), limit=1)
    for line in lines:
        for said in session.read(line).said:
            session.do(said)
        again = session.read("show")
        assert [str(error) for error in again.errors] == []
