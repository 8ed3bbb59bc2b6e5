"""One run of the command: a job from a file, from the input or from the command line, answered once."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ..catalogs import CatalogError, examine, load
from ..solver.catalog import Catalog
from .answer import Answer
from .command_line import UsageError, command_line, names_command
from .json_form import answer_form, document, error_form, statement_error_form
from .output import OutputError, complain, prepare, put
from .page import Page
from .question import Fit
from .replay import Replay
from .session import Session
from .status import Status
from .telling import nothing_asked, told
from .text_file import LARGEST, FileError, read_text, write_text
from .transcript import Transcript
from .wording import counted

if TYPE_CHECKING:
    from .certificate import Certificate

LARGEST_CERTIFICATE = 100_000_000
"""Certificates of more bytes are refused."""


def one_shot(given: Sequence[str]) -> int:
    """Run the command with these arguments and return its exit status."""
    try:
        prepare()
        return _run(given)
    except BrokenPipeError:
        return Status.BROKEN_PIPE
    except OutputError as error:
        complain(f"fitwright: the output can't be written: {error}")
        return Status.UNWRITABLE


def _run(given: Sequence[str]) -> int:
    as_json = "--json" in given
    try:
        _refuse_undecoded(given)
        parser = command_line()
        options = parser.parse_args(given if names_command(given) else ["shell", *given])
        if options.command == "shell":
            from .at_prompt import at_prompt

            return at_prompt(options)
        if options.command == "catalogs":
            return _check_catalog(options.folder, bundled=not options.only)
        if options.command == "verify":
            return _verify(options)
        if options.command == "replay":
            return _replay(options)
        return _answer_all(_job_text(options), options)
    except (UsageError, FileError) as error:
        _tell_error(str(error), as_json)
        return Status.WRONG
    except CatalogError as error:
        if as_json:
            put(document(error_form(str(fault)) for fault in error.faults))
        else:
            complain(str(error))
        return Status.FAULTY_CATALOG
    except (BrokenPipeError, OutputError):
        raise
    except Exception as error:  # whatever it is, the user gets one line and a status that tells
        if os.environ.get("FITWRIGHT_DEBUG"):
            raise
        _tell_error(f"internal error: {type(error).__name__}: {error} (FITWRIGHT_DEBUG=1 shows where)", as_json)
        return Status.INTERNAL


def _refuse_undecoded(given: Sequence[str]) -> None:
    """Refuse arguments with bytes that are no text in the user's encoding: Python hands them on as surrogates."""
    for number, text in enumerate(given, 1):
        if any("\ud800" <= character <= "\udfff" for character in text):
            seen = text.encode(errors="backslashreplace").decode()
            raise UsageError(f"argument {number} is no text in {sys.getfilesystemencoding()}: {seen[:80]}")


def _job_text(options: Namespace) -> str:
    return "\n".join(options.text) if options.command == "ask" else _text_of(options.file)


def _text_of(file: str, what: str = "job", largest: int = LARGEST) -> str:
    try:
        return read_text(file, what, largest)
    except FileError as error:
        raise UsageError(str(error)) from None


def _check_catalog(folder: Path, *, bundled: bool) -> int:
    faults, doubts = examine(folder, bundled=bundled)
    how_many = counted(len(faults), "fault", "faults") if faults else "no faults"
    forgotten = f", {counted(len(doubts), 'doubt', 'doubts')}" if doubts else ""
    put("\n".join([*map(str, faults), *(f"doubt: {each}" for each in doubts), f"{folder}: {how_many}{forgotten}"]))
    return Status.FAULTY_CATALOG if faults else Status.YES


def _verify(options: Namespace) -> int:
    from .claims import CERTIFICATE
    from .shape import ShapeError, parsed
    from .verify import verdict, verify

    try:
        certificate = parsed(_text_of(options.file, "certificate", LARGEST_CERTIFICATE), CERTIFICATE)
    except ShapeError as error:
        raise UsageError(f"{options.file} is no certificate: {error}") from None
    catalog = load(*options.catalog, bundled=not options.only, cache=not options.no_cache)
    outcomes = list(verify(certificate, catalog, options.bound))
    word, status = verdict(outcomes)
    put("\n".join([word, *(f"- {each.word}: {each.told}" for each in outcomes)]))
    for caution in dict.fromkeys(caution for each in outcomes for caution in each.cautions):
        put(f"caution: {caution}")
    return status


def _replay(options: Namespace) -> int:
    catalog = load(*options.catalog, bundled=not options.only, cache=not options.no_cache)
    answer = Session(catalog).do(Replay(f"replay {options.file}", options.file))
    assert answer is not None
    _tell(answer, first=True)
    return answer.status


def _answer_all(text: str, options: Namespace) -> int:
    catalog = load(*options.catalog, bundled=not options.only, cache=not options.no_cache)
    session = Session(catalog, unit=options.units, limit=options.limit, time_limit=options.time_limit)
    reading = session.read(text)
    if reading.errors:
        if options.json:
            put(document(map(statement_error_form, reading.errors)))
        else:
            complain("\n".join(map(str, reading.errors)))
        return Status.WRONG
    if not reading.said:
        raise UsageError(nothing_asked(catalog))
    asked = reading.said if reading.asks else [*reading.said, Fit("fit")]
    if options.transcript:
        session.transcript = Transcript(options.transcript, options.limit, options.units)
    answers: list[Answer] = []
    certificate = _certificate(options.certificate, catalog)
    try:
        for said in asked:
            answer = session.do(said)
            if answer is None:
                continue
            answers.append(answer)
            if certificate:
                certificate.add(session.job, answer)
            if not options.json:
                _tell(answer, first=len(answers) == 1)
    except KeyboardInterrupt:
        answers.append(Answer(said.text, "stopped", ("interrupted",), status=Status.INTERRUPTED))
        if not options.json:
            _tell(answers[-1], first=len(answers) == 1)
    if options.json:
        put(document(map(answer_form, answers)))
    if certificate:
        try:
            write_text(options.certificate, certificate.text())
        except FileError as error:
            complain(f"fitwright: {error}")
            return Status.UNWRITABLE
    return max(answer.status for answer in answers)


def _certificate(file: str | None, catalog: Catalog) -> Certificate | None:
    if file is None:
        return None
    from .certificate import Certificate

    return Certificate(catalog)


def _tell(answer: Answer, *, first: bool) -> None:
    """Print an answer; what is no answer goes where the errors go."""
    text = ("" if first else "\n") + told(answer, Page())
    if answer.outcome in ("error", "stopped"):
        complain(text)
    else:
        put(text)


def _tell_error(message: str, as_json: bool) -> None:
    if as_json:
        put(document([error_form(message)]))
    else:
        complain(f"fitwright: {message}")
