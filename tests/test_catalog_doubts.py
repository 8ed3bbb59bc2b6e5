"""What looks forgotten in a catalog: told of the folder that is checked, and of nothing that is usual."""

from __future__ import annotations

from pathlib import Path

import pytest
from fitwright.catalogs import examine, load
from fitwright.catalogs.doubts import doubts
from fitwright.repl.command import main

from catalogs import write_catalog

COLLAR = """
parts:
  - code: FIR-O
    kind: collar
    title: Fir collar
    price: 1.10
    traits: {finish: 626}
    dimensions: {thickness: 1/8 in%s}
"""
BORE = "    features: {bore: {interface: collar-bore, side: collar, bore: 1.176 ± 0.004}}\n"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            COLLAR % "",
            [
                "fir/a.yaml:5:1: parts > FIR-O: without the feature `bore`, which the other 2 entries of the kind "
                "`collar` have; what checks it is passed unseen"
            ],
        ),
        (
            COLLAR % ", bore: 1.17 in" + BORE,
            [
                "fir/a.yaml:5:1: parts > FIR-O: the dimension `bore` is read by no stack, and no other entry of the "
                "kind `collar` has it; a dimension that a joint reads belongs into a feature"
            ],
        ),
        (COLLAR % "" + BORE, []),
    ],
)
def test_what_nearly_all_others_have_is_missed(text: str, expected: list[str], tmp_path: Path) -> None:
    faults, found = examine(write_catalog(tmp_path / "fir", text), bundled=True)
    assert faults == []
    assert [str(each) for each in found] == expected


def test_the_bundled_catalogs_leave_some_for_a_person_to_look_at() -> None:
    catalog = load()
    files = {part.source.file for part in catalog.parts.values() if part.source}
    # A case that is keyed from outside only, a tailpiece that nothing receives behind its housing, and housings whose
    # throw is reached otherwise: all are meant so.
    expected = {"parts > BEE-310", "parts > HAZ-T1", "parts > HAZ-R5-605", "parts > HAZ-R7-605"}
    assert {each.where for each in doubts(catalog, files)} == expected


def test_the_command_tells_them_and_ends_well(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = write_catalog(tmp_path / "fir", COLLAR % "")
    assert main(["catalogs", "check", str(folder)]) == 0
    first, last = capsys.readouterr().out.splitlines()
    assert first.startswith("doubt: fir/a.yaml:5:1: parts > FIR-O: without the feature `bore`")
    assert last == f"{folder}: no faults, 1 doubt"
