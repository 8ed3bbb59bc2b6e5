"""What else would do: the fewest further changes by trying every assembly, and the answers word for word."""

from __future__ import annotations

from collections import Counter
from functools import cache
from pathlib import Path
from random import Random

import pytest
import yaml
from fitwright.catalogs import load
from fitwright.repl.answer import Answer
from fitwright.repl.instead import EVERYWHERE, HERE, NEVER, ONE_WAY, WITH_CHANGES
from fitwright.repl.prose import prose
from fitwright.repl.session import Session
from fitwright.solver.answers import Answers
from fitwright.solver.catalog import Catalog
from fitwright.solver.instead import Instead
from fitwright.solver.part import Part
from fitwright.solver.setting import Setting
from hypothesis import given
from hypothesis import strategies as st
from worlds import brute_force, worlds

CASES = yaml.safe_load((Path(__file__).parent / "cases" / "instead.yaml").read_text("utf-8"))


@cache
def bundled() -> Catalog:
    return load()


@cache
def answers(job: str) -> tuple[Answer, ...]:
    session = Session(bundled())
    reading = session.read(job)
    assert [str(error) for error in reading.errors] == []
    return tuple(answer for said in reading.said if (answer := session.do(said)) is not None)


def test_there_are_cases() -> None:
    assert len(CASES) >= 8


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_each_answer_is_what_the_cases_say(case: dict[str, str]) -> None:
    told = [
        "\n".join(line for line in prose(answer).splitlines() if not line.startswith(("caution: ", "not checked")))
        for answer in answers(case["job"])
    ]
    assert "\n\n".join(told) == case["answers"].rstrip("\n")


@pytest.mark.parametrize("job", [case["job"] for case in CASES[:7]])
def test_every_other_part_of_the_kind_is_counted_once(job: str) -> None:
    (answer,) = answers(job)
    code = job.split()[-1]
    part = bundled().parts[code]
    position = next(
        position
        for position in (answer.application.positions if answer.application else {}).values()
        if part.kind in position.kinds
    )
    others = [each for each in bundled().parts.values() if each.kind in position.kinds and each is not part]
    assert sum(int(row["alike"] or 0) for row in answer.rows) == len(others)
    stand = [row for row in answer.rows if row["stands in"] != NEVER]
    assert answer.count == sum(int(row["alike"] or 0) for row in stand)


@pytest.mark.parametrize("job", [case["job"] for case in CASES[:7]])
def test_what_is_said_of_a_part_is_what_the_catalog_bears_out(job: str) -> None:
    """Put in by itself, a drop-in fits and anything else does not; what never stands in is in no answer."""
    (answer,) = answers(job)
    code = job.split()[-1]
    for row in answer.rows:
        asked = job.replace(f"instead of {code}", f"why not {row['code']}").replace(f"into {code}; ", "")
        (told,) = answers(asked)
        assert (told.count == 0) == (row["stands in"] == NEVER), row
        assert str(row["stands in"]).partition(":")[0] in (EVERYWHERE, ONE_WAY, HERE, WITH_CHANGES, NEVER)


def _changes(setting: Setting, old: dict[str, tuple[str, ...]], new: dict[str, tuple[str, ...]]) -> int:
    found = 0
    for name in setting.application.positions:
        one, other = Counter(old.get(name, ())), Counter(new.get(name, ()))
        found += max((one - other).total(), (other - one).total())
    return found


@given(worlds(), st.randoms(use_true_random=False))
def test_the_fewest_changes_are_those_that_trying_every_assembly_finds(setting: Setting, random: Random) -> None:
    best = Answers(setting).cheapest()
    if best is None or not best.all_parts:
        return
    position = random.choice([name for name, own in best.parts.items() if own])
    part = random.choice(best.parts[position])
    instead = Instead(setting, best, position, part)
    old = {name: tuple(each.code for each in own) for name, own in best.parts.items()}
    rest = list(old[position])
    rest.remove(part.code)
    least: dict[str, int] = {}
    for codes in brute_force(setting):
        new = dict(zip(setting.application.positions, codes, strict=True))
        for code in {code for code in new[position] if code != part.code}:
            number = _changes(setting, {**old, position: (*rest, code)}, new)
            least[code] = min(least.get(code, number), number)
    found: dict[Part, int] = {each: own.changes for own in instead.found for each in own.parts}
    assert {each.code: number for each, number in found.items()} == least
    for each, number in found.items():
        assembly = instead.assembly(each)
        new = {name: tuple(part.code for part in own) for name, own in assembly.parts.items()}
        assert each in assembly.parts[position]
        assert _changes(setting, {**old, position: (*rest, each.code)}, new) == number


def test_the_language_takes_a_code_and_nothing_else() -> None:
    session = Session(bundled())
    for said, message in {
        "instead": "of is missing; say `instead of` and a code",
        "instead of": "the code of a part is missing; say `parts` for what there is",
        "instead of ALD-TT3": "no part is named ALD-TT3; did you mean ALD-T3?",
        "instead of ALD-T3 ALD-T1": "ALD-T1 is too much here; leave it out, or start a new statement",
    }.items():
        (error,) = session.read(f"use rim\n{said}").errors
        assert error.message == message
