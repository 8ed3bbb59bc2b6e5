"""What the command ends with."""

from __future__ import annotations

from enum import IntEnum


class Status(IntEnum):
    """The exit status of the command; with several questions the highest.

    From 64 on they follow custom: 74 is EX_IOERR of sysexits.h, 124 what `timeout` ends with, 130 and 141 are
    128 + SIGINT and 128 + SIGPIPE.
    """

    YES = 0
    NO = 1
    WRONG = 2
    FAULTY_CATALOG = 3
    INTERNAL = 4
    UNSETTLED = 5
    UNWRITABLE = 74
    OUT_OF_TIME = 124
    INTERRUPTED = 130
    BROKEN_PIPE = 141
