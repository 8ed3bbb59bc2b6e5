"""How answers are laid out: as wide as they are in a pipe, within the screen on a terminal."""

from __future__ import annotations

import pytest
from fitwright.catalogs import load
from fitwright.repl.answer import Answer
from fitwright.repl.page import Page, columns_of
from fitwright.repl.prose import prose
from fitwright.repl.session import Session
from hypothesis import given
from hypothesis import strategies as st

JOB = "use rim; door 1-3/4 in; into YEW-30"

TEXTS = st.text(st.sampled_from("ab ,漢é\u0301—\u00d7"), max_size=60)


def _answer(job: str) -> Answer:
    session = Session(load())
    return [answer for said in session.read(job).said if (answer := session.do(said))][-1]


def _written(job: str, page: Page) -> list[str]:
    return prose(_answer(job), page).split("\n")


@pytest.mark.parametrize(
    ("text", "columns"), [("", 0), ("ab", 2), ("漢字", 4), ("e\u0301", 1), ("é", 1), ("\uff11", 2), ("±—", 2)]
)
def test_columns_are_those_of_a_terminal(text: str, columns: int) -> None:
    """The widths are those of Unicode Standard Annex 11; prompt_toolkit's own measure is a second opinion."""
    from prompt_toolkit.utils import get_cwidth

    assert columns_of(text) == columns == get_cwidth(text)


@given(line=TEXTS, width=st.integers(5, 40))
def test_a_wrapped_line_keeps_its_words_in_their_order_and_its_width(line: str, width: int) -> None:
    pieces = list(Page(width).wrapped(line))
    assert " ".join(pieces).split() == line.split()
    assert all(columns_of(piece) <= width for piece in pieces if len(piece.split()) > 1)


@given(line=TEXTS)
def test_a_stream_takes_any_line_as_it_is(line: str) -> None:
    assert list(Page().wrapped(line)) == [line]


def test_a_table_that_fits_stands_in_columns() -> None:
    lines = _written(f"{JOB}; fit 3", Page(100))
    assert "   core         front" in lines
    assert "1  ALD-CP1-605  ALD-F1-605" in lines


def test_a_table_that_is_too_wide_becomes_a_line_for_each_row_with_what_its_cells_are() -> None:
    lines = _written(f"{JOB}; fit 3", Page(25))
    text = " ".join(" ".join(lines).split())
    assert "   core         front" not in lines
    assert (
        "1 core ALD-CP1-605, front ALD-F1-605 2 core ALD-CP1-605, front ALD-F1-632 3 core ALD-CP1-606, front ALD-F1-606"
        in text
    )


def test_where_tables_are_not_wanted_there_are_lists() -> None:
    lines = _written(f"{JOB}; fit 3", Page(tables=False))
    assert "1  core ALD-CP1-605, front ALD-F1-605" in lines


def test_a_bill_on_a_narrow_screen_names_the_position_first() -> None:
    lines = _written(f"{JOB}; why 1", Page(40))
    assert any(line.startswith("host: YEW-30, ") for line in lines)


@pytest.mark.parametrize(
    "question", ["fit 3", "why 1 full", "choices", "parts tailpiece", "help", "why not finish 626"]
)
@pytest.mark.parametrize("page", [Page(60), Page(30), Page(tables=False)])
def test_nothing_but_heads_is_lost_on_any_page_and_nothing_stands_beside_it(question: str, page: Page) -> None:
    answer = _answer(f"{JOB}; {question}")
    lines = prose(answer, page).split("\n")
    heads = set(answer.rows[0]) if answer.rows else set()
    assert _words(lines) >= _words(prose(answer).split("\n")) - heads
    if page.width:
        assert all(columns_of(line) <= page.width for line in lines if len(line.split()) > 1)


def _words(lines: list[str]) -> set[str]:
    return {word.strip(",:") for line in lines for word in line.split()} - {"-", ""}
