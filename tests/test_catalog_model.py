"""What stands in a catalog is what the model holds."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import yaml
from fitwright.catalogs import load
from fitwright.solver.application import Caution
from fitwright.solver.catalog import Catalog, TraitValue
from fitwright.solver.check import Gap, Ref, Same, Term, Within
from fitwright.solver.finding import Source, Verdict
from fitwright.solver.notation import parse_length, parse_span
from fitwright.solver.span import Span
from fitwright.solver.thread import parse_thread

from catalogs import SAMPLE, catalog_of, faults_of, write_catalog


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return catalog_of(SAMPLE)


def test_options_multiply_an_entry(catalog: Catalog) -> None:
    assert [code for code in catalog.parts if code.startswith("ASH-C")] == [
        "ASH-CH1-626",
        "ASH-CH1-605",
        "ASH-CH2-626",
        "ASH-CH2-605",
    ]


def test_option_is_a_trait_and_changes_price_title_and_marks(catalog: Catalog) -> None:
    plain, brass = catalog.parts["ASH-CH1-626"], catalog.parts["ASH-CH1-605"]
    assert brass.traits == {"keyway": ("H1",), "finish": ("605",)}
    assert (plain.price, brass.price) == (1850 + 125, 2100)
    assert plain.title == "Ash core H1"
    assert (plain.marks, brass.marks) == ({}, {"stamp": "B"})


def test_option_without_a_declaration_is_an_open_trait(catalog: Catalog) -> None:
    assert catalog.traits["size"].values == {}
    assert catalog.parts["ASH-B9"].traits["size"] == ("9",)


def test_every_trait_of_a_part_is_a_trait_of_the_catalog(catalog: Catalog) -> None:
    assert {"size", "enters", "keyway", "finish", "hand"} == set(catalog.traits)
    assert catalog.trait_names <= set(catalog.traits)


def test_items_alike_in_shape_share_a_design(catalog: Catalog) -> None:
    cores = {catalog.parts[code].design for code in catalog.parts if code.startswith("ASH-C")}
    short, long = catalog.parts["ASH-B8"].design, catalog.parts["ASH-B9"].design
    assert len(cores) == 1
    assert short is not long
    assert short.features["rear"] is long.features["rear"]
    assert (short.dimensions["length"], long.dimensions["length"]) == (parse_span("1 in"), parse_span("1-1/8 in"))


def test_feature_borrows_dimensions_of_its_part(catalog: Catalog) -> None:
    body = catalog.parts["ASH-B8"].design
    assert body.features["core"].dimensions == {"depth": parse_span("1 in ± 0.002")}


def test_feature_borrows_a_dimension_that_an_option_changes() -> None:
    catalog = catalog_of(SAMPLE.replace("8: {dimensions: {", "8: {dimensions: {depth: 2 in, "))
    depths = [catalog.parts[code].design.features["core"].dimensions["depth"] for code in ("ASH-B8", "ASH-B9")]
    assert depths == [parse_span("2 in"), parse_span("1 in ± 0.002")]


def test_word_of_a_feature_may_be_a_trait_of_its_part(catalog: Catalog) -> None:
    body = catalog.parts["ASH-B8"]
    assert body.tokens(body.design.features["rear"], "enters") == ("A", "B")


def test_thread_gives_its_word_and_its_limits() -> None:
    catalog = catalog_of(
        SAMPLE.replace("depth: 1 in ± 0.002", "depth: 1 in ± 0.002, x: 1 in").replace(
            "- {gap: [hole.minor-bore, -thread.major]", "- {gap: [hole.minor, -thread.major]"
        )
    )
    thread = catalog.parts["ASH-B8"].design.features["outside"]
    limits = parse_thread("1.150-32 UNS-2A").limits()
    assert thread.tokens == {"thread": ("1.150-32",)}
    assert thread.dimensions == {"major": limits["major"]}
    assert not thread.required


def test_lists_of_words_are_in_one_order(catalog: Catalog) -> None:
    assert catalog.parts["OAK-D1"].traits["hand"] == ("LH", "RH")


def test_part_says_all_that_was_said_of_it(catalog: Catalog) -> None:
    old, new = catalog.parts["OAK-D1"], catalog.parts["OAK-D2"]
    assert (old.status, new.status) == ("discontinued", "stocked")
    assert (old.replaced_by, old.caution) == ("OAK-D2", "check the label")
    assert old.marks == {"stamp": "D", "grooves": "2"}
    assert old.source == Source("test/a.yaml", SAMPLE[: SAMPLE.index("code: OAK-D1")].count("\n") + 1)


def test_cut_is_read(catalog: Catalog) -> None:
    cut = catalog.parts["ASH-T"].design.cut
    assert cut is not None
    lengths = [parse_length(text) for text in ("1 in", "3 in", "1/16 in", "1/64 in")]
    assert [cut.low, cut.high, cut.step, cut.tolerance] == lengths


def test_checks_are_read(catalog: Catalog) -> None:
    seat, blade = catalog.interfaces["seat"], catalog.interfaces["blade"]
    same, gap = seat.checks
    within, _, limit = blade.checks
    assert isinstance(same, Same)
    assert (same.left, same.right) == (Ref("core", "figure"), Ref("bore", "figure"))
    assert same.because == "another figure does not turn"
    assert isinstance(gap, Gap)
    assert gap.terms == (Term(1, Ref("bore", "depth")), Term(-1, Ref("core", "depth")))
    assert (gap.at_least, gap.at_most) == (parse_length("0.002 in"), parse_length("0.020 in"))
    assert isinstance(within, Within)
    assert (within.left, within.right) == (Ref("blade", "section"), Ref("slot", "enters"))
    assert isinstance(limit, Gap)
    assert limit.terms == (Term(1, Ref("blade", "width")),)
    assert limit.at_most is None


def test_application_is_read(catalog: Catalog) -> None:
    rim = catalog.applications["rim"]
    assert rim.host is not None
    assert rim.host.name == "host"
    assert rim.positions["collar"].up_to == 3
    assert [joint.name for joint in rim.joints] == ["seat", "drive", "edge"]
    reach, projection = rim.stacks
    assert reach.when == ("tailpiece",)
    assert reach.gap.at_least == (Term(1, Ref("host", "reach-least")),)
    assert (projection.title, projection.unless) == ("projection", ("tailpiece",))
    assert rim.match == ("finish",)
    assert [(caution.text, caution.when) for caution in rim.cautions] == [
        ("ask whoever answers for the label", ("fire", ())),
        ("doors are measured twice", None),
    ]
    assert all(isinstance(caution, Caution) for caution in rim.cautions)


def test_sums_take_factors_signs_and_sums_as_bounds() -> None:
    text = SAMPLE.replace("[body.length, -collar.thickness,", "[body.length, -2 x collar.thickness,")
    catalog = catalog_of(text.replace("at most: 1/2 in\n", "at most: [host.reach-most, -host.reach-least]\n"))
    projection = catalog.applications["rim"].stacks[1]
    assert projection.gap.terms[1] == Term(-2, Ref("collar", "thickness"))
    assert projection.gap.at_most == (Term(1, Ref("host", "reach-most")), Term(-1, Ref("host", "reach-least")))


def test_sums_with_halves_and_thirds_are_held_whole() -> None:
    text = SAMPLE.replace("[body.length, -collar.thickness, -open", "[body.length, -2 x collar.thickness / 3, -open")
    text = text.replace(
        "-opening.thickness]\n        at most: 1/2 in", "-opening.thickness / 2]\n        at most: 1/2 in"
    )
    gap = catalog_of(text).applications["rim"].stacks[1].gap
    assert gap.divisor == 6
    assert [term.factor for term in gap.terms] == [6, -4, -3]
    assert gap.at_most == 6 * parse_length("1/2 in")


def test_bounds_and_gaps_of_interfaces_take_halves_too() -> None:
    text = SAMPLE.replace("at most: host.reach-most", "at most: [host.reach-most / 2, -host.reach-least]")
    catalog = catalog_of(text.replace("[bore.depth, -core.depth]", "[bore.depth/2, -2 x core.depth / 4]"))
    reach = catalog.applications["rim"].stacks[0].gap
    assert (reach.divisor, [term.factor for term in reach.terms]) == (2, [2, -2])
    assert reach.at_most == (Term(1, Ref("host", "reach-most")), Term(-2, Ref("host", "reach-least")))
    seat = catalog.interfaces["seat"].checks[1]
    assert isinstance(seat, Gap)
    assert (seat.divisor, [term.factor for term in seat.terms]) == (2, [1, -1])
    assert seat.at_least == 2 * parse_length("0.002 in")


@pytest.mark.parametrize(
    ("low", "high", "measure", "margin", "verdict"),
    [
        (7, 9, (3, 4, 5), 0, Verdict.FITS),
        (5, 9, (2, 3, 5), -1, Verdict.SELECTED),
        (-9, -7, (-5, -4, -3), -8, Verdict.FAILS),
    ],
)
def test_a_halved_sum_is_judged_exactly_and_shown_rounded_outwards(
    low: int, high: int, measure: tuple[int, int, int], margin: int, verdict: Verdict
) -> None:
    """In units of Length: half of low..high, asked to be at least 3 (held as 6)."""
    ref = Ref("part", "length")
    gap = Gap((Term(1, ref),), 6, None, "room", divisor=2)
    found = gap.judge(lambda _: Span(low, (low + high) // 2, high), "stack")
    assert found.measure == Span(*measure)
    assert (found.margin, found.verdict) == (margin, verdict)
    assert found.read == ((ref, Span(low, (low + high) // 2, high)),)


def test_traits_are_read(catalog: Catalog) -> None:
    finish = catalog.traits["finish"]
    assert finish.visible
    assert finish.values["626"] == TraitValue("626", "satin chromium", "US26D")
    assert finish.values["605"] == TraitValue("605", "bright brass")
    assert list(catalog.traits["hand"].values) == ["LH", "RH"]


def test_preparation_is_read(catalog: Catalog) -> None:
    preparation = catalog.preparations["160"]
    assert preparation.dimensions == {"cross-bore": parse_span("2-1/8 in")}
    assert preparation.features["edge"].tokens == {"enters": ("A", "B")}


@pytest.mark.parametrize("word", ["no", "yes", "on", "null", "~", "1_0", "0x10", "1e3", "007", "2001-01-01", "'1:30'"])
def test_words_stay_as_they_were_written(word: str) -> None:
    catalog = catalog_of(
        f"kinds: {{core: core}}\nparts: [{{code: A1, kind: core, title: t, marks: {{stamp: {word}}}}}]"
    )
    assert catalog.parts["A1"].marks == {"stamp": word.strip("'")}


def test_sexagesimal_is_no_number() -> None:
    catalog = catalog_of("kinds: {core: 12:30}\nparts: [{code: A1, kind: core, title: 1_0}]")
    assert (catalog.kinds["core"], catalog.parts["A1"].title) == ("12:30", "1_0")


def test_unit_is_that_of_the_file() -> None:
    kinds = "format: fitwright-catalog/1\nunit: in\nkinds: {core: core}\n"
    inch = kinds + "parts: [{code: A1, kind: core, title: t, dimensions: {length: 1}}]"
    metric = (
        "format: fitwright-catalog/1\nunit: mm\nparts: [{code: A2, kind: core, title: t, dimensions: {length: 25.4}}]"
    )
    parts = catalog_of(inch, metric).parts
    assert parts["A1"].design.dimensions == parts["A2"].design.dimensions


def by_name(folder: Path, text: str) -> Path:
    """Spread the sections of a catalog over files, so that each is read before what it builds on."""
    head, *sections = text.split("\n\n")
    for number, section in enumerate(reversed(sections)):
        (folder / f"{number}.yml").write_text("\n".join(head.split("\n")[:2]) + "\n" + section + "\n")
    return folder


def by_folder(folder: Path, text: str) -> Path:
    return write_catalog(folder / "one", text)


@pytest.mark.parametrize("spread", [by_name, by_folder])
def test_order_of_files_does_not_matter(tmp_path: Path, catalog: Catalog, spread: Callable[[Path, str], Path]) -> None:
    found = load(spread(tmp_path, SAMPLE), bundled=False, cache=False)
    assert list(found.parts) == list(catalog.parts)
    assert list(found.applications["rim"].positions) == list(catalog.applications["rim"].positions)


def test_pure_python_parser_reads_the_same(catalog: Catalog, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fitwright.catalogs.node.EventParser", yaml.Loader)
    found = catalog_of(SAMPLE)
    assert list(found.parts) == list(catalog.parts)
    assert [part.source for part in found.parts.values()] == [part.source for part in catalog.parts.values()]
    assert found.applications == catalog.applications
    (fault,) = faults_of("kinds: {a: [}")
    assert fault.what.startswith("not YAML: ")


def test_other_files_are_left_alone(tmp_path: Path) -> None:
    folder = write_catalog(tmp_path / "test", SAMPLE)
    (folder / "notes.txt").write_text("{")
    (folder / ".hidden.yaml").write_text("{")
    (folder / "folder.yaml").mkdir()
    assert load(folder, bundled=False, cache=False).parts
