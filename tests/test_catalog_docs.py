"""The page on the catalog format is true: its example is a sound catalog, and its limits are the reader's."""

from __future__ import annotations

import re
from pathlib import Path

from fitwright.catalogs import node, parts

from catalogs import catalog_of, faults_of

PAGE = (Path(__file__).parent.parent / "docs/catalog-format.md").read_text(encoding="utf-8")
(EXAMPLE,) = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)


def test_example_is_a_sound_catalog() -> None:
    assert [str(fault) for fault in faults_of(EXAMPLE)] == []


def test_example_shows_every_part_of_the_model() -> None:
    catalog = catalog_of(EXAMPLE)
    rim = catalog.applications["rim"]
    assert all([catalog.kinds, catalog.traits, catalog.interfaces, catalog.preparations, catalog.parts])
    assert all([rim.joints, rim.stacks, rim.rules, rim.match, rim.cautions])


def test_fault_in_the_page_is_told_so() -> None:
    (shown,) = re.findall(r"```text\n.*?: (.*)\n```", PAGE)
    text = EXAMPLE.replace("    title: Alder tailpiece\n", "    title: Alder tailpiece\n    prise: 3\n")
    (found,) = faults_of(text)
    assert f"{found.where}: {found.what}; {found.hint}" == shown


def test_limits_in_the_page_are_the_readers() -> None:
    for limit in (node.MOST_SCALAR, parts.MOST_ITEMS):
        assert f"{limit:,}" in PAGE
    assert f"{node.MOST_BYTES // 1_000_000} MB" in PAGE
    assert f"deeper than {node.MOST_DEPTH} levels" in PAGE
