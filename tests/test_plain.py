"""The command without a job where there is no screen: lines from a pipe or file, answered one by one."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

COMMAND = [sys.executable, "-m", "fitwright.repl.command"]


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home for all runs, so that catalogs are read once."""
    return tmp_path_factory.mktemp("home")


def _run(home: Path, text: str | bytes, *options: str, code: str | None = None) -> subprocess.CompletedProcess[bytes]:
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("FITWRIGHT", "XDG_"))}
    return subprocess.run(
        [sys.executable, "-c", code] if code else [*COMMAND, *options],
        input=text if isinstance(text, bytes) else text.encode(),
        env={**clean, "HOME": str(home), "XDG_CACHE_HOME": str(home / "cache"), "PYTHONUTF8": "1"},
        capture_output=True,
        timeout=60,
        check=False,
    )


def test_each_line_is_answered_as_run_answers_it(home: Path) -> None:
    job = "use rim; door 1-3/4 in\ninto YEW-30\ncount\nfit 2\n"
    piped, run = _run(home, job), _run(home, job, "run", "-")
    assert piped.stdout == run.stdout
    assert piped.stdout.startswith(b"fits\n101,886 assemblies")
    assert (piped.returncode, piped.stderr) == (0, b"")


def test_a_job_without_a_question_is_asked_fit(home: Path) -> None:
    job = "use rim\ndoor 7 in\n"
    piped, run = _run(home, job), _run(home, job, "run", "-")
    assert piped.stdout == run.stdout
    assert piped.returncode == run.returncode == 1


def test_a_line_with_a_fault_is_named_and_the_others_are_answered(home: Path) -> None:
    done = _run(home, "use rim\n\ndoor 7 ell\ncount\n")
    assert done.stderr.startswith(b"line 3: ell is not a known unit")
    assert b"fits\n1,014,582 assemblies" in done.stdout
    assert done.returncode == 2


def test_leave_ends_it(home: Path) -> None:
    done = _run(home, "use rim\ncount\nleave\ncount\n")
    assert done.stdout.count(b"assemblies") == 1
    assert done.returncode == 0


@pytest.mark.parametrize("text", ["", "# nothing\n", "\n\n"])
def test_where_nothing_is_said_that_is_told(home: Path, text: str) -> None:
    piped, run = _run(home, text), _run(home, text, "run", "-")
    assert piped.stderr == run.stderr
    assert piped.stderr.startswith(b"fitwright: there is nothing to ask")
    assert piped.returncode == run.returncode == 2


@pytest.mark.parametrize(
    "text", [b"\xff\xfeuse rim\ncount\n", b"\0\0\0\n", b"use rim; count " + b"x" * 2_000_000, "fit 漢\n".encode()]
)
def test_what_is_no_job_is_refused_in_words(home: Path, text: bytes) -> None:
    done = _run(home, text)
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr
    assert b"internal" not in done.stderr


def test_a_mark_of_byte_order_and_other_line_ends_do_not_matter(home: Path) -> None:
    done = _run(home, b"\xef\xbb\xbfuse rim\r\ncount\r\n")
    assert (done.returncode, done.stderr) == (0, b"")


def test_options_of_a_job_hold_without_a_command_too(home: Path) -> None:
    assert b"44.45 mm" in _run(home, "use rim; door 1-3/4 in; into YEW-30; why 1 full\n", "--units", "mm").stdout


def test_what_is_said_and_answered_is_written_down(home: Path, tmp_path: Path) -> None:
    file = tmp_path / "pier.txt"
    assert _run(home, "use rim\ncount\n", "--transcript", str(file)).returncode == 0
    assert file.read_text("utf-8").startswith("# fitwright-transcript/1\n> use rim\n> count\nfits\n")
    assert _run(home, "", "replay", str(file)).returncode == 0
    taken = tmp_path / "taken"
    taken.write_text("mine\n", "utf-8")
    refused = _run(home, "use rim\n", "--transcript", str(taken))
    assert refused.returncode == 2
    assert b"holds something else" in refused.stderr
    assert taken.read_text("utf-8") == "mine\n"


def test_a_pipe_needs_no_terminal_library(home: Path) -> None:
    code = (
        "import sys; from fitwright.repl.command import main; status = main([]); "
        "print(status, [name for name in ('prompt_toolkit', 'yaml', 'pint') if name in sys.modules])"
    )
    _run(home, "use rim; count\n")  # the cache is warm now
    assert _run(home, "use rim; count\n", code=code).stdout.splitlines()[-1] == b"0 []"


def test_an_interrupt_ends_it(home: Path) -> None:
    code = (
        "import signal, sys, threading, time; from fitwright.repl.command import main; "
        "from fitwright.repl.question import Count; "
        "Count.answer = lambda self, job: [time.sleep(0.001) or job.watch.tick() for _ in iter(int, 1)]; "
        "threading.Timer(1.5, lambda: signal.pthread_kill(threading.main_thread().ident, signal.SIGINT)).start(); "
        "sys.exit(main([]))"
    )
    done = _run(home, "use rim\ncount\ncount\n", code=code)
    assert done.stderr == b"stopped: count: interrupted\n"
    assert done.returncode == 130
