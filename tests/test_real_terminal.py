"""The command in a terminal of the operating system, with the signals that its keys send."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

if sys.platform == "win32":
    pytest.skip("there are no such terminals", allow_module_level=True)

import pexpect

ENDLESS = (
    "import sys\n"
    "from fitwright.repl.command import main\n"
    "from fitwright.repl.question import Count\n"
    "def endless(self, job):\n"
    "    while True:\n"
    "        job.watch.tick()\n"
    "Count.answer = endless\n"
    "sys.exit(main([]))\n"
)
"""The command, its `count` without an end."""


@pytest.fixture
def home(tmp_path: Path) -> dict[str, str]:
    """An environment of its own."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("FITWRIGHT", "XDG_"))}
    return {
        **kept,
        "HOME": str(tmp_path),
        "XDG_CACHE_HOME": str(tmp_path / "cache"),
        "XDG_STATE_HOME": str(tmp_path / "state"),
        "TERM": "xterm-256color",
        "PROMPT_TOOLKIT_NO_CPR": "1",
        "PYTHONUTF8": "1",
    }


def _spawn(environment: dict[str, str], *arguments: str) -> Any:
    return pexpect.spawn(
        sys.executable,
        list(arguments),
        env=environment,
        dimensions=(40, 120),
        timeout=20,
        encoding="utf-8",
        codec_errors="replace",
    )


@pytest.fixture
def started(home: dict[str, str]) -> Iterator[Any]:
    """The shell at its first prompt."""
    child = _spawn(home, "-m", "fitwright.repl.command")
    child.expect_exact("fitwright>")
    yield child
    child.close(force=True)


def test_a_session_from_the_first_prompt_to_the_last(started: Any, tmp_path: Path) -> None:
    started.send("use rim; door 1-3/4 in; into YEW-30\r")
    started.expect_exact("101,886 assemblies left")
    started.expect_exact("rim>")
    started.send("count\r")
    started.expect("fits\r?\n")
    started.expect_exact("101,886 assemblies")
    started.sendintr()
    started.send("undo\r")
    started.expect_exact("no longer said: `into YEW-30`")
    started.expect_exact("rim>")
    started.sendeof()
    started.expect(pexpect.EOF)
    started.close()
    assert started.exitstatus == 0
    kept = (tmp_path / "state" / "fitwright" / "history").read_text("utf-8")
    assert kept == "use rim; door 1-3/4 in; into YEW-30\ncount\nundo\n"


def test_the_key_that_interrupts_stops_a_question_and_the_session_goes_on(home: dict[str, str]) -> None:
    child = _spawn(home, "-c", ENDLESS)
    child.expect_exact("fitwright>")
    child.send("use rim\r")
    child.expect_exact("left")
    for _ in range(2):
        child.send("count\r")
        time.sleep(0.3)
        child.sendintr()
        child.expect_exact("stopped: count: interrupted")
        child.expect_exact("rim>")
    child.send("show\r")
    child.expect_exact("use rim")
    child.send("leave\r")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0


def test_a_terminal_that_can_do_nothing_gets_plain_lines(home: dict[str, str]) -> None:
    child = _spawn({**home, "TERM": "dumb"}, "-m", "fitwright.repl.command")
    child.expect_exact("fitwright> ")
    child.send("use rim; door 7 ell\r")
    child.expect_exact("ell is not a known unit; use in or mm")
    child.send("use rim; count\r")
    child.expect_exact("1,014,582 assemblies")
    child.expect_exact("rim> ")
    child.sendeof()
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    assert "\x1b" not in child.before


@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
def test_a_terminal_without_the_signs_gets_plain_ones(home: dict[str, str], encoding: str) -> None:
    child = _spawn({**home, "PYTHONUTF8": "0", "PYTHONIOENCODING": encoding}, "-m", "fitwright.repl.command", "--quiet")
    child.expect_exact("fitwright>")
    child.send("use rim; door 1-3/4 in; into YEW-30; why 1 full\r")
    child.expect_exact("locksmith.")
    child.expect_exact("rim>")
    child.send("leave\r")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
