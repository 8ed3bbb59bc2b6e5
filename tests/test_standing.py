"""A line while it is typed: what can still become right is not called wrong, and what can't is."""

from __future__ import annotations

import pytest
from fitwright.catalogs import load
from fitwright.repl.language import FORMS
from fitwright.repl.standing import Standing, standing
from hypothesis import given
from hypothesis import strategies as st

EXAMPLES = [form.example for form in FORMS.values() if not form.names_file]


@pytest.mark.parametrize("example", EXAMPLES)
def test_no_beginning_of_what_is_right_is_wrong(example: str) -> None:
    catalog = load()
    for end in range(len(example) + 1):
        assert standing(example[:end], catalog)[0] is not Standing.WRONG, example[:end]
    assert standing(example, catalog) == (Standing.FINE, None)


@pytest.mark.parametrize(
    ("line", "at"),
    [
        ("use rin", "rin"),
        ("use rim; dor 1 in", "dor"),
        ("use rim; want finsh 626", "finsh"),
        ("use rim; want finish 6267", "6267"),
        ("use rim; into YEW-30; into NOTHING", "NOTHING"),
        ("use rim; door 1-3/4 in; keep ALD-T3, NOTHING", "NOTHING"),
        ("use rim; fit x", "x"),
        ("fit", "fit"),
        ("use rim; opening preparation 160, 161", "160, 161"),
    ],
)
def test_what_no_typing_can_mend_is_wrong_in_its_place(line: str, at: str) -> None:
    found, error = standing(line, load())
    assert found is Standing.WRONG
    assert error
    assert line[error.column :].startswith(at)


@pytest.mark.parametrize(
    "line",
    [
        *("us", "use", "use rim; door", "use rim; door 1-3/", "use rim; want fin", "use rim; keep ALD-T3,"),
        *("change 1 t", "want body length 1-1/4 in to", "want body length 1-1/4 in ±", "why 1 core s"),
        *("qui", "exi", "help q", "why not doo", "why not body len", "open pie"),
    ],
)
def test_what_is_only_unfinished_is_called_so(line: str) -> None:
    before = "" if line.startswith("us") else "use rim; "
    assert standing(before + line, load()) == (Standing.UNFINISHED, None)


@given(text=st.text(st.sampled_from("use rim;door 1-/4nwatfisYEW30,#'\"\0漢\n"), max_size=40))
def test_any_text_is_judged(text: str) -> None:
    found, error = standing(text, load())
    assert (found is Standing.WRONG) == (error is not None)
