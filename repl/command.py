"""The command `fitwright`: a job from a file, from the input or from the command line, answered once."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path

from ..catalogs import CatalogError, check, load
from .answer import Answer, Status
from .command_line import UsageError, command_line
from .json_form import answer_form, document, error_form, statement_error_form
from .prose import prose
from .question import Fit, Question
from .session import Session

LARGEST_JOB = 1_000_000
"""Job texts of more bytes are refused: something else was given by mistake."""

BROKEN_PIPE = 141
"""What a program ends with when the reader of its output has gone (128 + SIGPIPE), by convention."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    for stream in (sys.stdout, sys.stderr):
        if reconfigure := getattr(stream, "reconfigure", None):
            reconfigure(errors="replace")
    try:
        status = _run(given)
        sys.stdout.flush()
        return status
    except BrokenPipeError:
        # The interpreter flushes once more when it ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BROKEN_PIPE
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return Status.INTERRUPTED
    except Exception as error:  # whatever it is, the user gets one line and a status that tells
        if os.environ.get("FITWRIGHT_DEBUG"):
            raise
        _complain(f"internal error: {type(error).__name__}: {error} (FITWRIGHT_DEBUG=1 shows where)", "--json" in given)
        return Status.INTERNAL


def _run(given: Sequence[str]) -> int:
    parser = command_line()
    try:
        options = parser.parse_args(given)
        if options.command is None:
            print(parser.format_help(), end="", file=sys.stderr)
            return Status.WRONG
        if options.command == "catalogs":
            return _check_catalog(options.folder, bundled=not options.only)
        text = _job_text(options)
        return _answer_all(text, options)
    except UsageError as error:
        _complain(str(error), "--json" in given)
        return Status.WRONG
    except CatalogError as error:
        if options.json:
            print(document(error_form(str(fault)) for fault in error.faults))
        else:
            print(error, file=sys.stderr)
        return Status.FAULTY_CATALOG


def _job_text(options: Namespace) -> str:
    if options.command == "ask":
        return "\n".join(options.text)
    try:
        found = sys.stdin.buffer.read(LARGEST_JOB + 1) if options.file == "-" else _bytes_of(options.file)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise UsageError(f"{options.file} can't be read: {reason}") from None
    if len(found) > LARGEST_JOB:
        raise UsageError(f"{options.file} is longer than {LARGEST_JOB:,} bytes; that is no job")
    try:
        return found.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = found.count(b"\n", 0, error.start) + 1
        raise UsageError(f"{options.file} is not UTF-8 text (line {line}); save it as UTF-8") from None


def _bytes_of(file: str) -> bytes:
    with open(file, "rb") as source:
        return source.read(LARGEST_JOB + 1)


def _check_catalog(folder: Path, *, bundled: bool) -> int:
    faults = check(folder, bundled=bundled)
    for fault in faults:
        print(fault)
    if not faults:
        print(f"{folder}: no faults")
    return Status.FAULTY_CATALOG if faults else Status.YES


def _answer_all(text: str, options: Namespace) -> int:
    catalog = load(*options.catalog, bundled=not options.only, cache=not options.no_cache)
    session = Session(catalog, unit=options.units, limit=options.limit, time_limit=options.time_limit)
    reading = session.read(text)
    if reading.errors:
        if options.json:
            print(document(map(statement_error_form, reading.errors)))
        else:
            print("\n".join(map(str, reading.errors)), file=sys.stderr)
        return Status.WRONG
    asked = reading.said if reading.asks else [*reading.said, Fit("fit")]
    answers: list[Answer] = []
    try:
        for said in asked:
            if not isinstance(said, Question):
                session.say(said)
                continue
            answers.append(session.ask(said))
            if not options.json:
                _tell(answers[-1], first=len(answers) == 1)
    except KeyboardInterrupt:
        answers.append(Answer(said.text, "stopped", ("interrupted",), status=Status.INTERRUPTED))
        if not options.json:
            _tell(answers[-1], first=len(answers) == 1)
    if options.json:
        print(document(map(answer_form, answers)))
    return max(answer.status for answer in answers)


def _tell(answer: Answer, *, first: bool) -> None:
    """Print an answer; what is no answer goes where the errors go."""
    wrong = answer.outcome in ("error", "stopped")
    if not first:
        print(file=sys.stderr if wrong else sys.stdout)
    if wrong:
        print(f"{answer.outcome}: {answer.question}: {'; '.join(answer.message)}", file=sys.stderr)
    else:
        print(prose(answer), flush=True)


def _complain(message: str, as_json: bool) -> None:
    if as_json:
        print(document([error_form(message)]))
    else:
        print(f"fitwright: {message}", file=sys.stderr)


if __name__ == "__main__":
    sys.exit(main())
