"""The benchmark at its smallest: everything runs, and everybody counts the same. Nothing is timed here."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from pathlib import Path

import pytest
from benchmarks import compare, report
from benchmarks.engine import Measured, measure
from benchmarks.generate import KINDS, setting
from benchmarks.isolated import Died, TooLong, isolated
from benchmarks.raw import Raw, by_kind
from benchmarks.report import Case
from benchmarks.rival import RIVALS, Trial, compete
from fitwright.solver.answers import Answers
from fitwright.solver.assembly import Assembly
from fitwright.solver.finding import Verdict, worst
from fitwright.solver.judge import judge
from fitwright.solver.setting import Setting

SIZE = 200


@pytest.fixture(scope="module", params=KINDS)
def job(request: pytest.FixtureRequest) -> Setting:
    return setting(request.param, SIZE)


@pytest.fixture(scope="module")
def counted(job: Setting) -> int:
    return Answers(job).count()


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("size", [150, 777])
def test_a_generated_catalog_has_as_many_items_as_asked_and_its_job_has_answers(kind: str, size: int) -> None:
    job = setting(kind, size)
    assert len(job.catalog.parts) == size
    assert Answers(job).count() > 0


def test_the_same_seed_makes_the_same_catalog() -> None:
    def told(seed: int) -> list[tuple[object, ...]]:
        parts = setting("unlucky", SIZE, seed).catalog.parts.values()
        return [(part.code, part.price, part.traits, part.design.dimensions) for part in parts]

    assert told(5) == told(5)
    assert told(5) != told(6)


def test_hardly_two_items_of_an_unlucky_catalog_are_interchangeable() -> None:
    items, classes = 0, 0
    for name, ways in Raw.of_classes(setting("unlucky", 2000)).ways.items():
        if name not in ("host", "link", "screw"):
            items, classes = items + sum(ways), classes + len(ways)
    assert classes > 0.95 * items


@pytest.mark.parametrize("kind", ["", "lucky"])
def test_an_unknown_kind_of_catalog_is_refused(kind: str) -> None:
    with pytest.raises(ValueError, match="no kind of catalog"):
        setting(kind, SIZE)


def test_a_catalog_too_small_for_all_kinds_is_refused() -> None:
    with pytest.raises(ValueError, match="at least 150"):
        setting("ordinary", 149)


@pytest.mark.parametrize("rival", RIVALS)
def test_every_rival_counts_as_the_engine_does(rival: str, job: Setting, counted: int) -> None:
    pytest.importorskip(RIVALS[rival].needs)
    assert RIVALS[rival].prepare(job)() == counted


def test_the_raw_statement_agrees_with_the_judge_on_whole_assemblies(job: Setting) -> None:
    """Around one answer every position is varied alone and in pairs with the next; all are tried both ways."""
    raw = Raw.of(job, by_kind(job.catalog))
    names = list(raw.domains)
    best = Answers(job).cheapest()
    assert best is not None
    start = [
        next((i for i, item in enumerate(raw.domains[name]) if ((item,) if item else ()) == best.parts[name]))
        for name in names
    ]
    seen = set()
    for one, other in zip(range(len(names)), [*range(1, len(names)), 0], strict=True):
        for i, j in product(range(len(raw.domains[names[one]])), range(len(raw.domains[names[other]]))):
            numbers = list(start)
            numbers[one], numbers[other] = i, j
            items = [raw.domains[name][number] for name, number in zip(names, numbers, strict=True)]
            assembly = Assembly({name: (item,) if item else () for name, item in zip(names, items, strict=True)})
            fits = _raw_holds(raw, dict(zip(names, numbers, strict=True)))
            seen.add(fits)
            assert fits == (worst([finding.verdict for finding in judge(job, assembly)]) is Verdict.FITS)
    assert seen == {True, False}


def _raw_holds(raw: Raw, at: dict[str, int]) -> bool:
    for table in raw.tables:
        free = table.unless is not None and raw.domains[table.unless][at[table.unless]] is not None
        if not free and not table.holds(at[table.names[0]], at[table.names[1]]):
            return False
    for total in raw.totals:
        if total.when is None or raw.domains[total.when][at[total.when]] is not None:
            terms = [column[at[name]] for name, column in total.terms.items()]
            if sum(low for low, _ in terms) < total.low or sum(high for _, high in terms) > total.high:
                return False
    return True


@pytest.mark.parametrize("kind", KINDS)
def test_the_engine_is_measured_in_a_process_of_its_own(kind: str) -> None:
    measured = measure(kind, SIZE, 1)
    assert measured.count == Answers(setting(kind, SIZE)).count()
    assert set(measured.runs) == {
        "count",
        "count given the network",
        "choices",
        "cheapest",
        "first 1,000 in order",
        "listing",
    }


def _steps(words: list[str]) -> Iterator[str | None]:
    for word in words:
        if word == "wait":
            while True:
                pass
        if word == "fail":
            raise ValueError("as asked")
        yield None if word == "ready" else word


def test_work_that_takes_too_long_is_stopped_after_what_it_has_done() -> None:
    steps = isolated(_steps, (["ready", "one", "ready", "wait"],), 0.2)
    assert next(steps) == "one"
    with pytest.raises(TooLong):
        next(steps)


def test_work_that_fails_says_why() -> None:
    with pytest.raises(Died, match="as asked"):
        list(isolated(_steps, (["ready", "fail"],), 10))


def test_a_rival_over_its_limit_is_a_lower_bound() -> None:
    trial = compete("python-constraint2", "ordinary", 2000, 0.001, 1)
    assert (trial.over_time, trial.count, trial.least) == (True, None, 0.001)
    measured = Measured(count=10, runs={"count": [0.0001]})
    assert Case("ordinary", 2000, measured, [trial]).ratios(RIVALS) == [(10.0, True)]


def test_a_disagreement_ends_the_comparison_with_status_1(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def wrong(rival: str, kind: str, size: int, limit: float, repeats: int) -> Trial:
        return Trial(rival, limit, [1.0], 12345)

    monkeypatch.setattr(compare, "compete", wrong)
    asked = ["--kinds", "ordinary", "--sizes", str(SIZE), "--only", "clingo", "--repeats", "1", "--no-command"]
    assert compare.main([*asked, "--markdown", str(tmp_path / "report.md")]) == 1
    out, err = capsys.readouterr()
    assert "clingo counts 12345, fitwright" in err
    assert (tmp_path / "report.md").read_text(encoding="utf-8") == out
    assert "| clingo, all items | 1 s |" in out


def test_agreement_ends_the_comparison_with_status_0(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["--kinds", "unlucky", "--sizes", str(SIZE), "--only", "python-constraint2", "--repeats", "1"]
    assert compare.main([*asked, "--no-command"]) == 0
    assert "| python-constraint2, all items |" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("over_time", "wanted"), [(True, "| > 5 | not decided within the limit |"), (False, "| 5 | missed |")]
)
def test_a_lower_bound_below_a_target_decides_nothing(over_time: bool, wanted: str) -> None:
    questions = ("count", "count given the network", "choices", "cheapest", "first 1,000 in order", "listing")
    measured = Measured(count=10, runs={question: [1.0] for question in questions})
    trial = Trial("dd-cudd", 5.0, [] if over_time else [5.0], None if over_time else 10, over_time)
    assert wanted in report.write([Case("unlucky", 20_000, measured, [trial])], [], 1, 5.0)


def test_every_rival_has_a_title() -> None:
    assert set(report.TITLES) == set(RIVALS)


@pytest.mark.parametrize("wrong", [["--sizes", "12"], ["--sizes", "many"], ["--only", "nobody"], ["--kinds", "x"]])
def test_a_wrong_option_is_refused_with_what_would_be_right(
    wrong: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit, match="2"):
        compare.main(wrong)
    assert "at least 150" in (err := capsys.readouterr().err) or "not" in err
