"""The job language: each statement is read as it is meant, each error names its place and what would be right."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from fitwright.catalogs import load
from fitwright.repl import near
from fitwright.repl.action import Action, Clear, Drop, Open, Redo, Save, Show, Undo
from fitwright.repl.bill import Check, Item
from fitwright.repl.change import ChangeTo
from fitwright.repl.facts import OfStatus
from fitwright.repl.group import Group
from fitwright.repl.instead import InsteadOf
from fitwright.repl.language import FORMS, Help
from fitwright.repl.listed import Next, Sort
from fitwright.repl.lookup import List, PartOf, Parts
from fitwright.repl.order import PREFERENCE, Order
from fitwright.repl.parse import Reading, read
from fitwright.repl.prose import prose
from fitwright.repl.question import Choices, Count, Fit, Question, Reach, Why
from fitwright.repl.remarks import Hint, Leave, Set, Skip, TakeTour
from fitwright.repl.replay import Record, Replay
from fitwright.repl.session import Session
from fitwright.repl.status import Status
from fitwright.repl.substitutes import Substitutes
from fitwright.repl.words import StatementError
from fitwright.solver.catalog import Catalog
from fitwright.solver.length import INCH, MM
from fitwright.solver.span import Span
from fitwright.solver.statement import (
    Door,
    Into,
    Keep,
    OpeningIs,
    Selective,
    Statement,
    Use,
    Want,
    Without,
    WithoutTrait,
)
from hypothesis import given
from hypothesis import strategies as st

from catalogs import SAMPLE, catalog_of

DOCS = Path(__file__).parent.parent / "docs"


@cache
def sample() -> Catalog:
    return catalog_of(SAMPLE)


@cache
def bundled() -> Catalog:
    return load()


def said(text: str, before: str = "use rim") -> Statement | Question | Action:
    """Return the last thing that a text without a fault says."""
    reading = read(f"{before}\n{text}", sample())
    assert not reading.errors
    return reading.said[-1]


FACTS = {
    "use rim": Use("rim", text="use rim"),
    "USE Rim": Use("rim", text="USE Rim"),
    "door 1-3/4 in": Door(Span.exact(7 * INCH // 4), text="door 1-3/4 in"),
    "door 44 mm ± 0.5": Door(Span.plus_minus(44 * MM, MM // 2), text="door 44 mm ± 0.5"),
    "door 35..40 mm": Door(Span(35 * MM, 75 * MM // 2, 40 * MM), text="door 35..40 mm"),
    "opening hand RH": OpeningIs("hand", ("RH",), text="opening hand RH"),
    "opening hand left hand": OpeningIs("hand", ("LH",), text="opening hand left hand"),
    "opening hand LHR from inside": OpeningIs("hand", ("RH",), text="opening hand LHR from inside"),
    "opening hand LHR from the inside": OpeningIs("hand", ("RH",), text="opening hand LHR from the inside"),
    "opening hand RH from outside": OpeningIs("hand", ("RH",), text="opening hand RH from outside"),
    "opening material Wood": OpeningIs("material", ("wood",), text="opening material Wood"),
    "opening fire 90 min": OpeningIs("fire", ("90",), text="opening fire 90 min"),
    "opening fire none": OpeningIs("fire", ("none",), text="opening fire none"),
    "opening egress inside": OpeningIs("egress", ("inside",), text="opening egress inside"),
    "opening preparation 160": OpeningIs("preparation", ("160",), text="opening preparation 160"),
    "into OAK-D1": Into("OAK-D1", text="into OAK-D1"),
    "into oak-d1": Into("OAK-D1", text="into oak-d1"),
    "want finish 626": Want("finish", ("626",), text="want finish 626"),
    "want finish 605, 652": Want("finish", ("605", "652"), text="want finish 605, 652"),
    "want finish us26d": Want("finish", ("626", "652"), text="want finish us26d"),
    "want keyway h2": Want("keyway", ("H2",), text="want keyway h2"),
    "want status stocked, to order": OfStatus(("stocked", "to order"), text="want status stocked, to order"),
    "keep ASH-T ASH-B8": Keep(("ASH-T", "ASH-B8"), text="keep ASH-T ASH-B8"),
    "keep ASH-T, ASH-B8,ASH-T": Keep(("ASH-T", "ASH-B8"), text="keep ASH-T, ASH-B8,ASH-T"),
    "without ASH-B9": Without(("ASH-B9",), text="without ASH-B9"),
    "without finish US26D": WithoutTrait("finish", ("626", "652"), text="without finish US26D"),
    "without status discontinued": OfStatus(("stocked", "to order"), text="without status discontinued"),
    "selective": Selective(text="selective"),
}

QUESTIONS = {
    "fit": Fit("fit", 5),
    "fit 12": Fit("fit 12", 12),
    "count": Count("count"),
    "choices": Choices("choices", None),
    "choices body": Choices("choices body", "body"),
    "group by body": Group("group by body", "body"),
    "why 3": Why("why 3", 3),
    "why 3 full": Why("why 3 full", 3, None, True),
    "why 3 body": Why("why 3 body", 3, "body", True),
    "why 3 BODY Short": Why("why 3 BODY Short", 3, "body", False),
    "reach projection": Reach("reach projection", "projection"),
    "check ASH-B8, ASH-T cut 2-1/8 in, 2 x ASH-R1": Check(
        "check ASH-B8, ASH-T cut 2-1/8 in, 2 x ASH-R1",
        (Item("ASH-B8"), Item("ASH-T", None, 17 * INCH // 8), Item("ASH-R1", 2)),
    ),
    "change 2 to door 2 in": ChangeTo("change 2 to door 2 in", 2, (Door(Span.exact(2 * INCH), text="door 2 in"),)),
    "change ASH-T cut to 2 in to door 2 in": ChangeTo(
        "change ASH-T cut to 2 in to door 2 in",
        (Item("ASH-T", None, 2 * INCH),),
        (Door(Span.exact(2 * INCH), text="door 2 in"),),
    ),
    "instead of ash-t": InsteadOf("instead of ash-t", "ASH-T"),
    "check ASH-T cut to measure": Check("check ASH-T cut to measure", (Item("ASH-T"),)),
    "check 1x ASH-T cut to 2 in": Check("check 1x ASH-T cut to 2 in", (Item("ASH-T", 1, 2 * INCH),)),
    "parts": Parts("parts", None),
    "parts satin chromium": Parts("parts satin chromium", "satin chromium"),
    "substitutes": Substitutes("substitutes", None),
    "substitutes satin chromium": Substitutes("substitutes satin chromium", "satin chromium"),
    "part ash-t": PartOf("part ash-t", "ASH-T"),
    "list": List("list", None),
    "list hosts": List("list hosts", "hosts"),
    "list finish": List("list finish", "finish"),
    "help": Help("help", None),
    "help want": Help("help want", "want"),
}


ACTIONS = {
    "next": Next("next"),
    "next 7": Next("next 7", 7),
    "sort by price": Sort("sort by price", Order("price")),
    "sort BY status": Sort("sort BY status", PREFERENCE),
    "sort by body": Sort("sort by body", Order("body")),
    "show": Show("show"),
    "drop 1": Drop("drop 1", (1,)),
    "drop 1, 1": Drop("drop 1, 1", (1, 1)),
    "undo": Undo("undo"),
    "undo; redo": Redo("redo"),
    "clear": Clear("clear"),
    "save a b.job": Save("save a b.job", "a b.job"),
    "save 'a; b#.job' ; save \"it's\"": Save('save "it\'s"', "it's"),
    "record a b.txt": Record("record a b.txt", "a b.txt"),
    "record OFF": Record("record OFF", None),
    "replay a.txt": Replay("replay a.txt", "a.txt"),
    "save x.job; open x.job": Open("open x.job", "x.job"),
    "set": Set("set", None, True),
    "set Toolbar OFF": Set("set Toolbar OFF", "toolbar", False),
    "set quiet on": Set("set quiet on", "quiet", True),
    "tour": TakeTour("tour", None),
    "tour technician": TakeTour("tour technician", "technician"),
    "hint": Hint("hint"),
    "skip": Skip("skip"),
    "leave": Leave("leave"),
}


@pytest.mark.parametrize(
    ("text", "meant"), [*FACTS.items(), *QUESTIONS.items(), *ACTIONS.items()], ids=[*FACTS, *QUESTIONS, *ACTIONS]
)
def test_each_statement_is_read_as_meant(text: str, meant: Statement | Question | Action) -> None:
    assert said(text) == meant


def test_every_form_is_covered_by_these_tests() -> None:
    assert {each.text.split()[0].lower() for each in map(said, (*FACTS, *QUESTIONS, *ACTIONS))} == set(FORMS)


def test_statements_are_parted_by_lines_and_semicolons_and_comments_are_left_out() -> None:
    text = "# a job; not read\nuse rim; door 2 in  # as measured; fit 1\n\n ;; \r\n\tfit 2"
    reading = read(text, sample())
    assert [each.text for each in reading.said] == ["use rim", "door 2 in", "fit 2"]


ERRORS = {
    "fti": "line 2: no statement or question is named fti; did you mean fit?\n    fti\n    ^",
    "use": "line 2: the application is missing; use rim\n    use\n        ^",
    "use rin": "line 2: no application is named rin; did you mean rim?\n    use rin\n        ^",
    "use rim x": "line 2: x is too much here; leave it out, or start a new statement\n    use rim x\n            ^",
    "door": "line 2: the thickness is missing; give one such as 1-3/4 in or 44 mm ± 0.5\n    door\n         ^",
    "door 1-3/4": "line 2: 1-3/4 has no unit; write 1-3/4 in or 1-3/4 mm\n    door 1-3/4\n              ^",
    "door 1-3/4 feet": "line 2: a door of 21 in is too thick; did you mean 1-3/4 in?\n    door 1-3/4 feet\n         ^",
    "door 44 in": "line 2: a door of 44 in is too thick; did you mean 44 mm?\n    door 44 in\n         ^",
    "door 1-3/4 mm": "line 2: a door of 1.75 mm is too thin; did you mean 1-3/4 in?\n    door 1-3/4 mm\n         ^",
    "door 35 to 40 in": "line 2: a door of 40 in is too thick; did you mean 35 to 40 mm?\n    door 35 to 40 in\n"
    "         ^",
    "door 6' 8\"": "line 2: a door of 80 in is too thick; give its thickness, such as 1-3/4 in or 44 mm\n"
    "    door 6' 8\"\n         ^",
    "door 2 qqq": "line 2: qqq is not a known unit; use in or mm\n    door 2 qqq\n           ^",
    "want finish \x00": "line 2: the character U+0000 may not stand here; leave it out\n    want finish ?\n"
    "                ^",
    "part ASH\u200b-T": "line 2: the character U+200B may not stand here; leave it out\n    part ASH?-T\n            ^",
    "door 0 in": "line 2: a door is thicker than 0; give its thickness, such as 1-3/4 in\n    door 0 in\n         ^",
    "opening colour red": "line 2: no trait of an opening is named colour; use hand, material, fire, egress or "
    "preparation\n    opening colour red\n            ^",
    "opening hand RX": "line 2: 'RX' is not a hand; did you mean RH?\n    opening hand RX\n                 ^",
    "opening fire unknown": "line 2: no value of fire is named unknown; use 20, 30, 45, 60, 90, 120, 180 or none\n"
    "    opening fire unknown\n                 ^",
    "opening fire 95": "line 2: no value of fire is named 95; use 20, 30, 45, 60, 90, 120, 180 or none\n"
    "    opening fire 95\n                 ^",
    "opening preparation 106": "line 2: no preparation is named 106; did you mean 160?\n"
    "    opening preparation 106\n                        ^",
    "into OAK-D4": "line 2: no part is named OAK-D4; did you mean OAK-D1 or OAK-D2?\n    into OAK-D4\n         ^",
    "into ASH-T": "line 2: ASH-T is a tailpiece, no host of the application rim; say `list hosts` for all\n"
    "    into ASH-T\n         ^",
    "want finsh 626": "line 2: no trait or position is named finsh; did you mean finish?\n    want finsh 626\n"
    "         ^",
    "want finish": "line 2: the value is missing; say `list finish` for all\n    want finish\n                ^",
    "want finish 626, 66": "line 2: no finish is named 66; did you mean 626?\n    want finish 626, 66\n"
    "                     ^",
    "want finish 626,": "line 2: the value is missing; say `list finish` for all\n    want finish 626,\n"
    "                    ^",
    "keep": "line 2: the code of a part is missing; say `parts` for what there is\n    keep\n         ^",
    "keep ASH-T OAK-X": "line 2: no part is named OAK-X; say `parts` for what there is\n    keep ASH-T OAK-X\n"
    "               ^",
    "without finis 626": "line 2: no part or trait is named finis; did you mean finish?\n    without finis 626\n"
    "            ^",
    "selective now": "line 2: now is too much here; leave it out, or start a new statement\n    selective now\n"
    "              ^",
    "fit five": "line 2: five is not a whole number; give one such as 3\n    fit five\n        ^",
    "fit 0": "line 2: 0 is out of range; give a number from 1 to 1000\n    fit 0\n        ^",
    "fit 1001": "line 2: 1001 is out of range; give a number from 1 to 1000\n    fit 1001\n        ^",
    "choices bdy": "line 2: no position is named bdy; did you mean body?\n    choices bdy\n            ^",
    "why": "line 2: the number of an answer, or `not`, is missing; give a whole number such as 3\n    why\n        ^",
    "reach": "line 2: the stack is missing; use reach or projection\n    reach\n          ^",
    "check ASH-B8, ASH-T cut 2": "line 2: 2 has no unit; write 2 in or 2 mm\n    check ASH-B8, ASH-T cut 2\n"
    "                             ^",
    "check ASH-B8 ASH-T": "line 2: one code was expected; part codes by commas: CODE, CODE cut LENGTH\n"
    "    check ASH-B8 ASH-T\n                 ^",
    "check ASH-B8 cut 1 in": "line 2: ASH-B8 is not cut to measure; leave the length out\n    check ASH-B8 cut 1 in\n"
    "          ^",
    "check 0 x ASH-B8": "line 2: 0 is out of range; give a number from 1 to 99\n    check 0 x ASH-B8\n          ^",
    "part ASHT": "line 2: no part is named ASHT; did you mean ASH-T?\n    part ASHT\n         ^",
    "part OAKD3": "line 2: no part is named OAKD3; did you mean OAK-D1 or OAK-D2?\n    part OAKD3\n         ^",
    "list hots": "line 2: no list is named hots; did you mean hosts?\n    list hots\n         ^",
    "help wnat": "line 2: no statement or question is named wnat; did you mean want?\n    help wnat\n         ^",
}


@pytest.mark.parametrize(("text", "message"), ERRORS.items(), ids=list(ERRORS))
def test_each_error_names_the_place_and_what_would_be_right(text: str, message: str) -> None:
    reading = read(f"use rim\n{text}", sample())
    assert [str(error) for error in reading.errors] == [message]


def test_a_question_before_the_application_is_refused_with_what_to_say() -> None:
    assert [str(error) for error in read("door 2 in; count", sample()).errors] == [
        "line 1: the job does not say yet what it is about; say `use` with rim first\n    count\n    ^"
    ]


def test_every_faulty_line_is_reported_but_not_what_follows_from_one() -> None:
    reading = read("use rin\ndoor 2\nchoices body\nwant finish 999\nfit", sample())
    assert [(error.line, error.column) for error in reading.errors] == [(1, 4), (2, 6), (4, 12)]


def test_an_unknown_name_is_no_question_of_fitting() -> None:
    session = Session(sample())
    assert read("use rim\nwant keyway H9", sample()).errors
    for each in read("use rim\ndoor 7 in\nwant keyway H2\nfit", sample()).said[:-1]:
        assert isinstance(each, Statement)
        session.say(each)
    answer = session.ask(Fit("fit"))
    assert (answer.outcome, answer.status) == ("does not fit", Status.NO)


WORDS = st.sampled_from(
    [
        *FORMS,
        "rim",
        "hand",
        "finish",
        "ASH-T",
        "626",
        "2 in",
        "cut",
        ",",
        "#",
        "x",
        "3",
        "from inside",
        "body",
        "\ud800",
        "²",
    ]
)


@given(st.one_of(st.text(), st.lists(st.one_of(WORDS, st.text(max_size=4))).map(" ".join)))
def test_no_text_raises_anything(text: str) -> None:
    reading = read(f"use rim\n{text}", sample())
    for error in reading.errors:
        assert isinstance(error, StatementError)
        assert str(error).count("\n") == 2
        assert 0 <= error.column <= len(error.text) + 1


@given(st.lists(st.sampled_from([*FACTS, *(text for text in QUESTIONS if text.split()[0] not in ("help", "list"))])))
def test_no_order_of_statements_breaks_a_session(texts: list[str]) -> None:
    session = Session(sample())
    for each in read("\n".join(["use rim", *texts]), sample()).said:
        if answer := session.do(each):
            prose(answer)


class TestNear:
    def test_hyphens_and_capitals_do_not_count(self) -> None:
        assert near.near("ashb8", ["ASH-B8", "ASH-C8"]) == ["ASH-B8"]

    def test_swapped_numbers_are_not_near(self) -> None:
        assert near.near("AB-35/30", ["AB-30/35"]) == []

    def test_swapped_letters_are_one_slip(self) -> None:
        assert near.near("fihs", ["fish", "wish"]) == ["fish"]

    def test_only_the_nearest_are_named(self) -> None:
        assert near.near("mortice", ["mortise", "mortises", "mort"]) == ["mortise"]

    def test_the_beginning_of_a_name_finds_it(self) -> None:
        assert near.near("mort", ["mortise", "rim"]) == ["mortise"]

    @pytest.mark.parametrize("word", ["", "x", "-", "a" * 1000])
    def test_nothing_is_suggested_for_what_is_no_slip(self, word: str) -> None:
        assert near.near(word, ["rim", "bored"]) == []

    def test_numbers_in_names_are_sorted_as_numbers(self) -> None:
        names = ["none", "180", "20", "1-3/8", "1.5", "1/2", "P10", "P2", "1"]
        assert sorted(names, key=near.natural) == ["1/2", "1", "1-3/8", "1.5", "20", "180", "P2", "P10", "none"]

    @given(st.text("ab", max_size=6), st.text("ab", max_size=6))
    def test_the_distance_is_the_same_both_ways_and_0_only_for_equals(self, one: str, other: str) -> None:
        assert near.distance(one, other, 9) == near.distance(other, one, 9)
        assert (near.distance(one, other, 9) == 0) == (one == other)

    @given(st.text("abc", max_size=7), st.text("abc", max_size=7), st.integers(0, 7))
    def test_a_limit_changes_no_distance_below_it(self, one: str, other: str, most: int) -> None:
        assert near.distance(one, other, most) == min(near.distance(one, other, 99), most + 1)


@pytest.mark.parametrize("word", FORMS)
def test_each_example_runs_as_it_stands_and_uses_its_word(
    word: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    reading: Reading = read(FORMS[word].example, bundled())
    assert [str(error) for error in reading.errors] == []
    assert word in {each.text.split()[0] for each in reading.said}
    session = Session(bundled())
    for each in reading.said:
        answer = session.do(each)
        assert answer is None or answer.status is Status.YES, prose(answer)


def test_the_table_in_the_docs_is_the_registry() -> None:
    rows = re.findall(r"^\| `(.+?)` \| (.+?) \| `(.+?)` \|$", (DOCS / "language.md").read_text("utf-8"), re.MULTILINE)
    assert rows == [(form.usage, form.meaning, form.example) for form in FORMS.values()]
