"""Pages and orders of assemblies: each order is over all of them, and numbers go on."""

from __future__ import annotations

from functools import cache

import pytest
from fitwright.catalogs import load
from fitwright.repl.answer import Answer, Shown
from fitwright.repl.near import natural
from fitwright.repl.session import Session
from fitwright.repl.status import Status
from fitwright.solver.catalog import Catalog

JOB = "use rim; door 1-3/4 in; into YEW-30; want finish 626; want keyway P1; without ALD-O1/8-626, ALD-O1/16-626"


@cache
def bundled() -> Catalog:
    return load()


def ask(text: str, session: Session | None = None) -> list[Answer]:
    session = session or Session(bundled())
    reading = session.read(text)
    assert [str(error) for error in reading.errors] == []
    return [answer for said in reading.said if (answer := session.do(said)) is not None]


@cache
def everything() -> tuple[Shown, ...]:
    (answer,) = ask(f"{JOB}; fit 1000")
    assert answer.count == len(answer.assemblies) > 100
    return answer.assemblies


def bill(shown: Shown) -> tuple[str, ...]:
    return tuple(f"{line.quantity} {line.part.code}" for line in shown.lines)


def codes(shown: Shown, position: str) -> list[object]:
    return sorted(natural(line.part.code) for line in shown.lines if line.position == position)


def test_pages_follow_each_other_without_gap_or_repeat() -> None:
    pages = ask(f"{JOB}; fit 7; next; next 3")
    assert [page.first for page in pages] == [1, 8, 15]
    assert [bill(shown) for page in pages for shown in page.assemblies] == [bill(shown) for shown in everything()[:17]]
    assert pages[1].message[0].endswith("numbers 8 to 14 by stock and price")


def test_by_price_they_go_by_price_over_all_of_them() -> None:
    (answer,) = ask(f"{JOB}; sort by price")
    costs = sorted(shown.cost for shown in everything())
    assert [shown.cost for shown in answer.assemblies] == costs[:5]
    session = Session(bundled())
    *_, last = ask(f"{JOB}; fit 1000; sort by price", session)
    assert [shown.cost for shown in last.assemblies] == costs
    assert {bill(shown) for shown in last.assemblies} == {bill(shown) for shown in everything()}


@pytest.mark.parametrize("position", ["tailpiece", "body", "collar", "key"])
def test_by_position_they_go_by_its_codes_over_all_of_them(position: str) -> None:
    *_, answer = ask(f"{JOB}; fit 1000; sort by {position}")
    read = [codes(shown, position) for shown in answer.assemblies]
    assert {bill(shown) for shown in answer.assemblies} == {bill(shown) for shown in everything()}
    groups = [own for at, own in enumerate(read) if at == 0 or own != read[at - 1]]
    assert len(groups) == len({str(own) for own in groups})  # each stands together
    if position in ("tailpiece", "body"):
        assert read == sorted(read)  # type: ignore[type-var]


def test_why_goes_by_the_order_that_was_shown() -> None:
    *_, sorted_by, why = ask(f"{JOB}; sort by body; why 4")
    assert bill(why.assemblies[0]) == bill(sorted_by.assemblies[3])
    by_status = ask(f"{JOB}; why 4")[0]
    assert bill(by_status.assemblies[0]) == bill(everything()[3])


def test_each_group_is_counted_and_has_its_best() -> None:
    (answer,) = ask(f"{JOB}; group by body")
    for row in answer.rows:
        own = [shown for shown in everything() if any(line.part.code == row["code"] for line in shown.lines)]
        assert row["assemblies"] == len(own)
        assert str(row["price"]).startswith(f"{own[0].cost / 100:.2f}")
    assert answer.count == len(everything())


def test_after_the_job_has_changed_numbers_are_explained_and_pages_refused() -> None:
    session = Session(bundled())
    ask(f"{JOB}; fit 3", session)
    (why,) = ask("want status stocked; why 2", session)
    assert why.message[-1] == (
        "the job has changed since the numbers were shown: it is now with `want status stocked`; `fit` shows the "
        "present ones"
    )
    (further,) = ask("next", session)
    assert (further.outcome, further.status) == ("error", Status.WRONG)
    assert further.message == ("the job has changed since they were shown; say `fit` anew",)
    ask("fit", session)
    assert "changed" not in ask("why 2", session)[0].message[-1]


def test_there_is_no_next_page_of_nothing() -> None:
    (answer,) = ask(f"{JOB}; next")
    assert answer.message == ("no assemblies were shown yet; say `fit` first",)
    *_, beyond = ask("use interchangeable; into HAZ-M1.25-626; want keyway B3; fit 18; next")
    assert beyond.assemblies == ()
    assert beyond.message[-1] == "there is none after these"
