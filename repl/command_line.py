"""The options of the command `fitwright`."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from .output import complain, put

BOUND = 200_000
"""How often positions may be filled, each beside those filled before it, to try one claim of a certificate."""


class UsageError(Exception):
    """A command line that can't be taken."""


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{message}\n{self.format_usage().rstrip()}")

    def _print_message(self, message: str, file: object = None) -> None:
        (complain if file is sys.stderr else put)(message, end="")


class _Version(argparse.Action):
    """Prints the version; it is looked up only when it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> NoReturn:
        from importlib.metadata import version

        put(f"fitwright {version('fitwright')}")
        parser.exit()


def command_line() -> argparse.ArgumentParser:
    """Return the parser of the command line."""
    parser = _Parser(
        prog="fitwright",
        description="What fits this door and this lock: lock-cylinder assemblies.",
        epilog="`fitwright ask help` lists what a job can say.",
        allow_abbrev=False,
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="print the version and leave")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)
    shell = commands.add_parser(
        "shell",
        help="answer what is typed, line by line (what `fitwright` alone does)",
        allow_abbrev=False,
        description="Answer what is typed at a prompt, or what comes through a pipe, line by line.",
    )
    shell.add_argument("--quiet", action="store_true", help="nothing moves while you type; lists instead of tables")
    run = commands.add_parser(
        "run",
        help="answer the job in a file",
        allow_abbrev=False,
        description="Answer the job in a file, one statement a line.",
    )
    run.add_argument("file", metavar="FILE", help="the job; - for standard input")
    ask = commands.add_parser(
        "ask",
        help="answer a job given here",
        allow_abbrev=False,
        description="Answer a job given here, its statements separated by semicolons.",
    )
    ask.add_argument("text", metavar="STATEMENTS", nargs="+", help='such as "use rim; door 1-3/4 in; fit"')
    verify = commands.add_parser(
        "verify",
        help="check what a certificate claims",
        allow_abbrev=False,
        description="Check what a certificate claims, by the catalogs alone.",
    )
    verify.add_argument("file", metavar="FILE", help="the certificate; - for standard input")
    verify.add_argument(
        "--bound",
        metavar="N",
        type=_at_least_0,
        default=BOUND,
        help=f"fill positions so often at most to try one claim ({BOUND:,} if not said)",
    )
    replay = commands.add_parser(
        "replay",
        help="run a transcript again and show which answers differ",
        allow_abbrev=False,
        description="Run a transcript again and show which answers differ from those recorded.",
    )
    replay.add_argument("file", metavar="FILE", help="the transcript")
    for each in (shell, run, ask, verify, replay):
        each.add_argument(
            "--catalog",
            metavar="DIR",
            action="append",
            default=[],
            type=Path,
            help="read this catalog on top of the bundled ones; may be repeated",
        )
        each.add_argument("--only", action="store_true", help="leave the bundled catalogs out")
        each.add_argument("--no-cache", action="store_true", help="read the catalogs anew")
    for each in (shell, run, ask):
        each.add_argument(
            "--limit",
            metavar="N",
            type=_at_least_0,
            help="show at most N assemblies, or rows of a list, for each question; 0: only how many there are",
        )
        each.add_argument("--time-limit", metavar="SECONDS", type=_seconds, help="stop a question after so long")
        each.add_argument("--units", choices=("in", "mm"), help="show lengths so (default: as the door is stated)")
        each.add_argument("--transcript", metavar="FILE", help="write down what is said and answered, for `replay`")
    for each in (run, ask):
        each.add_argument("--json", action="store_true", help="answer as one JSON document")
        each.add_argument("--certificate", metavar="FILE", help="write down what the answers claim, for `verify`")
    catalogs = commands.add_parser("catalogs", help="check a catalog of your own", allow_abbrev=False)
    actions = catalogs.add_subparsers(dest="action", metavar="ACTION", required=True, parser_class=_Parser)
    checking = actions.add_parser("check", help="list every fault of a catalog", allow_abbrev=False)
    checking.add_argument("folder", metavar="DIR", type=Path)
    checking.add_argument("--only", action="store_true", help="by itself, not on top of the bundled ones")
    return parser


def names_command(given: Sequence[str]) -> bool:
    """Tell whether a command is named; without one, alone or with options of its own, the shell is meant."""
    return bool(given) and (not given[0].startswith("-") or given[0] in ("-h", "--help", "--version"))


def _at_least_0(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) < 10):
        raise argparse.ArgumentTypeError(f"{text[:20]!r} is not a whole number")
    return int(text)


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = -1.0
    if not 0 < seconds <= 1_000_000:
        raise argparse.ArgumentTypeError(f"{text[:20]!r} is not a number of seconds")
    return seconds
