"""The bundled demonstration catalog keeps what its documentation says of it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache, partial
from itertools import combinations_with_replacement
from pathlib import Path

import pytest
from fitwright.catalogs import load
from fitwright.repl.wording import check_words, measure_words
from fitwright.solver.answers import Answers, solve
from fitwright.solver.assembly import Assembly
from fitwright.solver.catalog import Catalog
from fitwright.solver.check import Gap
from fitwright.solver.cutting import cut_to_fit
from fitwright.solver.finding import Finding, Verdict, worst
from fitwright.solver.judge import judge
from fitwright.solver.length import INCH, MM, Length
from fitwright.solver.notation import parse_length, parse_span
from fitwright.solver.part import Part
from fitwright.solver.setting import Setting
from fitwright.solver.span import Span
from fitwright.solver.statement import Door, Into, Keep, OpeningIs, Selective, Statement, Use, Want

GEOMETRY = Path(__file__).parent.parent / "docs" / "geometry.md"

HOST_KINDS = {
    "mortise": ("mortise-case",),
    "rim": ("rim-device", "rim-lock"),
    "bored": ("chassis",),
    "profile": ("profile-case",),
    "interchangeable": ("housing",),
}
CAST = {"ELM-520", "BEE-055", "HAZ-A-626"}
"""Hosts with so wide a tolerance that parts must be selected for them."""


@cache
def catalog() -> Catalog:
    return load(cache=False)


def statements(application: str, door: str, host: str = "", *more: Statement) -> list[Statement]:
    into = [Into(host, text=f"into {host}")] if host else []
    return [Use(application, text=f"use {application}"), Door(parse_span(door), text=f"door {door}"), *into, *more]


def want(trait: str, value: str) -> Want:
    return Want(trait, (value,), text=f"want {trait} {value}")


def opening(trait: str, value: str) -> OpeningIs:
    return OpeningIs(trait, (value,), text=f"opening {trait} {value}")


def answers(application: str, door: str, host: str = "", *more: Statement) -> Answers:
    return solve(catalog(), statements(application, door, host, *more))


def hosts(application: str) -> list[Part]:
    """One host of each design: in finish 626 where it has finishes, of hand LH where it is handed."""
    return [
        part
        for part in catalog().parts.values()
        if part.kind in HOST_KINDS[application]
        and part.traits.get("finish", ("626",)) == ("626",)
        and part.traits["hand" if "hand" in part.traits else "fire"][0] in ("LH", *part.traits["fire"])
    ]


def judged(said: Sequence[Statement], **codes: Sequence[str]) -> list[Finding]:
    setting = Setting(catalog(), tuple(said))
    parts = {
        name: tuple(catalog().parts[code] for code in codes.get(name, ())) for name in setting.application.positions
    }
    return judge(setting, cut_to_fit(setting, parts))


def measure(one: str, feature: str, dimension: str) -> Span:
    return catalog().parts[one].design.features[feature].dimensions[dimension]


def rows(heading: str) -> Iterator[list[str]]:
    """The rows of the table in the geometry page that starts with this heading."""
    lines = iter(GEOMETRY.read_text(encoding="utf-8").splitlines())
    found = 0
    for line in lines:
        if line.startswith(heading):
            next(lines)
            for row in lines:
                if not row.startswith("|"):
                    break
                found += 1
                yield [cell.strip() for cell in row.strip("|").split("|")]
    assert found, f"no table starts with {heading}"


def test_the_catalog_is_as_large_as_promised() -> None:
    entries = {part.source for part in catalog().parts.values()}
    finishes = {value for part in catalog().parts.values() for value in part.traits.get("finish", ())}
    assert len(entries) >= 60
    assert len(catalog().parts) >= 4_000
    assert len(finishes) >= 11
    assert set(catalog().applications) == set(HOST_KINDS)
    assert sum(len(hosts(application)) for application in HOST_KINDS) >= 20


def test_every_item_can_stand_in_some_application() -> None:
    taken = {
        kind
        for application in catalog().applications.values()
        for position in application.positions.values()
        for kind in position.kinds
    }
    assert {part.kind for part in catalog().parts.values()} == taken == set(catalog().kinds)


def test_published_finishes_keep_their_symbols() -> None:
    """ANSI/BHMA A156.18; 682 as US26D is from memory."""
    looks = {
        "605": "US3",
        "606": "US4",
        "612": "US10",
        "613": "US10B",
        "618": "US14",
        "619": "US15",
        "622": "US19",
        "625": "US26",
        "626": "US26D",
        "629": "US32",
        "630": "US32D",
        "632": "US3",
        "652": "US26D",
        "666": "US3",
        "682": "US26D",
    }
    assert {name: value.symbol for name, value in catalog().traits["finish"].values.items()} == looks


def test_published_preparations_keep_their_dimensions() -> None:
    """160: 2-1/8 in cross bore, 2-3/8 in backset; 161: 2-3/4 in; 1 in edge bore (trade glossary)."""
    for name, backset in (("160", "2-3/8 in"), ("161", "2-3/4 in")):
        dimensions = catalog().preparations[name].dimensions
        assert dimensions["cross-bore"].nominal == parse_length("2-1/8 in")
        assert dimensions["backset"].nominal == parse_length(backset)
        assert dimensions["edge-bore"].nominal == INCH


def test_only_discontinued_parts_are_replaced_and_by_parts_that_are_made() -> None:
    replaced = [part for part in catalog().parts.values() if part.replaced_by]
    assert len(replaced) >= 20
    for part in replaced:
        assert part.replaced_by is not None
        assert part.status == "discontinued"
        assert catalog().parts[part.replaced_by].status != "discontinued"


def test_a_host_always_says_for_which_labels_it_is_listed() -> None:
    assert all(
        "fire" in host.traits and "material" in host.traits for application in HOST_KINDS for host in hosts(application)
    )


def test_a_sum_reads_at_most_one_cut_dimension() -> None:
    cut = {
        (name, part.design.cut.dimension)
        for application in catalog().applications.values()
        for name, position in application.positions.items()
        for part in catalog().parts.values()
        if part.kind in position.kinds and part.design.cut
    }
    for application in catalog().applications.values():
        for stack in application.stacks:
            assert isinstance(stack.gap, Gap)
            assert len(cut.intersection(stack.gap.refs())) <= 1


DOORS = [(application, host) for application in HOST_KINDS for host in hosts(application)]


@pytest.mark.parametrize(("application", "host"), DOORS, ids=[host.code for _, host in DOORS])
def test_each_host_has_answers_for_every_door_it_claims_and_for_no_other(application: str, host: Part) -> None:
    """In steps of 1/8 in from 1-1/4 to 2-5/8 in, and of 5 mm from 30 to 85 mm."""
    least, most = (host.design.dimensions[name].nominal for name in ("door-least", "door-most"))
    doors = (
        [(f"{size} mm", size * MM) for size in range(30, 90, 5)]
        if application == "profile"
        else [(f"{size}/8 in", size * INCH // 8) for size in range(10, 22)]
    )
    assert any(least <= thickness <= most for _, thickness in doors)
    for door, thickness in doors:
        said = [want("finish", "626"), *([Selective(text="fits if selected")] if host.code in CAST else [])]
        assert answers(application, door, host.code, *said).exist == (least <= thickness <= most), door


@pytest.mark.parametrize("door", ["1-3/8 in ± 1/64", "1-3/4 in ± 1/64", "2-1/4 in ± 1/64", "2-7/16 in ± 1/64"])
def test_a_door_measured_to_a_64th_still_has_a_mortise_answer(door: str) -> None:
    """Inside the range of the case: at its very end a tolerance would reach beyond it."""
    found = answers("mortise", door, "OAK-210", want("finish", "626"))
    assert found.exist == (door != "1-3/8 in ± 1/64")


@pytest.mark.parametrize("host", sorted(CAST))
def test_a_cast_host_fits_only_if_selected(host: str) -> None:
    application, door = {"E": ("rim", "1-3/4 in"), "B": ("profile", "40 mm"), "H": ("interchangeable", "1-3/4 in")}[
        host[0]
    ]
    assert not answers(application, door, host).exist
    selected = answers(application, door, host, Selective(text="fits if selected"), want("finish", "626"))
    assert selected.verdict() is Verdict.SELECTED
    assert any(host in text for text in selected.setting.cautions([catalog().parts[host]]))


OLD_CYLINDERS = [
    ("mortise", "ELM-M1.25-Q1-626", "ELM-4100"),
    ("mortise", "YEW-M1.25-S1-626", "YEW-10"),
    ("rim", "ELM-RQ1-626", "ELM-500"),
    ("rim", "YEW-RS1-626", "YEW-30"),
]
NEW_HOSTS = {"mortise": ("OAK-210", "OAK-220", "OAK-230"), "rim": ("ASH-100", "ASH-110", "ASH-200")}


@pytest.mark.parametrize(("application", "cylinder", "own"), OLD_CYLINDERS)
def test_an_old_cylinder_goes_into_its_own_host_and_into_no_new_one(application: str, cylinder: str, own: str) -> None:
    for host, goes in [(own, True), *((host, False) for host in NEW_HOSTS[application])]:
        found = answers(
            application, "1-3/4 in", host, Keep((cylinder,), text=f"keep {cylinder}"), Selective(text="selected")
        )
        assert found.exist == goes, host


@pytest.mark.parametrize(
    ("application", "host"),
    [
        (application, host.code)
        for application in ("mortise", "rim")
        for host in hosts(application)
        if host.code not in CAST
    ],
)
def test_the_modular_series_goes_into_every_host_old_or_new(application: str, host: str) -> None:
    assert answers(application, "1-3/4 in", host, want("keyway", "P2"), want("finish", "626")).exist


def failures(application: str, **codes: Sequence[str]) -> dict[str, Span | None]:
    found = judged(statements(application, "1-3/4 in", codes["host"][0]), **codes)
    return {finding.where: finding.measure for finding in found if finding.verdict is Verdict.FAILS}


def test_an_old_cam_is_too_thick_for_a_new_case() -> None:
    failed = failures(
        "mortise",
        host=["OAK-210"],
        body=["ELM-M1.125-Q1-626"],
        cam=["ELM-K1"],
        screw=["ELM-S5/16"],
        collar=["ALD-O1/8-626"],
    )
    assert failed.keys() == {"joint throw: cam.nose - host.cam-slot"}
    assert measure("OAK-210", "cam-slot", "width").high < measure("ELM-K1", "nose", "thickness").low


def test_a_new_cam_is_too_wide_for_an_old_drive() -> None:
    failed = failures(
        "mortise",
        host=["OAK-210"],
        body=["ELM-M1.125-Q1-626"],
        cam=["ALD-K2"],
        screw=["ELM-S3/8"],
        collar=["ALD-O1/8-626"],
    )
    assert failed.keys() == {"joint drive: body.drive - cam.hub"}
    assert measure("ELM-M1.125-Q1-626", "drive", "width").high < measure("ALD-K2", "hub", "width").low


def test_an_old_tailpiece_is_too_narrow_for_a_new_device() -> None:
    failed = failures(
        "rim", host=["ASH-100"], body=["ELM-RQ1-626"], tailpiece=["ELM-T1"], plate=["ALD-B1"], screw=["ALD-S12"]
    )
    assert failed.keys() == {"joint tail: tailpiece.tip - host.slot"}
    assert failed.popitem()[1] == measure("ASH-100", "slot", "width") - measure("ELM-T1", "tip", "width")


def test_a_new_tailpiece_is_too_wide_for_an_old_drive() -> None:
    failed = failures(
        "rim", host=["ASH-100"], body=["ELM-RQ1-626"], tailpiece=["ALD-T1"], plate=["ALD-B1"], screw=["ALD-S12"]
    )
    assert failed.keys() == {"joint drive: body.drive - tailpiece.head"}


def test_an_old_insert_is_too_thick_for_a_new_lever() -> None:
    assert measure("LAR-L1-626", "pocket", "bore").high <= measure("ROW-CQ1-626", "shell", "diameter").low
    keep = Keep(("ROW-CQ1-626",), text="keep ROW-CQ1-626")
    assert answers("bored", "1-3/4 in", "ROW-60", keep).exist
    assert not answers("bored", "1-3/4 in", "LAR-100", keep, Selective(text="selected")).exist


def test_a_guarded_core_goes_into_a_thin_door_only_behind_a_trim_plate() -> None:
    found = answers("mortise", "1-3/8 in", "OAK-210", want("guard", "guarded"), want("finish", "626"))
    assert found.exist
    assert None not in found.choices("plate")
    plain = answers("mortise", "1-3/8 in", "OAK-210", want("guard", "plain"), want("finish", "626"))
    assert None in plain.choices("plate")


def test_a_labelled_opening_takes_only_listed_hosts() -> None:
    found = answers("rim", "1-3/4 in", "", opening("fire", "90"), want("finish", "626"))
    assert {part.code for part in found.choices("host") if part} == {"ASH-110", "ELM-500", "YEW-30"}
    assert any("NFPA 80" in text for text in found.setting.cautions([]))
    assert not any("NFPA 80" in text for text in answers("rim", "1-3/4 in").setting.cautions([]))


@pytest.mark.parametrize("preparation", ["160", "161", "quay-wide", "quay-narrow", "quay-rim"])
@pytest.mark.parametrize(
    ("application", "own"),
    [("bored", {"160", "161"}), ("mortise", {"quay-wide", "quay-narrow"}), ("rim", {"quay-rim"})],
)
def test_an_opening_takes_only_what_it_is_prepared_for(application: str, own: set[str], preparation: str) -> None:
    found = answers(application, "1-3/4 in", "", opening("preparation", preparation), want("finish", "626"))
    assert found.exist == (preparation in own)


def test_a_half_of_the_door_is_told_as_it_is() -> None:
    """The middle of 1-3/4 in less half of an Oak case, 15/16 in, is 0.40625 in from the face."""
    found = answers("mortise", "1-3/4 in", "OAK-220", want("finish", "626"))
    best = found.cheapest()
    assert best is not None
    (reach,) = [one for one in found.findings(best) if one.where == "stack drive-reach"]
    assert isinstance(reach.check, Gap)
    assert reach.check.divisor == 2
    assert check_words(reach, "in").startswith(
        "body length + body turn + cam offset - collar thickness - plate thickness"
        " - opening thickness / 2 + host case-thickness / 2, at least host cam-least ("
    )
    assert " - 1-3/4 / 2 + 15/16 / 2 = " in measure_words(reach, "in")
    assert reach.measure is not None
    assert reach.measure.nominal == parse_length("1.125 in") + parse_length("0.06 in") - parse_length("0.53125 in")
    (stack,) = [one for one in found.setting.stacks if one.name == "drive-reach"]
    spanned = found.reach(stack)
    assert spanned is not None
    assert Span(spanned.low, spanned.low, spanned.high).contains(reach.measure.nominal)


def test_a_half_cylinder_goes_only_where_there_is_a_pocket() -> None:
    for host, ends in (("BEE-310", {"BEE-E10"}), ("BEE-155", {None})):
        found = answers("profile", "40 mm", host, want("finish", "626")).choices("blind")
        assert {part and part.code for part in found} == ends


def test_both_halves_of_a_profile_cylinder_take_one_key() -> None:
    found = answers("profile", "40 mm", "BEE-155", want("finish", "626"))
    best = found.cheapest()
    assert best is not None
    assert {part.traits.get("keyway") for place in ("outside", "inside") for part in best.parts[place]} == {("D1",)}


SAMPLES = [
    (
        statements("mortise", "1-3/4 in", "OAK-220", want("finish", "626"), want("keyway", "P3")),
        "OAK-220 ALD-M1.125 ALD-CP3-626 ALD-F1-626 ALD-K1 ALD-S5/16 ALD-O1/8-626",
    ),
    (
        statements("rim", "1-3/4 in", "YEW-30", opening("fire", "90"), want("finish", "613")),
        "YEW-30 ALD-R1.125 ALD-CP1-613 ALD-F1-613 ALD-T3 ALD-B1 ALD-S12",
    ),
    (
        statements(
            "bored", "1-3/4 in", "ROW-60", opening("preparation", "161"), want("finish", "626"), want("keyway", "P2")
        ),
        "ROW-60 ROW-K1-626 ROW-J1-626 LAR-CP2-626 LAR-T2 LAR-E2-626 LAR-H2.75 ROW-S10",
    ),
    (
        statements("profile", "40 mm", "BEE-155", want("finish", "626")),
        "BEE-155 BEE-H30-D1-626 BEE-B1 BEE-H30-D1-626 BEE-R8-626 BEE-R8-626 BEE-S5",
    ),
    (
        statements("interchangeable", "1-3/4 in", "HAZ-M1.25-626", want("keyway", "B3")),
        "HAZ-M1.25-626 HAZ-C5-B3-626 HAZ-D0.2",
    ),
]


@pytest.mark.parametrize(("said", "bill"), SAMPLES, ids=["mortise", "rim", "bored", "profile", "interchangeable"])
def test_the_five_sample_jobs_have_plain_answers(said: list[Statement], bill: str) -> None:
    found = solve(catalog(), said)
    best = found.cheapest()
    assert best is not None
    assert [part.code for parts in best.parts.values() for part in parts] == bill.split()
    assert found.verdict() is Verdict.FITS
    assert found.count() >= 10


def collars(height: Length) -> list[str]:
    """The fewest Alder collars of this height."""
    one = {
        code: catalog().parts[code].design.dimensions["thickness"].nominal
        for code in ("ALD-O1/16-626", "ALD-O1/8-626", "ALD-O3/16-626", "ALD-O1/4-626")
    }
    for number in range(3):
        for codes in combinations_with_replacement(one, number):
            if sum(one[code] for code in codes) == height:
                return list(codes)
    raise ValueError(height)


def verdict_of(found: list[Finding]) -> Verdict:
    return worst([finding.verdict for finding in found])


MORTISE_COLUMNS = [
    ("OAK-220", "ALD-M{}", "ALD-K1"),
    ("ELM-4100", "ALD-M{}", "ALD-K4"),
    ("YEW-10", "ALD-M{}", "ALD-K6"),
    ("ELM-4100", "ELM-M{}-Q1-626", "ELM-K1"),
]


@pytest.mark.parametrize("column", range(4))
def test_the_table_of_mortise_doors_names_the_shortest_body_and_the_lowest_collars(column: int) -> None:
    host, body, cam = MORTISE_COLUMNS[column]
    maker = {"core": ["ALD-CP1-626"], "front": ["ALD-F1-626"]} if body.startswith("ALD") else {}
    screw = "ALD-S5/16" if maker else "ELM-S5/16"
    steps = ["1.125", "1.25", "1.375"]
    for door, *cells in rows("| door | Alder in Oak"):
        said = statements("mortise", f"{door} in", host)

        def fits(size: str, sixteenths: int, said: Sequence[Statement] = said) -> bool:
            link = {"link": ["ALD-L0.25"]} if maker and size == "1.375" else {}
            return (
                verdict_of(
                    judged(
                        said,
                        host=[host],
                        body=[body.format(size)],
                        cam=[cam],
                        screw=[screw],
                        collar=collars(sixteenths * INCH // 16),
                        **maker,
                        **link,
                    )
                )
                is Verdict.FITS
            )

        first = next(((size, sixteenths) for size in steps for sixteenths in range(9) if fits(size, sixteenths)), None)
        told = cells[column]
        if told == "none":
            assert first is None, door
        else:
            size, _, height = told.partition(" + ")
            assert first == (size, parse_length(f"{height} in") * 16 // INCH), door


def test_the_table_of_bodies_and_links_is_that_of_the_catalog() -> None:
    for body, plain, room, guarded, guarded_room in rows("| body | plain or sealed core"):
        for core, link, told in (("ALD-CP1-626", plain, room), ("ALD-GP1-626", guarded, guarded_room)):
            length = partial(lambda code: catalog().parts[code].design.dimensions["length"])
            found = length(f"ALD-M{body}") - length(core)
            if re.fullmatch(r"[\d.]+", link):
                found -= length(f"ALD-L{link}")
            if link.startswith("none"):
                assert found.high < 0
            else:
                assert found == parse_span(f"{told} in")
                assert found.within(Span(5 * INCH // 1000, 5 * INCH // 1000, 165 * INCH // 1000))


def test_the_table_of_profile_doors_names_parts_that_fit() -> None:
    for door, outside, shield, projection in rows("| door | outside half"):
        found = judged(
            statements("profile", f"{door} mm", "BEE-155"),
            host=["BEE-155"],
            outside=[f"BEE-H{outside}-D1-626"],
            inside=[f"BEE-T{outside}-626"],
            bridge=["BEE-B1"],
            shield=[f"BEE-R{shield}-626"],
            **{"inner-shield": [f"BEE-R{shield}-626"]},
            screw=["BEE-S5"],
        )
        assert verdict_of(found) is Verdict.FITS, door
        stands_out = next(one.measure for one in found if one.where == "stack outside-projection")
        assert stands_out is not None
        assert stands_out.nominal == parse_length(f"{projection} mm")


def test_the_geometry_says_that_all_of_it_is_invented() -> None:
    assert "every dimension below are invented" in GEOMETRY.read_text(encoding="utf-8")


def test_an_assembly_of_two_generations_is_judged_as_it_is_solved() -> None:
    """The authority on what fits is the judge; the answers agree with it on the first hundred."""
    found = answers("rim", "1-3/4 in", "YEW-30", want("finish", "626"), want("keyway", "Q2"))
    listed: list[Assembly] = [assembly for assembly, _ in zip(found.in_order(), range(100), strict=False)]
    assert len(listed) == 100
    assert {worst([one.verdict for one in found.findings(assembly)]) for assembly in listed} == {Verdict.FITS}
