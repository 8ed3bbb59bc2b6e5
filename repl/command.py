"""The command `fitwright`."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from .status import Status


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status."""
    try:
        # Imported only now, so that an interrupt meanwhile ends as quietly as a later one.
        from .one_shot import one_shot

        return one_shot(list(sys.argv[1:] if arguments is None else arguments))
    except KeyboardInterrupt:
        if sys.stderr is not None:
            print("stopped", file=sys.stderr)
        return Status.INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
