"""Rewrites what the docs show by what happens now. Run by hand, and read the difference: python tests/update_docs.py"""

from __future__ import annotations

import tempfile
from pathlib import Path

from captures import capture
from fitwright.repl.language import FORMS
from sessions import DOCUMENTS, SCREEN, blocks, commands, run, write_files

_START, _END = "<!-- forms -->\n", "<!-- end of forms -->"


def updated(text: str, folder: Path) -> str:
    """Return a document with the table of forms and every session and screen as they are now."""
    if _START in text:
        before, _, rest = text.partition(_START)
        text = f"{before}{_START}{table()}{_END}{rest.partition(_END)[2]}"
    for block in reversed(list(blocks(text))):
        shown = block.text
        if block.info == "console":
            shown = "".join(f"$ {command}\n{run(command, folder)}" for command, _ in commands(block.text))
        elif screen := SCREEN.search(block.info):
            shown = capture(screen[1])
        text = text[: block.start] + shown + text[block.start + len(block.text) :]
    return text


def table() -> str:
    """Return the table of everything that can be said."""
    rows = [f"| `{form.usage}` | {form.meaning} | `{form.example}` |\n" for form in FORMS.values()]
    return "".join(["| statement | meaning | example |\n", "|---|---|---|\n", *rows])


def main() -> None:
    """Update README.md and docs/*.md in place."""
    with tempfile.TemporaryDirectory() as folder:
        write_files(DOCUMENTS, Path(folder))
        for document in DOCUMENTS:
            text = document.read_text("utf-8")
            document.write_text(updated(text, Path(folder)), "utf-8")


if __name__ == "__main__":
    main()
