"""The lines that were typed: kept where that is possible, and never in anybody's way."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from fitwright.repl.history import MOST_BYTES, MOST_LINES, History, history_path

AS_ROOT = not hasattr(os, "geteuid") or os.geteuid() == 0


def test_lines_come_back_in_the_order_in_which_they_were_added(tmp_path: Path) -> None:
    path = tmp_path / "new" / "history"
    for line in ("use rim", "door 1-3/4 in ± 1/32"):
        History(path).add(line)
    kept = History(path)
    assert kept.lines() == ["use rim", "door 1-3/4 in ± 1/32"]
    assert not kept.trouble
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_file_that_is_missing_is_no_trouble(tmp_path: Path) -> None:
    history = History(tmp_path / "history")
    assert history.lines() == []
    assert not history.trouble


def test_no_more_than_the_latest_lines_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "history"
    path.write_text("".join(f"count {number}\n" for number in range(MOST_LINES + 5)), "utf-8")
    assert History(path).lines() == [f"count {number}" for number in range(5, MOST_LINES + 5)]
    assert path.read_text("utf-8").count("\n") == MOST_LINES
    assert os.listdir(tmp_path) == ["history"]


def test_line_ends_of_other_systems_are_line_ends(tmp_path: Path) -> None:
    path = tmp_path / "history"
    path.write_bytes(b"use rim\r\ncount\r\n")
    assert History(path).lines() == ["use rim", "count"]


def test_of_a_huge_file_only_whole_lines_at_its_end_are_read(tmp_path: Path) -> None:
    path = tmp_path / "history"
    path.write_text("x" * MOST_BYTES + "\nfit\n", "utf-8")
    assert History(path).lines() == ["fit"]


@pytest.mark.parametrize("content", [b"\xff\xfe\x00garbage", b"\x80\x81\n" * 100])
def test_garbage_is_told_and_left_as_it_is(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "history"
    path.write_bytes(content)
    history = History(path)
    assert history.lines() == []
    assert history.trouble == f"what is typed is not kept: {path} can't be read: it is not UTF-8 text"
    history.add("fit")
    assert path.read_bytes() == content


def test_lines_that_can_not_be_shown_are_passed_over(tmp_path: Path) -> None:
    path = tmp_path / "history"
    path.write_text("fit\n\x1b[2Jcount\n\nshow\n", "utf-8")
    history = History(path)
    assert history.lines() == ["fit", "show"]
    history.add("a\x1bb")
    assert "a\x1bb" not in path.read_text("utf-8")


def test_a_folder_in_its_place_is_told(tmp_path: Path) -> None:
    history = History(tmp_path)
    assert history.lines() == []
    history.add("fit")
    assert history.trouble.startswith(f"what is typed is not kept: {tmp_path} can't be read: ")


@pytest.mark.skipif(AS_ROOT, reason="nothing is locked for this user")
@pytest.mark.parametrize("mode", [0o000, 0o400])
def test_a_locked_file_is_told_once_it_is_met(tmp_path: Path, mode: int) -> None:
    path = tmp_path / "history"
    path.write_text("fit\n", "utf-8")
    path.chmod(mode)
    history = History(path)
    assert history.lines() == (["fit"] if mode else [])
    history.add("count")
    assert "Permission denied" in history.trouble


def test_where_no_folder_can_be_made_it_goes_on_without(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("", "utf-8")
    history = History(tmp_path / "state" / "fitwright" / "history")
    history.lines()
    history.add("fit")
    assert history.trouble


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes with names")
def test_a_pipe_in_its_place_makes_nobody_wait(tmp_path: Path) -> None:
    path = tmp_path / "history"
    os.mkfifo(path)
    history = History(path)
    assert history.lines() == []
    assert history.trouble.endswith("can't be read: it is no file")


def test_the_environment_says_where_it_is(tmp_path: Path) -> None:
    assert history_path({"FITWRIGHT_HISTORY": "off"}) is None
    assert history_path({"FITWRIGHT_HISTORY": "OFF"}) is None
    assert history_path({"FITWRIGHT_HISTORY": str(tmp_path / "own")}) == tmp_path / "own"
    assert history_path({"FITWRIGHT_HISTORY": "~/own"}) == Path.home() / "own"


def test_else_it_is_in_the_users_state_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import platformdirs

    path = history_path({})
    assert path == Path(platformdirs.user_state_dir("fitwright", appauthor=False)) / "history"
