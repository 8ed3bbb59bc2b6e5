"""Answers in prose and in JSON: word for word, and both from the same numbers."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import pytest
from fitwright.repl.answer import Answer
from fitwright.repl.json_form import answer_form, document
from fitwright.repl.prose import item, prose
from fitwright.repl.question import Question
from fitwright.repl.session import Session
from fitwright.repl.status import Status
from fitwright.repl.wording import price, share
from fitwright.solver.catalog import Catalog
from fitwright.solver.finding import Verdict

from catalogs import SAMPLE, catalog_of

TIGHT = SAMPLE.replace("at most: 0.020 in", "at most: 0.012 in")
"""The sample with a core that fits its body only if the two are selected."""

MIXED = SAMPLE.replace("at most: 0.020 in", "at most: 0.014 in").replace(
    "9: {dimensions: {length: 1-1/8 in}, price: 13}",
    "9: {dimensions: {length: 1-1/8 in, depth: 1.003 in ± 0.002}, price: 5}",
)
"""The sample with one body that the cores fit outright, and a cheaper one that they fit if selected."""


@cache
def catalog(text: str) -> Catalog:
    return catalog_of(text)


def answers(job: str, text: str = SAMPLE, **options: Any) -> list[Answer]:
    """Return the answers to a job without a faulty statement."""
    session = Session(catalog(text), **options)
    reading = session.read(job)
    assert [str(error) for error in reading.errors] == []
    found = []
    for said in reading.said:
        if isinstance(said, Question):
            found.append(session.ask(said))
        else:
            session.say(said)
    return found


def told(job: str, text: str = SAMPLE, **options: Any) -> str:
    """Return the last answer to a job as prose."""
    return prose(answers(job, text, **options)[-1])


OPEN = "not checked, because the job does not say: opening hand (hand), opening preparation (edge)\n"
CAUTION = "caution: doors are measured twice"


def test_what_fits_is_told_verdict_first() -> None:
    assert told("use rim; door 1-3/4 in; fit 3") == (
        "fits\n"
        "64 assemblies, the first 3 by stock and price\n"
        "in all of them: body ASH-B8, price 34.25 crowns\n"
        "   host    core         tailpiece\n"
        "1  OAK-D2  ASH-CH1-626  ASH-T cut 2-3/16 in\n"
        "2  OAK-D2  ASH-CH2-626  ASH-T cut 2-3/16 in\n"
        "3  OAK-D1  ASH-CH1-626  ASH-T cut 2-1/8 in\n"
        f"{OPEN}{CAUTION}\ncaution: OAK-D1: check the label"
    )


def test_a_single_assembly_is_a_line_of_its_own() -> None:
    assert told("use rim; door 1-3/4 in; fit 1").splitlines()[:4] == [
        "fits",
        "64 assemblies, the first by stock and price",
        "   host    core         body    tailpiece                   price",
        "1  OAK-D2  ASH-CH1-626  ASH-B8  ASH-T cut 2-3/16 in  34.25 crowns",
    ]


def test_what_fits_only_if_selected_has_its_share_and_its_worst_case() -> None:
    assert told("use rim; door 1-3/4 in; selective; fit 2", TIGHT) == (
        "fits if selected\n"
        "64 assemblies, the first 2 by stock and price\n"
        "0 fit outright, 64 if selected\n"
        "in all of them: host OAK-D2, body ASH-B8, tailpiece ASH-T cut 2-3/16 in, verdict fits if selected, "
        "expected to fit 98.3 %, beyond a limit at worst 0.002 in, price 34.25 crowns\n"
        "   core\n1  ASH-CH1-626\n2  ASH-CH2-626\n"
        f"{OPEN}{CAUTION}"
    )


def test_the_expected_share_is_that_of_the_normal_distribution() -> None:
    # Published: 99.73 % lie within 3 standard deviations. 0.010 +- 0.004 by two equal tolerances has a standard
    # deviation of 0.004 / (3 sqrt 2); up to 0.012 that is 2.1213 of them: 98.305 % (a table of the normal integral).
    shown = answers("use rim; door 1-3/4 in; selective; fit 1", TIGHT)[0].assemblies[0]
    assert shown.share == pytest.approx(0.98305, abs=1e-5)


def test_where_nothing_fits_the_statement_that_left_nothing_is_named() -> None:
    assert told("use rim; want finish 626; door 7 in; want keyway H1; fit") == (
        "does not fit\nnothing is left after `door 7 in`; before it there were assemblies\n"
        "these can't hold together:\n"
        "- the job says `door 7 in`\n"
        "- joint drive: a required feature must be mated: nothing mates with rear of ASH-B8\n"
        "- stack reach: tailpiece length - opening thickness, at least host reach-least (1/4 in), at most host "
        "reach-most (1/2 in): 3 - 7 = -4 in (-4-1/64 in to -3-63/64 in), 4-17/64 in under the least in the worst case "
        f"[test/a.yaml:112]\n{OPEN}{CAUTION}"
    )


def test_statements_that_were_replaced_are_never_blamed() -> None:
    assert told("use rim; door 7 in; want finish 626; door 1-3/4 in; fit").startswith("fits\n")
    assert "after `door 6 in`" in told("use rim; door 7 in; want finish 626; door 6 in; fit")


def test_where_selecting_would_help_that_is_said() -> None:
    assert told("use rim; door 1-3/4 in; count", TIGHT).splitlines()[:3] == [
        "does not fit",
        "the catalog holds nothing that goes together for the application rim",
        "some assemblies fit if parts are selected: add `selective` to accept that",
    ]


def test_a_count_of_a_selective_job_says_how_many_fit_outright() -> None:
    assert told("use rim; door 1-3/4 in; selective; count").startswith(
        "fits\n64 assemblies\n64 fit outright, 0 if selected\n"
    )


def test_why_writes_out_every_check_with_its_numbers_and_its_line() -> None:
    text = told("use rim; door 1-3/4 in; why 1 full")
    assert text.startswith(
        "fits\n"
        "assembly 1 of 64\n"
        "host       OAK-D2               rim device               -\n"
        "core       ASH-CH1-626          Ash core H1          19.75\n"
        "body       ASH-B8               Ash body, 8 eighths  12.00\n"
        "tailpiece  ASH-T cut 2-3/16 in  tailpiece             2.50\n"
        "price 34.25 crowns\n"
        "joint seat: core.front - body.core\n"
        "  fits: core figure the same as bore figure\n"
        "    eight and eight\n"
        "    another figure does not turn [test/a.yaml:22]\n"
        "  fits: bore depth - core depth, at least 0.002 in, at most 0.02 in\n"
        "    1 - 0.99 = 0.01 in (0.006 in to 0.014 in), 0.004 in to spare\n"
        "    it must turn freely [test/a.yaml:23]\n"
    )
    assert (
        "stack reach: tailpiece beyond the door\n"
        "  fits: tailpiece length - opening thickness, at least host reach-least (3/8 in), at most host reach-most "
        "(1/2 in)\n"
        "    2-3/16 - 1-3/4 = 7/16 in (27/64 in to 29/64 in), 3/64 in to spare\n"
        "    a tailpiece that does not reach turns nothing [test/a.yaml:112]\n"
    ) in text


def test_an_assembly_that_is_not_there_is_an_error() -> None:
    answer = answers("use rim; door 1-3/4 in; why 65")[0]
    assert (answer.outcome, answer.message, answer.status) == (
        "error",
        ("there is no assembly 65; the last of them is 64",),
        Status.WRONG,
    )


class TestCheck:
    JOB = "use rim; door 1-3/4 in; "

    def test_a_right_bill_fits_and_a_missing_length_is_chosen(self) -> None:
        assert told(f"{self.JOB} check OAK-D2, ASH-T, ASH-B8, ASH-CH1-626, 2 x ASH-R1") == (
            "fits\n6 checks, no fault\nASH-T is taken as cut to 2-3/16 in\n"
            "host       OAK-D2               rim device               -\n"
            "core       ASH-CH1-626          Ash core H1          19.75\n"
            "body       ASH-B8               Ash body, 8 eighths  12.00\n"
            "collar     2 x ASH-R1           collar                0.80  to order\n"
            "tailpiece  ASH-T cut 2-3/16 in  tailpiece             2.50\n"
            f"price 35.05 crowns\n{OPEN}{CAUTION}"
        )

    def test_the_stated_host_joins_the_bill(self) -> None:
        assert answers(f"{self.JOB} into OAK-D2; check ASH-T, ASH-B8, ASH-CH1-626")[0].outcome == "fits"

    @pytest.mark.parametrize(
        ("bill", "fault"),
        [
            ("OAK-D2, ASH-T, ASH-B8", "missing: the core"),
            ("OAK-D2, ASH-T, ASH-B8, ASH-CH1-626, ASH-CH2-626", "there are 2"),
            ("OAK-D2, ASH-T, ASH-B8, ASH-CH1-626, 4 x ASH-R1", "there are 4"),
            ("OAK-D2, ASH-T cut 2-5/16 in, ASH-B8, ASH-CH1-626", "a tailpiece that does not reach turns nothing"),
            ("OAK-D2, ASH-T cut 2.2 in, ASH-B8, ASH-CH1-626", "not cut to one of its lengths"),
        ],
    )
    def test_each_fault_is_told(self, bill: str, fault: str) -> None:
        answer = answers(f"{self.JOB} check {bill}")[0]
        assert (answer.outcome, answer.status) == ("does not fit", Status.NO)
        assert fault in prose(answer)

    def test_a_length_that_the_part_is_not_cut_to_is_told_with_the_nearest(self) -> None:
        for given, near in [("2.2 in", "2-3/16 in or 2-1/4 in"), ("9 in", "3 in"), ("1/2 in", "1 in")]:
            answer = answers(f"{self.JOB} check OAK-D2, ASH-T cut {given}, ASH-B8, ASH-CH1-626")[0]
            assert answer.message[1] == f"ASH-T can't be cut to {given}; the nearest of its lengths: {near}"

    def test_the_side_that_fails_is_told(self) -> None:
        for cut, side in [("3 in", "49/64 in over the most"), ("1 in", "1-9/64 in under the least")]:
            text = told(f"{self.JOB} check OAK-D2, ASH-T cut {cut}, ASH-B8, ASH-CH1-626")
            assert f"{side} in the worst case" in text

    def test_what_is_missing_or_meets_nothing_is_told_in_plain_words(self) -> None:
        text = told(f"{self.JOB} check OAK-D2, ASH-B8")
        assert "core\n  missing: the core\n" in text
        assert "  does not fit: nothing mates with rear of ASH-B8\n" in text
        assert "filled" not in text
        assert "mated" not in text

    def test_one_code_at_two_lengths_is_not_taken_for_one(self) -> None:
        answer = answers(f"{self.JOB} check OAK-D2, ASH-T cut 2-3/16 in, ASH-T cut 1 in, ASH-B8, ASH-CH1-626")[0]
        assert "there are 2" in prose(answer)

    def test_a_bill_that_fits_if_selected_is_a_no_until_the_job_accepts_it(self) -> None:
        bill = "check OAK-D2, ASH-T, ASH-B8, ASH-CH1-626"
        no, yes = answers(f"{self.JOB} {bill}; selective; {bill}", TIGHT)
        assert (no.outcome, no.status) == ("fits if selected", Status.NO)
        assert (yes.outcome, yes.status) == ("fits if selected", Status.YES)
        assert no.message[-1] == "the job does not accept that; say `selective` if it may"

    def test_every_assembly_that_is_shown_passes_when_its_bill_is_checked(self) -> None:
        shown = answers("use rim; door 1-3/4 in; fit 64")[0].assemblies
        assert len(shown) == 64
        for each in shown[::7]:
            bill = ", ".join(f"{line.quantity} x {line.part.code}" for line in each.lines)
            assert answers(f"{self.JOB} check {bill}")[0].outcome == "fits"


def test_choices_count_the_assemblies_of_each_part() -> None:
    assert told("use rim; door 1-3/4 in; want finish 626; choices").splitlines()[:7] == [
        "fits",
        "32 assemblies",
        "position   parts  left empty in  codes",
        "host           2              0  OAK-D1, OAK-D2",
        "core           2              0  ASH-CH1-626, ASH-CH2-626",
        "body           2              0  ASH-B8, ASH-B9",
        "collar         1              8  ASH-R1",
    ]
    assert told("use rim; door 1-3/4 in; choices collar").splitlines()[2:5] == [
        "code          assemblies  title   status    price",
        "(left empty)          16",
        "ASH-R1                48  collar  to order  0.40 crowns",
    ]


def test_reach_says_from_where_to_where_and_what_is_left_out() -> None:
    assert told("use rim; door 1-3/4 in; reach reach").splitlines()[:5] == [
        "fits",
        "64 assemblies",
        "tolerances are included",
        "tailpiece length is cut to measure and left out",
        "stack  low        high       what",
    ]


def test_reach_of_a_stack_that_no_assembly_has_says_so() -> None:
    answer = answers("use rim; door 1-3/4 in; reach projection")[0]
    assert (answer.message[1], answer.rows) == ("the stack projection is read in none of them", ())


def test_reach_of_what_was_not_stated_says_what_to_state() -> None:
    answer = answers("use rim; reach projection")[0]
    assert answer.message == ("the stack projection reads what the job does not say; say `door`",)
    assert answer.status is Status.WRONG


def test_kept_parts_cost_nothing() -> None:
    answer = answers("use rim; door 1-3/4 in; keep ASH-CH1-626; fit 1")[0]
    assert answer.assemblies[0].cost == 1450


def test_lengths_are_shown_in_the_unit_of_the_door_or_in_the_chosen_one() -> None:
    job = "use rim; door 44 mm; part ASH-B8"
    assert "25.4 mm" in told(job)
    assert "1 in" in told(job, unit="in")


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("door", ["1-3/4 in", "44 mm"])
def test_a_bill_that_was_shown_can_be_pasted_back(door: str, unit: str) -> None:
    answer = answers(f"use rim; door {door}; fit 1", unit=unit)[0]
    bill = ", ".join(item(answer, line) for line in answer.assemblies[0].lines)
    assert "cut 2-3/16 in" in bill
    again = answers(f"use rim; door {door}; check {bill}", unit=unit)[0]
    assert (again.outcome, again.assemblies) == ("fits", answer.assemblies)
    form = answer_form(answer)["assemblies"][0]["positions"]["tailpiece"]
    assert form["cut"] == "2-3/16 in"


class TestUnknownLength:
    """No length is given for a part whose length depends on what the job does not say."""

    def test_it_is_to_be_cut_to_measure(self) -> None:
        answer = answers("use rim; fit 1")[0]
        assert "ASH-T cut to measure" in prose(answer)
        assert "the job does not say: door (reach, projection)" in prose(answer)
        assert answer_form(answer)["assemblies"][0]["positions"]["tailpiece"]["cut"] is None

    def test_its_bill_can_be_pasted_back(self) -> None:
        answer = answers("use rim; fit 1")[0]
        bill = ", ".join(item(answer, line) for line in answer.assemblies[0].lines)
        checked = answers(f"use rim; check {bill}")[0]
        assert (checked.outcome, checked.message[1]) == ("fits", "ASH-T is to be cut when the door is known")

    def test_a_length_that_is_given_is_shown(self) -> None:
        checked = told("use rim; check OAK-D2, ASH-T cut 2 in, ASH-B8, ASH-CH1-626")
        assert "ASH-T cut 2 in" in checked
        assert "to be cut" not in checked

    def test_with_the_door_it_is_definite(self) -> None:
        assert "to measure" not in told("use rim; door 1-3/4 in; fit 1")


class TestSelective:
    """Of a job that accepts selected parts, what fits outright is shown first."""

    JOB = "use rim; door 1-3/4 in; selective; "

    def test_what_fits_outright_comes_first_though_the_other_is_cheaper(self) -> None:
        answer = answers(f"{self.JOB} fit 64", MIXED)[0]
        verdicts = [shown.verdict for shown in answer.assemblies]
        assert verdicts == [Verdict.FITS] * 32 + [Verdict.SELECTED] * 32
        assert len({tuple((line.part.code, line.quantity) for line in each.lines) for each in answer.assemblies}) == 64
        assert min(shown.cost for shown in answer.assemblies[:32]) > min(shown.cost for shown in answer.assemblies[32:])
        assert (answer.outcome, answer.message[1]) == ("fits", "32 fit outright, 32 if selected")

    def test_why_counts_the_same_way(self) -> None:
        last, first = answers(f"{self.JOB} why 32; why 33", MIXED)
        assert (last.outcome, first.outcome) == ("fits", "fits if selected")

    def test_without_it_only_what_fits_outright_is_an_answer(self) -> None:
        assert answers("use rim; door 1-3/4 in; count", MIXED)[0].count == 32


class TestDoorRange:
    """Where doors of a range are asked about and no assembly takes them all."""

    def test_some_may_fit_some_of_them(self) -> None:
        assert told("use rim; door 1-1/2 in to 2 in; fit").splitlines()[1:3] == [
            "nothing is left after `door 1-1/2 in to 2 in`; before it there were assemblies",
            "no one assembly fits the whole range of the door; some fit some doors in it",
        ]

    def test_where_parts_must_be_selected_too_both_are_said(self) -> None:
        assert told("use rim; door 1-1/2 in to 2 in; count", TIGHT).splitlines()[2] == (
            "some assemblies fit if parts are selected and for some of the doors in the range: "
            "add `selective` to accept that"
        )

    def test_a_range_that_nothing_reaches_into_has_no_way_out(self) -> None:
        assert told("use rim; door 6 in to 7 in; count").splitlines()[2] == "these can't hold together:"


def test_a_position_with_too_many_fillings_is_an_error_with_what_to_say() -> None:
    sizes = ", ".join(f"{size}: {{dimensions: {{thickness: {size}/64 in}}}}" for size in range(1, 41))
    text = SAMPLE.replace("code: ASH-R1\n", f"code: ASH-R{{size}}\n    options: {{size: {{{sizes}}}}}\n")
    text = text.replace("up to: 3", "up to: 5")
    answer = answers("use rim; door 1-3/4 in; count", text)[0]
    assert (answer.outcome, answer.status) == ("error", Status.WRONG)
    assert answer.message == (
        "the position collar can be filled in 1,221,759 ways, with up to 5 of 40 parts: too many; "
        "say `want` or `without` with size",
    )
    few = ", ".join(map(str, range(1, 11)))
    assert answers(f"use rim; door 1-3/4 in; want size {few}; count", text)[0].outcome == "fits"


def test_hosts_that_no_rule_tells_apart_share_a_row() -> None:
    text = SAMPLE.replace("code: OAK-D2\n", "code: OAK-D2-{finish}\n    options: {finish: [605, 626]}\n")
    assert told("use rim; list hosts", text.replace("replaced by: OAK-D2", "replaced by: OAK-D2-605")).splitlines() == [
        "a row stands for all that no rule tells apart; `parts` and the beginning of a name lists them",
        "name        alike  meaning",
        "OAK-D1          1  old rim device",
        "OAK-D2-605      2  rim device",
    ]
    assert "alike" not in told("use rim; list hosts")


def test_values_that_are_numbers_are_listed_as_numbers() -> None:
    text = SAMPLE.replace("{8: {dimensions: {length: 1 in}}, 9:", "{8: {dimensions: {length: 1 in}}, 10:")
    assert told("list size", text).splitlines() == ["name  meaning", "8", "10"]


def test_a_job_that_does_not_go_with_its_application_is_an_error() -> None:
    text = SAMPLE.replace("kinds: {", "kinds: {key: key blank, ") + (
        "  bench:\n    title: bench\n    positions: {core: {kind: core}, key: {kind: key, optional: true}}\n"
        "    joints: {front: [core.front, key.bit]}\n"
    )
    key = (
        "parts:\n  - code: ASH-K\n    kind: key\n    title: key\n    price: 0\n    features:\n"
        "      bit: {interface: seat, side: bore, figure: eight, depth: 1 in}\n"
    )
    session = Session(catalog_of(text, key))
    for said in session.read("into OAK-D2; use bench").said:
        assert not isinstance(said, Question)
        session.say(said)
    question = session.read("fit").said[0]
    assert isinstance(question, Question)
    answer = session.ask(question)
    assert answer.message == ("OAK-D2 is no host of the application bench; say `list hosts` for those that are",)
    assert answer.status is Status.WRONG


@pytest.mark.parametrize(
    ("part", "text"),
    [(1.0, "100 %"), (0.9999, "over 99.9 %"), (0.9973, "99.7 %"), (0.0001, "under 0.1 %"), (0.5, "50.0 %")],
)
def test_a_share_is_never_rounded_to_all_or_none(part: float, text: str) -> None:
    assert share(part) == text


def test_prices_have_two_places() -> None:
    assert (price(5), price(12345, "crowns")) == ("0.05", "123.45 crowns")


class TestJson:
    KEYS = (
        "question",
        "verdict",
        "message",
        "count",
        "assemblies",
        "rows",
        "reasons",
        "ways",
        "change",
        "unstated",
        "cautions",
    )

    def form(self, job: str, text: str = SAMPLE) -> dict[str, Any]:
        document_form = json.loads(document([answer_form(answers(job, text)[-1])]))
        assert document_form["format"] == "fitwright/1"
        found: dict[str, Any] = document_form["answers"][0]
        return found

    @pytest.mark.parametrize(
        "question",
        ["fit", "count", "why 1", "choices", "choices core", "reach projection", "check ASH-T", "parts", "list"],
    )
    def test_every_answer_has_every_key(self, question: str) -> None:
        assert tuple(self.form(f"use rim; door 1-3/4 in; {question}")) == self.KEYS

    def test_an_assembly_has_its_positions_cost_and_findings(self) -> None:
        answer = self.form("use rim; door 1-3/4 in; fit 1")
        assert (answer["verdict"], answer["count"]) == ("fits", 64)
        (assembly,) = answer["assemblies"]
        assert assembly["positions"] == {
            "host": {"code": "OAK-D2", "quantity": 1, "cut": None, "status": "stocked"},
            "core": {"code": "ASH-CH1-626", "quantity": 1, "cut": None, "status": "stocked"},
            "body": {"code": "ASH-B8", "quantity": 1, "cut": None, "status": "stocked"},
            "collar": [],
            "tailpiece": {"code": "ASH-T", "quantity": 1, "cut": "2-3/16 in", "status": "stocked"},
        }
        assert (assembly["cost"], assembly["currency"]) == ("34.25", "crowns")
        assert assembly["findings"][1] == {
            "where": "joint seat: core.front - body.core",
            "check": "bore depth - core depth, at least 0.002 in, at most 0.02 in",
            "verdict": "fits",
            "nominal": "0.01 in",
            "low": "0.006 in",
            "high": "0.014 in",
            "margin": "0.004 in",
            "unit": "in",
            "compared": None,
            "because": "it must turn freely",
            "source": "test/a.yaml:23",
        }

    def test_a_repeated_position_is_always_a_list(self) -> None:
        for question in ("fit 20", "check OAK-D2, ASH-T, ASH-B8, ASH-CH1-626, 2 x ASH-R1"):
            for assembly in self.form(f"use rim; door 1-3/4 in; {question}")["assemblies"]:
                assert isinstance(assembly["positions"]["collar"], list)
                assert not isinstance(assembly["positions"]["core"], list)

    def test_the_prose_and_the_json_have_the_same_numbers(self) -> None:
        answer = answers("use rim; door 1-3/4 in; why 1 full")[0]
        text, form = prose(answer), answer_form(answer)
        for finding in form["assemblies"][0]["findings"]:
            assert finding["check"] in text
            assert finding["because"] in text
            assert finding["margin"] is None or finding["margin"] in text


_TWICE = """
format: fitwright-catalog/1
unit: mm
kinds: {ring: ring, pin: pin}
parts:
  - {code: "R{n}", kind: ring, title: "ring {n}", options: {n: {1: {dimensions: {l: 1}}, 3: {dimensions: {l: 3}}}}}
  - {code: PIN, kind: pin, title: pin}
applications:
  rings:
    title: rings, invented
    positions: {outer: {kind: ring, up to: 6, optional: true}, inner: {kind: ring, up to: 6, optional: true}}
    stacks:
      outer: {sum: [outer.l], at least: 18, because: the outer row is long}
      inner: {sum: [inner.l], at most: 6, because: the inner row is short}
  pins:
    title: pins, invented
    positions: {four: {kind: pin, quantity: 4, optional: true}, single: {kind: pin}}
"""


@pytest.mark.parametrize(
    ("job", "verdict"),
    [
        ("use rings; check 6 x R1, 6 x R3", "fits"),
        ("use rings; check 6 x R3, 6 x R1", "fits"),
        ("use rings; check 7 x R3, 5 x R1", "does not fit"),
        ("use pins; check PIN", "fits"),
        ("use pins; check 1 x PIN", "fits"),
        ("use pins; check 5 x PIN", "fits"),
        ("use pins; check 4 x PIN", "does not fit"),
        ("use pins; check 3 x PIN", "does not fit"),
    ],
)
def test_a_bill_is_placed_wherever_it_can_stand(job: str, verdict: str) -> None:
    assert told(job, _TWICE).startswith(f"{verdict}\n")
