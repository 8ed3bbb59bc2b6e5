"""No text and no bytes make the reader raise anything but CatalogError."""

from __future__ import annotations

from fitwright.catalogs import CatalogError, Fault
from fitwright.catalogs.compiler import compile_catalogs
from hypothesis import given
from hypothesis import strategies as st

from catalogs import HEADER, SAMPLE

SYNTAX = [
    "\n",
    "\n  ",
    "\t",
    "- ",
    ": ",
    "{",
    "}",
    "[",
    "]",
    "&a ",
    "*a",
    "!!int ",
    "---\n",
    "#",
    "'",
    '"',
    "|\n",
    "<<",
]
ODDITIES = ["0", "-1", "9" * 30, "1e9", "no", "~", "½", "±", "\ufeff", "\u2028", "\x00", "\x85", "𝄞"]
PIECES = [*sorted(set(SAMPLE.replace(",", " , ").replace("{", " { ").split())), *SYNTAX, *ODDITIES]
PLACES = [index for index, letter in enumerate(SAMPLE) if not letter.isspace()]


def read(content: bytes) -> None:
    """Compile a file; its faults, if any, are single lines within it."""
    faults: tuple[Fault, ...] = ()
    try:
        compile_catalogs([("test/a.yaml", content)]).catalog()
    except CatalogError as error:
        faults = error.faults
        assert faults
    for fault in faults:
        assert len(str(fault).splitlines()) == 1
        assert 1 <= fault.line <= len(content.decode(errors="replace").splitlines()) + 1


@given(st.binary(max_size=300))
def test_any_bytes(content: bytes) -> None:
    read(content)


@given(st.text(max_size=300))
def test_any_text(text: str) -> None:
    read((HEADER + text).encode(errors="replace"))


@given(st.lists(st.sampled_from(PIECES), max_size=40))
def test_any_words_of_a_catalog(pieces: list[str]) -> None:
    read((HEADER + "".join(pieces)).encode())


@given(st.lists(st.tuples(st.sampled_from(PLACES), st.integers(0, 12), st.sampled_from(["", *PIECES])), max_size=4))
def test_any_slips_in_a_sound_catalog(slips: list[tuple[int, int, str]]) -> None:
    text = SAMPLE
    for place, lost, put in slips:
        text = text[:place] + put + text[place + lost :]
    read(text.encode())


@given(st.data())
def test_any_line_moved_in_a_sound_catalog(data: st.DataObject) -> None:
    lines = SAMPLE.splitlines()
    taken = lines.pop(data.draw(st.integers(0, len(lines) - 1)))
    indent = data.draw(st.integers(-4, 4))
    taken = " " * indent + taken if indent > 0 else taken[-indent:]
    lines.insert(data.draw(st.integers(0, len(lines))), taken)
    read("\n".join(lines).encode())
