"""Small catalogs for tests, from YAML text."""

from __future__ import annotations

import tempfile
import textwrap
from pathlib import Path

from fitwright.catalogs import CatalogError, Fault, load
from fitwright.solver.catalog import Catalog

HEADER = "format: fitwright-catalog/1\nunit: in\n"

SAMPLE = """\
format: fitwright-catalog/1
unit: in
currency: crowns

kinds: {core: keyed core, body: threaded body, collar: collar, tailpiece: tailpiece, device: rim device}

traits:
  finish:
    applies to: visible
    values:
      626: {symbol: US26D, title: satin chromium}
      652: {symbol: US26D, title: satin chromium on steel}
      605: bright brass
  keyway: {title: keyway}
  hand: {values: [LH, RH]}

interfaces:
  seat:
    title: core in a body
    sides: [core, bore]
    checks:
      - {same: figure, because: another figure does not turn}
      - {gap: [bore.depth, -core.depth], at least: 0.002 in, at most: 0.020 in, because: it must turn freely}
  blade:
    title: flat tailpiece in a slot
    sides: [blade, slot]
    checks:
      - {within: blade.section, of: slot.enters, because: a wrong section jams}
      - {gap: [slot.width, -blade.width], at least: 0.002 in, because: it must enter}
      - {limit: blade.width, at least: 1/16 in, because: a thinner one bends}
  bore:
    sides: [thread, hole]
    checks:
      - {same: thread, because: threads must match}
      - {gap: [hole.minor-bore, -thread.major], at most: 0 in, because: a loose thread pulls out}

preparations:
  160:
    title: 2-1/8 in cross bore
    dimensions: {cross-bore: 2-1/8 in}
    features:
      edge: {interface: blade, side: slot, enters: [A, B], width: 1 in}

parts:
  - code: ASH-C{keyway}-{finish}
    kind: core
    title: Ash core {keyway}
    price: 18.50
    options:
      keyway: [H1, H2]
      finish: {626: {surcharge: 1.25}, 605: {price: 21, title: brass, marks: {stamp: B}}}
    dimensions: {length: 1 in}
    features:
      front: {interface: seat, side: core, figure: eight, depth: 0.990 in ± 0.002}
  - code: ASH-B{size}
    kind: body
    title: Ash body, {size} eighths
    options:
      size: {8: {dimensions: {length: 1 in}}, 9: {dimensions: {length: 1-1/8 in}, price: 13}}
    traits: {enters: [A, B]}
    price: 12
    dimensions: {depth: 1 in ± 0.002}
    features:
      core: {interface: seat, side: bore, figure: eight}
      outside: {interface: bore, side: thread, thread: 1.150-32 UNS-2A, mate: optional}
      rear: {interface: blade, side: slot, width: 0.260 in ± 0.002}
  - code: ASH-R1
    kind: collar
    title: collar
    status: to order
    price: 0.40
    dimensions: {thickness: 1/8 in}
  - code: ASH-T
    kind: tailpiece
    title: tailpiece
    price: 2.50
    cut: {dimension: length, from: 1 in, to: 3 in, step: 1/16 in, tolerance: 1/64 in}
    features:
      head: {interface: blade, side: blade, section: A, width: 0.250 in ± 0.002}
  - code: OAK-D1
    kind: device
    title: old rim device
    status: discontinued
    price: 0
    replaced by: OAK-D2
    caution: check the label
    traits: {hand: [RH, LH]}
    marks: {stamp: D, grooves: 2}
    dimensions: {reach-least: 1/4 in, reach-most: 1/2 in}
  - code: OAK-D2
    kind: device
    title: rim device
    price: 40
    traits: {hand: [LH, RH]}
    dimensions: {reach-least: 3/8 in, reach-most: 1/2 in}

applications:
  rim:
    title: rim lock
    positions:
      host: {kind: device, host: true}
      core: {kind: core, visible: true}
      body: {kind: body}
      collar: {kind: collar, optional: true, up to: 3}
      tailpiece: {kind: tailpiece, optional: true}
    joints:
      seat: [core.front, body.core]
      drive: [body.rear, tailpiece.head]
      edge: [opening.edge, body.outside]
    stacks:
      reach:
        title: tailpiece beyond the door
        sum: [tailpiece.length, -opening.thickness]
        at least: host.reach-least
        at most: host.reach-most
        when: [tailpiece]
        because: a tailpiece that does not reach turns nothing
      projection:
        sum: [body.length, -collar.thickness, -opening.thickness]
        at most: 1/2 in
        unless: tailpiece
        because: what stands out can be gripped
    rules:
      hand: {within: opening.hand, of: host.hand, because: the latch would be upside down}
    match: [finish]
    cautions:
      - text: ask whoever answers for the label
        when: {fire: any}
      - doors are measured twice
"""
"""A whole catalog without a fault, with at least one of everything."""


def write_catalog(folder: Path, *texts: str) -> Path:
    """Write each text as one file of a catalog folder, a.yaml, b.yaml...; a header is added where none is."""
    folder.mkdir(parents=True, exist_ok=True)
    for number, text in enumerate(texts):
        words = textwrap.dedent(text)
        if "format:" not in words:
            words = HEADER + words
        (folder / f"{chr(97 + number)}.yaml").write_text(words, encoding="utf-8")
    return folder


def catalog_of(text: str, *more: str) -> Catalog:
    """Return what the texts hold, each read as one file of a catalog."""
    with tempfile.TemporaryDirectory() as folder:
        return load(write_catalog(Path(folder) / "test", text, *more), bundled=False, cache=False)


def faults_of(text: str, *more: str) -> list[Fault]:
    """Return what is wrong with the texts."""
    try:
        catalog_of(text, *more)
    except CatalogError as error:
        return list(error.faults)
    return []
