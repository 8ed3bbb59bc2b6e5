"""What a job's statements amount to, before any part is chosen."""

from __future__ import annotations

import pytest
from fitwright.solver import (
    Answers,
    Door,
    Into,
    JobError,
    Keep,
    OfStatus,
    OpeningIs,
    Setting,
    Statement,
    Use,
    Want,
    Without,
    WithoutTrait,
    parse_span,
)
from fitwright.solver.application import Application, Joint, Position
from fitwright.solver.catalog import Catalog, Preparation, Trait
from fitwright.solver.check import Ref
from fitwright.solver.part import Design, Part


def _catalog() -> Catalog:
    """Return an invented catalog: two pins side by side, and a hub that carries them."""
    pin, hub = Design("pin", {}, {}), Design("hub", {}, {})
    parts = [
        Part("PIN", "pin", pin, {"finish": ("626",)}, price=100),
        Part("PIN-OLD", "pin", pin, {"finish": ("605",)}, price=1, status="discontinued"),
        Part("PIN-LATE", "pin", pin, {"finish": ("626",)}, price=2, status="to order"),
        Part("HUB", "hub", hub, {}, price=500, status="to order"),
        Part("HUB-OLD", "hub", hub, {}, price=3, status="discontinued"),
    ]
    positions = {"pins": Position("pins", frozenset({"pin"}), quantity=4), "hub": Position("hub", frozenset({"hub"}))}
    application = Application("carrier", "carrier", positions, ())
    preparations = {name: Preparation(name, name, {}, {}) for name in ("narrow", "wide")}
    return Catalog(
        {}, {"finish": Trait("finish")}, {}, preparations, {"carrier": application}, {part.code: part for part in parts}
    )


def _answers(*statements: Statement) -> Answers:
    return Answers(Setting(_catalog(), (Use("carrier"), *statements)))


def _bills(*statements: Statement) -> list[list[str]]:
    return [[part.code for part in assembly.all_parts] for assembly in _answers(*statements).in_order()]


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        (Want("colour", ("red",)), "no trait is named colour; one of finish"),
        (WithoutTrait("colour", ("red",)), "no trait is named colour; one of finish"),
        (Keep(("NAIL",)), "no part has the code NAIL"),
        (Without(("NAIL",)), "no part has the code NAIL"),
        (Into("NAIL"), "no part has the code NAIL"),
        (
            OpeningIs("colour", ("red",)),
            "an opening has no trait colour; one of hand, material, fire, egress, preparation",
        ),
        (OpeningIs("preparation", ("narrow", "wide")), "a door has one preparation; state one"),
        (OpeningIs("preparation", ("round",)), "no preparation is named round; one of narrow, wide"),
        (Use("door"), "no application is named door; use one of carrier"),
    ],
)
def test_what_no_catalog_has_is_refused_by_name(statement: Statement, words: str) -> None:
    with pytest.raises(JobError) as error:
        _answers(statement).count()
    assert str(error.value) == words


def test_a_job_without_an_application_is_refused() -> None:
    with pytest.raises(JobError, match="does not say what it is about; use one of carrier"):
        Answers(Setting(_catalog(), ())).count()


def test_a_later_fact_on_the_same_thing_replaces_the_earlier() -> None:
    thin, thick = Door(parse_span("1-3/8 in")), Door(parse_span("1-3/4 in"))
    said = (
        Use("carrier"),
        thin,
        OpeningIs("hand", ("LH",)),
        Into("HUB"),
        thick,
        OpeningIs("hand", ("RH",)),
        Into("PIN"),
    )
    assert Setting(_catalog(), said).facts == (said[0], *said[4:])


def test_status_comes_before_price_however_many_parts_it_concerns() -> None:
    # Four pins to order weigh less than one discontinued hub, and any price less than one pin to order.
    assert _bills() == [
        ["PIN", "HUB"],
        ["PIN-LATE", "HUB"],
        ["PIN", "HUB-OLD"],
        ["PIN-LATE", "HUB-OLD"],
        ["PIN-OLD", "HUB"],
        ["PIN-OLD", "HUB-OLD"],
    ]


@pytest.mark.parametrize(
    "statement", [Want("finish", ("626",)), WithoutTrait("finish", ("605",)), OfStatus(("stocked", "to order"))]
)
def test_what_is_asked_of_bought_parts_spares_those_in_hand(statement: Statement) -> None:
    assert _bills(Keep(("PIN-OLD",)), statement)[0] == ["PIN-OLD", "HUB"]
    answers = _answers(Keep(("PIN-OLD",)), statement)
    assert all(not any(finding.verdict.rank for finding in answers.findings(each)) for each in answers.in_order())


def test_a_part_that_must_not_be_used_is_not_even_in_hand() -> None:
    assert _bills(Keep(("PIN-OLD",)), Without(("PIN-OLD",))) == []


@pytest.mark.parametrize("features", ["a.x b.x a.y", "a.x a.y a.z"])
def test_a_position_stands_in_one_place_of_a_joint(features: str) -> None:
    refs = tuple(Ref(*feature.split(".")) for feature in features.split())
    with pytest.raises(ValueError, match="joint j: a position has an entry and at most an exit, side by side"):
        Joint("j", refs)
