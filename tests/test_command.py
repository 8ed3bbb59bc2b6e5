"""The command: what it prints where, what it ends with, and what it does not import."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from fitwright.repl import one_shot
from fitwright.repl.answer import Answer
from fitwright.repl.command import main
from fitwright.repl.question import Fit
from fitwright.repl.status import Status
from fitwright.solver.assembly import Assembly
from fitwright.solver.finding import Finding, Verdict

from catalogs import SAMPLE, write_catalog

MODULE = [sys.executable, "-m", "fitwright.repl.command"]
JOB = "use rim; door 1-3/4 in"


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep the user's caches out."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv("FITWRIGHT_DEBUG", raising=False)


@pytest.fixture
def ask(tmp_path: Path) -> list[str]:
    """The beginning of a command on the sample catalog alone."""
    return ["ask", "--only", "--catalog", str(write_catalog(tmp_path / "test", SAMPLE))]


@pytest.mark.parametrize(
    ("job", "status"),
    [
        (f"{JOB}; fit", 0),
        (f"{JOB}; count", 0),
        (JOB, 0),
        ("list", 0),
        ("help", 0),
        ("use rim; door 7 in; fit", 1),
        (f"{JOB}; check OAK-D1", 1),
        ("parts of speech", 1),
        (f"{JOB}; count; door 7 in; count; help", 1),
        ("use rin", 2),
        ("door 7 in", 2),
        (f"{JOB}; why 99", 2),
        ("", 2),
        ("# nothing", 2),
    ],
)
def test_the_exit_status_is_that_of_the_worst_answer(ask: list[str], job: str, status: int) -> None:
    assert main([*ask, job]) == status


@pytest.mark.parametrize(
    "arguments",
    [
        ["frobnicate"],
        ["ask"],
        ["run"],
        ["run", "no-such-file"],
        ["run", "."],
        ["run", "a\0b"],
        ["ask", "--limit", "few", "list"],
        ["ask", "--time-limit", "0", "list"],
        ["ask", "--time-limit", "nan", "list"],
        ["ask", "--units", "ft", "list"],
        ["ask", "--cat", "x", "list"],
        ["ask", "list \udcff"],
        ["run", "\udcff.job"],
        ["catalogs"],
    ],
)
def test_wrong_usage_is_told_on_one_line_and_ends_with_2(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith("fitwright: ")
    assert "Traceback" not in printed.err


def test_the_version_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["--version"])
    assert not left.value.code
    assert capsys.readouterr().out.startswith("fitwright ")


def test_answers_go_to_the_output_and_errors_do_not(ask: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*ask, f"{JOB}; count; why 99; count"]) == 2
    printed = capsys.readouterr()
    assert printed.out.count("64 assemblies") == 2
    assert printed.err == "\nerror: why 99: there is no assembly 99; the last of them is 64\n"


def test_nothing_is_asked_where_a_statement_is_faulty(ask: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*ask, f"{JOB}; count", "want finsh 626", "door 3"]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert [line for line in printed.err.splitlines() if line.startswith("line")] == [
        "line 2: no trait or position is named finsh; did you mean finish?",
        "line 3: 3 has no unit; write 3 in or 3 mm",
    ]


def test_a_job_is_read_from_a_file(ask: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = tmp_path / "gate.job"
    job.write_bytes(b"\xef\xbb\xbf# the gate\r\nuse rim\r\ndoor 1-3/4 in\r\n")
    assert main(["run", *ask[1:], str(job)]) == 0
    assert capsys.readouterr().out.startswith("fits\n64 assemblies")


def test_a_file_that_is_no_text_is_refused_with_its_line(
    ask: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "gate.job"
    job.write_bytes(b"use rim\ndoor 2\xbd in\n")
    assert main(["run", *ask[1:], str(job)]) == 2
    assert capsys.readouterr().err == f"fitwright: {job} is not UTF-8 text (line 2); save it as UTF-8\n"


def test_a_limit_caps_what_is_shown_but_not_what_is_counted(ask: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*ask, "--json", "--limit", "2", f"{JOB}; fit 9; choices core"]) == 0
    fit, choices = json.loads(capsys.readouterr().out)["answers"]
    assert (len(fit["assemblies"]), fit["count"]) == (2, 64)
    assert (len(choices["rows"]), choices["count"]) == (2, 64)


def test_a_limit_shortens_lists_and_0_leaves_their_numbers(ask: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    questions = f"{JOB}; list finish; parts; parts core; choices; choices core; list stacks"
    assert main([*ask, "--json", "--limit", "1", questions]) == 0
    answers = json.loads(capsys.readouterr().out)["answers"]
    assert [len(answer["rows"]) for answer in answers] == [1] * 6
    assert answers[0]["message"].startswith("3 rows, the first 1 shown")
    assert main([*ask, "--limit", "0", f"list finish; parts; parts core; {JOB}; choices; choices core"]) == 0
    shown = capsys.readouterr().out
    for number in ("3 rows\n", "10 parts of 5 kinds\n", "4 parts\n", "5 positions\n", "4 choices\n"):
        assert number in shown
    assert "shown" not in shown


@pytest.mark.parametrize("text", ["", "# nothing\n\n", " ; ; "])
def test_a_job_that_says_nothing_is_told_what_one_says(
    text: str, ask: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*ask, text]) == 2
    told = "fitwright: there is nothing to ask; a job says for example: use rim; door 1-3/4 in; fit\n"
    assert capsys.readouterr().err == told


class TestFaultyCatalog:
    def test_its_faults_are_told_and_the_status_is_3(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        folder = write_catalog(
            tmp_path / "test", SAMPLE.replace("kind: tailpiece, optional", "kind: tailpice, optional")
        )
        assert main(["ask", "--only", "--catalog", str(folder), "list"]) == 3
        assert "tailpice" in capsys.readouterr().err
        assert main(["catalogs", "check", "--only", str(folder)]) == 3
        assert "tailpice" in capsys.readouterr().out

    def test_with_json_each_fault_is_an_answer(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["ask", "--json", "--catalog", str(tmp_path / "nowhere"), "list"]) == 3
        answers = json.loads(capsys.readouterr().out)["answers"]
        assert [answer["verdict"] for answer in answers] == ["error"]

    def test_a_faultless_catalog_is_said_to_be_one(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        folder = write_catalog(tmp_path / "test", SAMPLE)
        assert main(["catalogs", "check", "--only", str(folder)]) == 0
        assert capsys.readouterr().out == f"{folder}: no faults\n"


def test_with_json_errors_are_documents_too(ask: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    def answers(arguments: list[str], status: int) -> list[dict[str, Any]]:
        assert main(arguments) == status
        printed = capsys.readouterr()
        assert printed.err == ""
        found: list[dict[str, Any]] = json.loads(printed.out)["answers"]
        return found

    (wrong,) = answers([*ask, "--json", "use rim; want finsh 626"], 2)
    assert (wrong["question"], wrong["verdict"], wrong["line"], wrong["column"]) == ("want finsh 626", "error", 1, 6)
    assert wrong["message"] == "no trait or position is named finsh; did you mean finish?"
    (usage,) = answers([*ask, "--json", "--limit", "few", "list"], 2)
    assert usage["verdict"] == "error"


class TestStopping:
    def test_a_time_limit_stops_one_question_and_not_the_next(
        self, ask: list[str], capsys: pytest.CaptureFixture[str]
    ) -> None:
        assert main([*ask, "--time-limit", "0.000001", f"{JOB}; fit; list"]) == 124
        printed = capsys.readouterr()
        assert printed.err == "stopped: fit: stopped after 1e-06 s\n"
        assert "applications" in printed.out

    def test_an_interrupt_is_said_and_ends_with_130(
        self, ask: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def interrupted(question: Fit, job: object) -> Answer:
            raise KeyboardInterrupt

        monkeypatch.setattr(Fit, "answer", interrupted)
        assert main([*ask, f"{JOB}; count; fit; count"]) == 130
        printed = capsys.readouterr()
        assert printed.out.startswith("fits\n64 assemblies")
        assert printed.err == "\nstopped: fit: interrupted\n"
        assert main([*ask, "--json", f"{JOB}; count; fit; count"]) == 130
        answers = json.loads(capsys.readouterr().out)["answers"]
        assert [answer["verdict"] for answer in answers] == ["fits", "stopped"]

    @pytest.mark.skipif(sys.platform == "win32", reason="signals are sent otherwise there")
    def test_a_signal_from_the_keyboard_stops_a_running_process(self) -> None:
        program = (
            "from fitwright.repl.command import main; print('ready', flush=True); raise SystemExit(main(['run', '-']))"
        )
        process = subprocess.Popen(
            [sys.executable, "-c", program], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE
        )
        assert process.stdout
        assert process.stdout.readline().strip() == b"ready"
        time.sleep(0.2)  # it waits for its input by then
        process.send_signal(signal.SIGINT)
        _, errors = process.communicate(timeout=30)
        assert (process.returncode, errors) == (130, b"stopped\n")


@pytest.mark.skipif(sys.platform == "win32", reason="descriptors are closed otherwise there")
class TestStreams:
    @staticmethod
    def run(arguments: str, *given: str) -> tuple[int, str, str]:
        """Run the command by a shell, as it is redirected in `arguments`; return its status and what it printed."""
        words = ["sh", "-c", f'exec "$0" -m fitwright.repl.command {arguments}', sys.executable, *given]
        done = subprocess.run(words, capture_output=True, text=True, timeout=60, check=False)
        return done.returncode, done.stdout, done.stderr

    @pytest.mark.parametrize("arguments", ["ask list", "ask --json list", "ask --json use", "--help", "--version"])
    @pytest.mark.parametrize(
        ("redirected", "why"), [(">&-", "it is closed"), (">/dev/full", "No space left on device")]
    )
    def test_output_that_can_not_be_written_is_one_line_and_74(self, arguments: str, redirected: str, why: str) -> None:
        if redirected == ">/dev/full" and not Path("/dev/full").exists():
            pytest.skip("there is no such device here")
        told = f"fitwright: the output can't be written: {why}\n"
        assert self.run(f"{arguments} {redirected}") == (74, "", told)

    def test_no_standard_input_is_wrong_usage(self) -> None:
        told = "fitwright: there is no standard input to read the job from; name its file\n"
        assert self.run("run - <&-") == (2, "", told)

    @pytest.mark.parametrize("redirected", ["2>&-", "2>/dev/full"])
    def test_errors_that_nobody_can_read_change_no_status_and_reach_no_output(self, redirected: str) -> None:
        if redirected == "2>/dev/full" and not Path("/dev/full").exists():
            pytest.skip("there is no such device here")
        assert self.run(f"ask frobnicate {redirected}") == (2, "", "")

    def test_bytes_that_are_no_text_are_told_with_their_argument(self) -> None:
        done = subprocess.run([*MODULE, "ask", b"use r\xff"], capture_output=True, check=False)
        assert (done.returncode, done.stdout) == (2, b"")
        assert done.stderr.startswith(b"fitwright: argument 2 is no text in ")
        assert done.stderr.count(b"\n") == 1

    def test_an_interrupt_while_it_is_still_importing_is_no_traceback(self) -> None:
        # The engine's first import is where the signal arrives.
        program = (
            "import os, signal, sys\n"
            "class Interrupted:\n"
            "    def find_spec(self, name, *rest):\n"
            "        if name == 'fitwright.solver':\n"
            "            os.kill(os.getpid(), signal.SIGINT)\n"
            "sys.meta_path.insert(0, Interrupted())\n"
            "from fitwright.repl.command import main\n"
            "raise SystemExit(main(['ask', 'list']))"
        )
        done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
        assert (done.returncode, done.stdout, done.stderr) == (130, "", "stopped\n")


@pytest.mark.skipif(sys.platform == "win32", reason="pipes break otherwise there")
def test_a_reader_that_has_gone_is_no_error() -> None:
    process = subprocess.Popen([*MODULE, "ask", "parts a"], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout
    assert process.stderr
    process.stdout.close()
    errors = process.stderr.read()
    process.stderr.close()
    assert (process.wait(timeout=30), errors) == (Status.BROKEN_PIPE, b"")


class TestInternalErrors:
    @pytest.fixture(autouse=True)
    def broken(self, monkeypatch: pytest.MonkeyPatch) -> None:
        def load(*folders: object, **options: object) -> None:
            raise ZeroDivisionError("a defect")

        monkeypatch.setattr(one_shot, "load", load)

    def test_one_line_is_printed_and_the_status_is_4(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["ask", "list"]) == 4
        printed = capsys.readouterr()
        assert printed.err == "fitwright: internal error: ZeroDivisionError: a defect (FITWRIGHT_DEBUG=1 shows where)\n"

    def test_the_whole_is_shown_where_it_is_asked_for(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("FITWRIGHT_DEBUG", "1")
        with pytest.raises(ZeroDivisionError):
            main(["ask", "list"])


def test_an_answer_that_the_judge_refuses_is_never_shown(
    ask: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(answers: object, assembly: Assembly) -> list[Finding]:
        return [Finding("joint seat", "a check", Verdict.FAILS, "it does not", None)]

    monkeypatch.setattr("fitwright.solver.answers.Answers.findings", refuse)
    assert main([*ask, f"{JOB}; fit"]) == 4
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "the judge refuses" in printed.err


def test_a_warm_question_imports_no_terminal_no_yaml_and_no_units(ask: list[str]) -> None:
    program = (
        "import sys\nfrom fitwright.repl.command import main\nstatus = main(sys.argv[1:])\n"
        "print(status, sorted({'prompt_toolkit', 'yaml', 'pint', 'rich', 'numpy'} & set(sys.modules)), "
        "file=sys.stderr)"
    )
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-c", program, *ask, f"{JOB}; fit"], capture_output=True, text=True, check=True
        )
    assert done.stderr == "0 []\n"


class TestPlainOutput:
    @staticmethod
    def printed(*arguments: str) -> tuple[int, str, str]:
        """Return the status, the output and the errors where only ASCII can be printed."""
        encoding = {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
        done = subprocess.run(
            [*MODULE, *arguments], capture_output=True, text=True, env={**os.environ, **encoding}, check=False
        )
        return done.returncode, done.stdout, done.stderr

    def test_a_tolerance_is_written_in_plain_characters(self, ask: list[str]) -> None:
        status, text, _ = self.printed(*ask, "part ASH-B8")
        assert (status, "1 in +/- 0.002" in text, "?" in text) == (0, True, False)

    def test_other_characters_are_escaped_and_json_stays_what_it_is(self, ask: list[str]) -> None:
        _, text, _ = self.printed(*ask, "--json", "want gl\u00fcck\U0001f600")
        assert json.loads(text)["answers"][0]["question"] == "want gl\u00fcck\U0001f600"
        assert "no trait is named gl\\u00fcck" in self.printed(*ask, "want gl\u00fcck")[2]


def test_answers_come_in_the_same_order_in_every_run() -> None:
    job = "use mortise; door 1-3/4 in; fit 30; use rim; door 1-3/4 in; fit 30"
    printed = {
        subprocess.run(
            [*MODULE, "ask", job], env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True, check=True
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(printed) == 1
