"""Each fault of a catalog is reported once, word for word, at its place."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

import pytest
import yaml
from fitwright.catalogs import CatalogError, Fault, check, load

from catalogs import HEADER, SAMPLE, catalog_of, faults_of, write_catalog


class Case(NamedTuple):
    """Edits of the sample, and for each fault the text at its place and what is said."""

    name: str
    edits: list[list[str]]
    faults: list[list[str]]


CASES = [Case(**case) for case in yaml.safe_load((Path(__file__).parent / "cases/catalog-faults.yaml").read_text())]


def test_there_are_cases() -> None:
    assert len(CASES) > 80
    assert len({case.name for case in CASES}) == len(CASES)


def edited(edits: list[list[str]]) -> str:
    text = SAMPLE
    for old, new in edits:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def told(fault: Fault) -> str:
    return f"{fault.where}: {fault.what}; {fault.hint}" if fault.where else f"{fault.what}; {fault.hint}"


def at(fault: Fault, text: str) -> str:
    return text.split("\n")[fault.line - 1][fault.column - 1 :]


def test_sample_has_no_fault() -> None:
    assert faults_of(SAMPLE) == []


@pytest.mark.parametrize("case", CASES, ids=[case.name for case in CASES])
def test_fault_is_told_word_for_word_at_its_place(case: Case) -> None:
    text = edited(case.edits)
    found = faults_of(text)
    assert [told(fault) for fault in found] == [words for _, words in case.faults]
    for fault, (place, _) in zip(found, case.faults, strict=True):
        assert fault.file == "test/a.yaml"
        assert at(fault, text).startswith(place)


def test_fault_is_printed_with_its_place() -> None:
    with pytest.raises(CatalogError) as caught:
        catalog_of(HEADER + "kinds: {core: keyed core}\nparts:\n  - {code: A1, kind: cor, title: t}\n")
    assert str(caught.value) == ("test/a.yaml:5:22: parts > A1 > kind: no kind is named `cor`; did you mean `core`?")


def test_nine_faults_are_nine_lines() -> None:
    text = SAMPLE
    for old, new in [
        ("price: 18.50", "price: -1"),
        ("kind: body\n", "kind: bdoy\n"),
        ("status: to order", "status: ordered"),
        ("step: 1/16 in", "step: 1/16 ni"),
        ("because: threads must match", ""),
        ("drive: [body.rear", "drive: [boody.rear"),
        ("when: {fire: any}", "when: {fier: any}"),
        ("applies to: visible", "applies to: visibel"),
        ("match: [finish]", "match: [finihs]"),
    ]:
        assert old in text
        text = text.replace(old, new, 1)
    with pytest.raises(CatalogError) as caught:
        catalog_of(text)
    lines = str(caught.value).splitlines()
    assert len(lines) == 9
    assert [fault.line for fault in caught.value.faults] == sorted(fault.line for fault in caught.value.faults)


def test_one_misspelt_definition_is_one_fault_however_often_it_is_used() -> None:
    found = faults_of(SAMPLE.replace("  seat:\n    title", "  saet:\n    title"))
    assert [told(fault) for fault in found] == [
        "parts > ASH-C{keyway}-{finish} > features > front > interface: no interface is named `seat`"
        " (and in 1 more place); did you mean `saet`?"
    ]


def test_faulty_definition_has_no_consequences() -> None:
    found = faults_of(SAMPLE.replace("sides: [core, bore]", "sides: [core, bore, both]"))
    assert [told(fault) for fault in found] == [
        "interfaces > seat > sides: not two different sides; write sides: [one, other]"
    ]


def test_faulty_part_has_no_consequences() -> None:
    found = faults_of(SAMPLE.replace("9: {dimensions: {length: 1-1/8 in}", "9: {dimensions: {length: 1-1/8 on}"))
    assert len(found) == 1


def test_faulty_position_has_no_consequences() -> None:
    found = faults_of(SAMPLE.replace("body: {kind: body}", "body: {kind: body, visible: often}"))
    assert [told(fault) for fault in found] == [
        "applications > rim > positions > body > visible: `often` is not one of true, false; choose one of these"
    ]


@pytest.mark.parametrize("section", ["kinds", "traits", "interfaces", "preparations", "applications"])
def test_name_defined_in_two_files_names_both_places(section: str) -> None:
    meanings = {
        "kinds": "core",
        "traits": "{}",
        "interfaces": "{sides: [a, b], checks: [{same: x, because: y}]}",
        "preparations": "{title: t}",
        "applications": "{title: t, positions: {core: {kind: core, optional: true}}}",
    }
    one = f"{section}:\n  core: {meanings[section]}\n"
    first = one if section == "kinds" else "kinds: {core: core}\n" + one
    (found,) = faults_of(first, one)
    line = 4 if section == "kinds" else 5
    assert str(found) == (
        f"test/b.yaml:4:3: {section} > core: the {section[:-1]} `core` is defined twice, first in test/a.yaml:{line};"
        " keep one of the two"
    )


def test_code_defined_in_two_catalogs_names_both_places(tmp_path: Path) -> None:
    one = write_catalog(tmp_path / "one", "kinds: {core: core}\nparts: [{code: A1, kind: core, title: t}]")
    two = write_catalog(tmp_path / "two", "parts: [{code: A1, kind: core, title: t}]")
    with pytest.raises(CatalogError) as caught:
        load(one, two, bundled=False, cache=False)
    assert str(caught.value) == (
        "two/a.yaml:3:16: parts > A1 > code: the code `A1` is defined twice, first in one/a.yaml:4;"
        " give one of the two another"
    )


def test_copied_catalog_is_few_faults(tmp_path: Path) -> None:
    one, two = write_catalog(tmp_path / "one", SAMPLE), write_catalog(tmp_path / "two", SAMPLE)
    with pytest.raises(CatalogError) as caught:
        load(one, two, bundled=False, cache=False)
    assert len(caught.value.faults) == 6
    assert str(caught.value.faults[0]) == (
        "two/a.yaml:5:9: kinds > core: the kind `core` is defined twice, first in one/a.yaml:5"
        " (and in 4 more places); keep one of the two"
    )


def test_two_currencies_are_a_fault() -> None:
    (found,) = faults_of("currency: crowns", "currency: marks")
    assert str(found) == (
        "test/b.yaml:3:11: currency: prices in marks, but in crowns in test/a.yaml:3; count in one currency"
    )


YAML_FAULTS = [
    ("\tx: y", r"test/a.yaml:3:1: a tab; indent with spaces"),
    ("kinds:\n  a: b\n\tc: d", r"test/a.yaml:5:1: a tab; indent with spaces"),
    ("kinds:\n    a: b\n  c: d", r"test/a.yaml:5:3: not YAML: .*; indent the keys of one table alike, .*"),
    ("parts:\n  - code: A\n   kind: b", r"test/a.yaml:5:4: not YAML: .*; indent the keys of one table alike, .*"),
    ("parts:\n  - code: A\n      kind: b", r"test/a.yaml:5:11: not YAML: .*; indent the keys of one table alike, .*"),
    (
        "kinds:\n  a: b\n  c\n  d: e",
        r"test/a.yaml:5:3: a line without `key: value`; indent the keys .*",
    ),
    ('kinds: {a: "b" c}', r"test/a.yaml:3:16: not YAML: .*; quote text .*"),
    ("kinds: a: b", r"test/a.yaml:3:9: not YAML: .*; quote text .*"),
    ("kinds: [a", r"test/a.yaml:[34]:\d+: not YAML: .*; quote text .*"),
    ("kinds: 'a", r"test/a.yaml:[34]:\d+: not YAML: .*; quote text .*"),
    ("kinds: {a: b}\n---\nkinds: {c: d}", r"test/a.yaml:4:1: a second document in one file; remove .*"),
    ("kinds: {a: &x b}", r"test/a.yaml:3:12: the anchor `&x`; anchors and aliases are not used here: .*"),
    ("kinds: {a: *x}", r"test/a.yaml:3:12: the alias `\*x`; anchors and aliases are not used here: .*"),
    ("kinds: {a: !!python/name:os.system b}", r"test/a.yaml:3:12: the tag `tag:yaml.org,2002:python/name:.*`; tags .*"),
    ("kinds: {a: !x b}", r"test/a.yaml:3:12: the tag `!x`; tags are not used here: write the plain value"),
    ("kinds: {a: b, a: c}", r"test/a.yaml:3:15: the key `a` twice, first in line 3; keep one of the two"),
    ("kinds: {a: b}\nkinds: {c: d}", r"test/a.yaml:4:1: the key `kinds` twice, first in line 3; keep one .*"),
    ("kinds: {[a]: b}", r"test/a.yaml:3:9: a key that is not a single word; write a plain word"),
    ('kinds: {a: "\\e[2J"}', r"test/a.yaml:3:12: the character U\+001B; leave it out"),
    ("kinds: {a: \x07}", r"test/a.yaml:3:12: not YAML: the character U\+0007 may not stand in it; remove it"),
    (f"kinds: {'[' * 30}", r"test/a.yaml:3:27: nested deeper than 20 levels; write it flatter"),
    (f"kinds: {'[' * 3000}", r"test/a.yaml:3:\d+: nested deeper than 20 levels; write it flatter"),
    (f"kinds: {{a: {'x' * 10_001}}}", r"test/a.yaml:3:12: a value of more than 10000 characters; shorten it"),
]


@pytest.mark.parametrize(("text", "message"), YAML_FAULTS)
def test_text_that_is_refused_is_one_fault_at_its_place(text: str, message: str) -> None:
    (found,) = faults_of(HEADER + text)
    assert re.fullmatch(message, str(found))


def test_file_that_is_not_utf8_is_one_fault_at_its_place(tmp_path: Path) -> None:
    folder = write_catalog(tmp_path / "test", "kinds: {a: b}")
    (folder / "a.yaml").write_bytes(HEADER.encode() + b"kinds: {a: \xff}")
    assert [str(fault) for fault in check(folder)] == ["test/a.yaml:3:12: not UTF-8: byte 0xff; save the file as UTF-8"]


def test_file_that_cannot_be_read_hides_no_other_and_has_no_consequences() -> None:
    found = faults_of("kinds: {core: [}", "kinds: [", "parts: [{code: A1, kind: core, title: t}]")
    assert [(fault.file, fault.what.split(":")[0]) for fault in found] == [
        ("test/a.yaml", "not YAML"),
        ("test/b.yaml", "not YAML"),
    ]


def test_empty_file_is_a_fault(tmp_path: Path) -> None:
    folder = write_catalog(tmp_path / "test", "# format: none\n")
    assert [str(fault) for fault in check(folder)] == [
        "test/a.yaml:1:1: an empty file; begin with format: fitwright-catalog/1"
    ]


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("code,price\nA1,2\n", "1:1: this is no catalog: a single value"),
        ("- code\n- price\n", "1:1: this is no catalog: a list"),
        ('"code","price"\n"A1","2"\n', "1:7: this is no catalog: text after a single value"),
    ],
)
def test_file_without_a_table_is_no_catalog(text: str, what: str, tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text(text)
    (found,) = check(tmp_path)
    assert str(found) == f"{tmp_path.name}/a.yaml:{what}; begin with format: fitwright-catalog/1"


@pytest.mark.parametrize("ending", ["YAML", "YML", "Yml"])
def test_file_with_a_capital_ending_is_read(ending: str, tmp_path: Path) -> None:
    (tmp_path / f"a.{ending}").write_text(HEADER + "kinds: {a: b}")
    assert list(load(tmp_path, bundled=False, cache=False).kinds) == ["a"]


def test_catalog_without_any_price_has_no_fault() -> None:
    words = [line for line in SAMPLE.splitlines() if not line.startswith("    price:")]
    text = "\n".join(words).replace("605: {price: 21, ", "605: {").replace(", price: 13}", "}")
    assert "{price" not in text
    assert faults_of(text) == []


def test_catalogs_with_and_without_prices_do_not_go_together() -> None:
    (found,) = faults_of(SAMPLE, "parts: [{code: X1, kind: collar, title: t, dimensions: {thickness: 1 in}}]")
    assert str(found).startswith("test/b.yaml:3:9: parts > X1: without `price` (other parts have one);")


def test_price_for_every_value_of_an_option_will_do() -> None:
    text = SAMPLE.replace("    price: 12\n", "").replace("8: {dim", "8: {price: 12, dim")
    assert catalog_of(text).parts["ASH-B8"].price == 1200


def test_word_that_only_a_missing_counterpart_could_have_is_no_fault() -> None:
    """A part that fits nothing is what the solver tells, and another catalog may bring its mate."""
    assert faults_of(SAMPLE.replace("section: A, width", "section: Z, width")) == []
    assert faults_of(SAMPLE.replace("figure: eight, depth: 0.990", "figure: square, depth: 0.990")) == []


def test_missing_folder_is_one_fault(tmp_path: Path) -> None:
    (found,) = check(tmp_path / "nowhere")
    assert (
        str(found) == f"nowhere: there is no folder {tmp_path / 'nowhere'}; give the path of a folder of catalog files"
    )


def test_file_instead_of_folder_is_one_fault(tmp_path: Path) -> None:
    folder = write_catalog(tmp_path / "test", "kinds: {a: b}")
    (found,) = check(folder / "a.yaml")
    assert str(found) == f"a.yaml: {folder / 'a.yaml'} is a file; give its folder, {folder}"


def test_empty_folder_is_one_fault(tmp_path: Path) -> None:
    (found,) = check(tmp_path)
    assert found.what == "no catalog file in this folder"
    assert found.hint == "catalog files end in .yaml or .yml"


def test_folder_of_catalogs_is_told_from_a_catalog(tmp_path: Path) -> None:
    write_catalog(tmp_path / "test", "kinds: {a: b}")
    (found,) = check(tmp_path)
    assert found.what == "no catalog file lies directly in this folder"
    assert found.hint == "give one of its folders: test"


def test_two_missing_folders_are_two_faults(tmp_path: Path) -> None:
    with pytest.raises(CatalogError) as caught:
        load(tmp_path / "one", tmp_path / "two", cache=False)
    assert [fault.file for fault in caught.value.faults] == ["one", "two"]


def test_fault_is_one_line_whatever_the_words_are() -> None:
    (found,) = faults_of('kinds: {core: core}\nparts:\n  - {code: A1, kind: "co\\n\\nre\\u2028x", title: t}')
    assert found.what == "no kind is named `co re x`"


def test_message_of_very_many_faults_is_cut_but_none_is_lost() -> None:
    parts = "".join(f"  - {{code: A{number}, kind: core, title: t, price: -1}}\n" for number in range(200))
    with pytest.raises(CatalogError) as caught:
        catalog_of("kinds: {core: core}\nparts:\n" + parts)
    assert len(caught.value.faults) == 200
    assert str(caught.value).splitlines()[-1] == "... and 140 more faults"
