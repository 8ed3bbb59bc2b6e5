"""Certificates: what answers claim is verified without the engine, and what was tampered with is refused."""

from __future__ import annotations

import ast
import copy
import json
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import pytest
import yaml
from fitwright.catalogs import load
from fitwright.catalogs.fingerprint import fingerprint
from fitwright.repl.certificate import Certificate
from fitwright.repl.claims import CERTIFICATE
from fitwright.repl.command_line import BOUND
from fitwright.repl.one_shot import one_shot
from fitwright.repl.session import Session
from fitwright.repl.shape import ShapeError, parsed
from fitwright.repl.status import Status
from fitwright.repl.verify import Outcome, verdict, verify
from fitwright.solver.catalog import Catalog
from fitwright.solver.finding import Verdict
from fitwright.solver.setting import Setting
from fitwright.solver.soft import SoftNetwork
from fitwright.solver.trial import TooLarge, Trial
from hypothesis import example, given
from hypothesis import strategies as st
from naive import Naive
from worlds import brute_force, world, worlds

from catalogs import SAMPLE, catalog_of

CASES = Path(__file__).parent / "cases"
JOBS = [case["job"] for name in ("why-not", "change") for case in yaml.safe_load((CASES / f"{name}.yaml").read_text())]
FITS = [
    "use mortise; door 1-3/4 in; into OAK-220; want finish 626; want keyway P3; fit 3",
    "use rim; door 1-3/4 in ± 1/32; into YEW-30; opening fire 90; want finish 613; why 2",
    "use bored; opening preparation 161; into ROW-60; fit",
    "use profile; door 40 mm; into BEE-155; want finish 626; fit",
    "use interchangeable; into HAZ-M1.25-626; want keyway B3; fit",
    "use mortise; door 1-3/4 in; into YEW-10; selective; want finish 626; fit 2",
    "use rim; door 1-3/4 in; into YEW-30; keep ALD-T3, ALD-CP1-626; fit 2",
]
REFUSED = "use mortise; door 1-3/4 in; into OAK-210; why not ALD-K4"
FITTING = "use rim; door 1-3/4 in; into YEW-30; want finish 626; fit 2"


@cache
def bundled() -> Catalog:
    return load()


@cache
def certificate(job: str) -> str:
    session = Session(bundled())
    reading = session.read(job)
    assert not reading.errors
    found = Certificate(bundled())
    for said in reading.said:
        answer = session.do(said)
        if answer:
            found.add(session.job, answer)
    return found.text()


def outcomes(text: str, bound: int = BOUND) -> list[Outcome]:
    return list(verify(parsed(text, CERTIFICATE), bundled(), bound))


@pytest.mark.parametrize("job", [*JOBS, *FITS])
def test_what_answers_claim_is_verified(job: str) -> None:
    found = outcomes(certificate(job))
    assert [each for each in found if each.word != "verified"] == []
    assert verdict(found)[1] is Status.YES


@pytest.mark.parametrize("job", FITS)
def test_the_first_of_a_list_is_claimed_to_be_the_least(job: str) -> None:
    claims = json.loads(certificate(job))["answers"][0]["claims"]
    assert [each["claim"] for each in claims].count("least") == 1  # the second of equals is the least as well
    assert sum(each["claim"] == "fits" for each in claims) >= 1


def test_a_refusal_claims_that_it_is_one_and_least_and_what_would_do() -> None:
    claims = json.loads(certificate(REFUSED))["answers"][0]["claims"]
    assert [each["claim"] for each in claims] == ["refusal", "minimal", "fits"]


Change = Callable[[Any], object]


def first(form: Any, claim: str) -> Any:
    return next(each for each in form["answers"][0]["claims"] if each["claim"] == claim)


def drop_part(form: Any) -> object:
    return first(form, "fits")["parts"].pop("plate")


def swap_code(form: Any) -> object:
    return first(form, "fits")["parts"].update(tailpiece=["ALD-T1"])


def alter_cut(form: Any) -> object:
    return first(form, "fits")["cuts"].update(tailpiece=first(form, "fits")["cuts"]["tailpiece"] + 1)


def alter_wish(form: Any) -> object:
    return first(form, "fits")["statements"].append("want finish 613")


def ask_another_length(form: Any) -> object:
    return first(form, "fits")["statements"].append("want tailpiece length 1-1/4 in")


def claim_less(form: Any) -> object:
    return first(form, "fits").update(verdict="fits if selected")


def other_price(form: Any) -> object:
    return first(form, "least").update(preference=first(form, "least")["preference"] - 1)


def second_for_first(form: Any) -> object:
    second = [each for each in form["answers"][0]["claims"] if each["claim"] == "fits"][1]
    return first(form, "least").update(parts=second["parts"], cuts=second["cuts"])


def no_such_part(form: Any) -> object:
    return first(form, "fits")["parts"].update(plate=["ALD-B77"])


def no_such_position(form: Any) -> object:
    return first(form, "fits")["parts"].update(lid=["ALD-B1"])


def bad_statement(form: Any) -> object:
    return first(form, "fits")["statements"].append("want finish 999")


def no_use(form: Any) -> object:
    return first(form, "fits").update(statements=["door 2 in"])


FITS_TAMPERED = {
    drop_part: "answers[0].claims[0].verdict: the judge says `does not fit`: ",
    swap_code: "answers[0].claims[0].verdict: the judge says `does not fit`: ",
    alter_cut: "answers[0].claims[0].verdict: the judge says `does not fit`: ",
    alter_wish: "answers[0].claims[0].verdict: the judge says `does not fit`: ",
    ask_another_length: "answers[0].claims[0].verdict: the judge says `does not fit`: tailpiece: ALD-T3 is cut to ",
    claim_less: "answers[0].claims[0].verdict: the judge says `fits`",
    other_price: "answers[0].claims[2].preference: it is ",
    no_such_part: "answers[0].claims[0].parts.plate[0]: no part has the code ALD-B77",
    no_such_position: "answers[0].claims[0].parts: the application has no position lid",
    bad_statement: "answers[0].claims[0].statements[4]: no finish is named 999",
    no_use: "answers[0].claims[0].statements: the job does not say what it is about",
}


def drop_member(form: Any) -> object:
    return first(form, "refusal")["members"].pop(0)


def add_innocent(form: Any) -> object:
    innocent = {"statement": "door 1-3/4 in", "without": first(form, "minimal")["members"][0]["without"]}
    return first(form, "minimal")["members"].append(innocent)


def unknown_member(form: Any) -> object:
    return first(form, "refusal")["members"].append({"statement": "door 2 in"})


def other_source(form: Any) -> object:
    return first(form, "refusal")["members"][1].update(source="harbour/interfaces.yaml:1")


def other_host(form: Any) -> object:
    said = first(form, "refusal")["statements"]
    first(form, "refusal")["members"][0]["statement"] = "into ELM-4100"
    return said.__setitem__(said.index("into OAK-210"), "into ELM-4100")


def other_witness(form: Any) -> object:
    members = first(form, "minimal")["members"]
    return members[0].update(without=members[1]["without"])


REFUSAL_TAMPERED = {
    drop_member: "answers[0].claims[0].members: ",
    add_innocent: "answers[0].claims[1].members[2]: ",
    unknown_member: "answers[0].claims[0].members[2]: the job and its catalogs have no such statement or check",
    other_source: "answers[0].claims[0].members[1]: the job and its catalogs have no such statement or check",
    other_host: "answers[0].claims[0].members: ",
    other_witness: "answers[0].claims[1].members[0]: joint throw: cam.nose - host.cam-slot: ",
}


@pytest.mark.parametrize(
    ("job", "change", "place"),
    [
        *((FITTING, change, place) for change, place in FITS_TAMPERED.items()),
        *((REFUSED, change, place) for change, place in REFUSAL_TAMPERED.items()),
    ],
)
def test_what_was_tampered_with_is_refused_with_its_place(job: str, change: Change, place: str) -> None:
    form = copy.deepcopy(json.loads(certificate(job)))
    change(form)
    refused = [each.told for each in outcomes(json.dumps(form)) if each.word == "refused"]
    assert refused
    assert refused[0].startswith(place)


def test_a_dearer_assembly_is_not_the_least() -> None:
    form = json.loads(certificate("use rim; door 1-3/4 in; into YEW-30; want finish 626; want keyway P1; fit 300"))
    claims = form["answers"][0]["claims"]
    dearer = [each for each in claims if each["claim"] == "fits"][-1]
    catalog = bundled()
    session = Session(catalog)
    for said in session.read("; ".join(dearer["statements"])).said:
        session.do(said)
    positions = session.job.application.positions
    weight = sum(
        session.job.setting.preference(positions[name], catalog.parts[code])
        for name, codes in dearer["parts"].items()
        for code in codes
    )
    least = first(form, "least")
    assert weight > least["preference"]
    least.update(parts=dearer["parts"], cuts=dearer["cuts"], preference=weight)
    (refused,) = [each.told for each in outcomes(json.dumps(form)) if each.word == "refused"]
    assert refused.endswith(" are preferred")


def test_a_certificate_of_other_catalogs_is_refused() -> None:
    (refused,) = verify(parsed(certificate(REFUSED), CERTIFICATE), catalog_of(SAMPLE), BOUND)
    assert refused.told == "catalog: it is about other catalogs than these"
    assert fingerprint(catalog_of(SAMPLE)) == fingerprint(catalog_of(SAMPLE)) != fingerprint(bundled())


def test_what_is_too_large_is_said_to_be() -> None:
    found = outcomes(certificate(FITTING), 3)
    assert [each.word for each in found] == ["verified", "verified", "too large to verify so"]
    assert found[-1].told == "answers[0].claims[2]: more than 3 combinations"
    assert verdict(found)[1] is Status.UNSETTLED


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "it is no JSON: Expecting value (line 1, column 1)"),
        ("[]", "an object belongs here"),
        ("{}", "the key 'answers' is missing"),
        ('{"format": "x", "catalog": "", "answers": []}', "format: 'fitwright-certificate/1' belongs here"),
        ('{"format": "fitwright-certificate/1", "catalog": 3, "answers": []}', "catalog: a text belongs here"),
        ('{"format": "a", "format": "b"}', "an object has the key 'format' twice"),
        ("[" * 100_000, "it is nested too deeply"),
        ("9" * 100_000, "a number in it is too large"),
    ],
)
def test_what_is_no_certificate_is_refused_with_its_place(text: str, message: str) -> None:
    with pytest.raises(ShapeError) as caught:
        parsed(text, CERTIFICATE)
    assert str(caught.value) == message


plain = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=8,
)


@given(st.data())
def test_any_piece_replaced_by_anything_is_an_answer_or_one_clear_error(data: st.DataObject) -> None:
    form = json.loads(certificate(REFUSED))
    at: Any = form
    while True:
        keys = list(at) if isinstance(at, dict) else list(range(len(at)))
        key = data.draw(st.sampled_from(keys))
        if not isinstance(at[key], dict | list) or not at[key] or data.draw(st.booleans()):
            break
        at = at[key]
    at[key] = data.draw(plain)
    try:
        found = outcomes(json.dumps(form), 2_000)
    except ShapeError:
        return
    assert all(each.told for each in found)


@given(worlds(), st.randoms(use_true_random=False))
def test_trying_finds_an_assembly_exactly_where_there_is_one(setting: Setting, random: Random) -> None:
    naive, elements = Naive(setting), SoftNetwork(setting).elements
    welcome = Verdict.SELECTED if setting.selective else Verdict.FITS
    for _ in range(4):
        some = random.sample(elements, random.randint(0, len(elements)))
        try:
            found = Trial(setting, welcome, some).search(20_000)
        except TooLarge:
            continue
        assert (found is not None) is naive.exists(some)


@given(worlds())
@example(setting=world(Random(600617)))  # a length that is asked of a part that is cut
def test_trying_finds_whatever_is_preferred(setting: Setting) -> None:
    welcome = Verdict.SELECTED if setting.selective else Verdict.FITS
    positions = list(setting.application.positions.values())
    weights = [
        sum(
            setting.preference(place, setting.catalog.parts[code])
            for place, own in zip(positions, codes, strict=True)
            for code in own
        )
        for codes in brute_force(setting)
    ]
    trial = Trial(setting, welcome)
    if weights:
        assert trial.search(100_000, min(weights)) is None
        assert trial.search(100_000, min(weights) + 1) is not None
    else:
        assert trial.search(100_000) is None


ENGINE = ("network", "graph", "compiler", "soft", "conflict", "reason", "folds", "ranked", "answers", "relation")


def test_the_checker_shares_nothing_with_what_it_checks() -> None:
    root = Path(__file__).parent.parent
    for file in ("solver/trial.py", "repl/verify.py"):
        text = (root / file).read_text("utf-8")
        assert len(text.splitlines()) <= 200
        imported = {node.module or "" for node in ast.walk(ast.parse(text)) if isinstance(node, ast.ImportFrom)}
        assert imported.isdisjoint({name for name in imported if name.split(".")[-1] in ENGINE})


def test_verifying_loads_no_terminal_and_no_unit_library(tmp_path: Path) -> None:
    file = tmp_path / "c.json"
    file.write_text(certificate(REFUSED))
    code = (
        "import sys; from fitwright.repl.one_shot import one_shot; "
        f"status = one_shot(['verify', {str(file)!r}]); "
        "print(status, [name for name in ('prompt_toolkit', 'pint') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True)
    assert done.stdout.endswith("0 []\n")


class TestCommand:
    def write(self, tmp_path: Path, *job: str) -> Path:
        file = tmp_path / "c.json"
        assert one_shot(["ask", "; ".join(job), "--certificate", str(file)]) in (Status.YES, Status.NO)
        return file

    def test_it_writes_and_verifies(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        file = self.write(tmp_path, REFUSED)
        capsys.readouterr()
        assert one_shot(["verify", str(file)]) == Status.YES
        assert capsys.readouterr().out.splitlines()[:2] == [
            "verified: 3 verified",
            "- verified: why not ALD-K4: these can't hold together: into OAK-210; joint throw",
        ]

    def test_what_was_tampered_with_ends_with_1(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        file = self.write(tmp_path, FITTING)
        file.write_text(file.read_text().replace('"ALD-T3"', '"ALD-T1"', 1))
        capsys.readouterr()
        assert one_shot(["verify", str(file)]) == Status.NO
        assert capsys.readouterr().out.startswith("refused: 1 refused, 2 verified\n- refused: answers[0].claims[0]")

    def test_what_is_too_large_ends_with_its_own_status(self, tmp_path: Path) -> None:
        file = self.write(tmp_path, FITTING)
        assert one_shot(["verify", str(file), "--bound", "3"]) == Status.UNSETTLED

    def test_what_is_no_certificate_is_a_wrong_use(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        file = tmp_path / "job.txt"
        file.write_text("use rim")
        assert one_shot(["verify", str(file)]) == Status.WRONG
        assert "job.txt is no certificate: it is no JSON" in capsys.readouterr().err

    def test_what_can_not_be_written_is_said(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert one_shot(["ask", FITTING, "--certificate", str(tmp_path / "none" / "c")]) == Status.UNWRITABLE
        assert "can't be written" in capsys.readouterr().err
