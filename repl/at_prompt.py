"""The command without a job: a dialogue, on whatever is there to type on."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from shutil import get_terminal_size

from ..catalogs import load
from .assists import assists
from .dialogue import Dialogue
from .history import History, history_path
from .plain import converse
from .session import Session
from .transcript import Transcript


def at_prompt(options: Namespace) -> int:
    """Answer what is typed, or what comes through a pipe, and return the exit status."""
    catalog = load(*options.catalog, bundled=not options.only, cache=not options.no_cache)
    session = Session(catalog, unit=options.units, limit=options.limit, time_limit=options.time_limit)
    if options.transcript:
        session.transcript = Transcript(options.transcript, options.limit, options.units)
    typed = all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))
    helps = assists(options.quiet, os.environ)
    if not typed:
        return converse(Dialogue(session, helps), prompts=False)
    dialogue = Dialogue(session, helps, lambda: get_terminal_size().columns)
    if os.environ.get("TERM", "") == "dumb":
        return converse(dialogue, prompts=True)
    from .shell import shell

    return shell(dialogue, History(history_path(os.environ)))
