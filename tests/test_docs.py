"""What the docs show is what happens: every session in them is run again."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest
from captures import CAPTURES, capture
from sessions import DOCUMENTS, SCREEN, Block, blocks, commands, run, write_files

_SESSIONS = [
    pytest.param(document, block.text, id=f"{document.name}:{block.line}")
    for document in DOCUMENTS
    for block in blocks(document.read_text("utf-8"))
    if block.info == "console"
]
_SCREENS = [
    pytest.param(found[1], block.text, id=f"{document.name}:{block.line}")
    for document in DOCUMENTS
    for block in blocks(document.read_text("utf-8"))
    if (found := SCREEN.search(block.info))
]
_PYTHON = [
    pytest.param(document, block, id=f"{document.name}:{block.line}")
    for document in DOCUMENTS
    for block in blocks(document.read_text("utf-8"))
    if block.info == "python" and ">>>" in block.text
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home for all sessions, with the files that the docs show, so that catalogs are read once."""
    home = tmp_path_factory.mktemp("home")
    write_files(DOCUMENTS, home)
    return home


def test_there_are_sessions_in_the_docs() -> None:
    assert len(_SESSIONS) >= 5


@pytest.mark.parametrize(("document", "session"), _SESSIONS)
def test_each_session_prints_what_the_docs_show(document: Path, session: str, folder: Path) -> None:
    shown = list(commands(session))
    assert shown
    for command, output in shown:
        assert run(command, folder) == output, command


def test_there_are_screens_in_the_docs() -> None:
    assert {screen.values[0] for screen in _SCREENS} == set(CAPTURES)


@pytest.mark.parametrize(("name", "shown"), _SCREENS)
def test_each_screen_is_what_the_docs_show(name: str, shown: str) -> None:
    assert capture(name) == shown


@pytest.mark.parametrize(("document", "block"), _PYTHON)
def test_each_python_example_gives_what_the_docs_show(document: Path, block: Block) -> None:
    test = doctest.DocTestParser().get_doctest(block.text, {}, document.name, str(document), block.line)
    runner = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE)
    failures: list[str] = []
    runner.run(test, out=failures.append)
    assert not failures, "".join(failures)
