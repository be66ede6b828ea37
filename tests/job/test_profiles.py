"""A job with banks of a said side and a plunge pool: its papers, stakes, hold points and numbers. Invented."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.feature.joining import SITE
from tests.job.test_tracing import fine

from rillwright import job
from rillwright.assessment import NotRun
from rillwright.drawings import draw_long_section, draw_plan
from rillwright.drawings.display import Area, Box, Group
from rillwright.drawings.expand import texts
from rillwright.feature import ElementPath, Surface, places
from rillwright.job import Job, Judged, told_in_drawing, told_in_finding
from rillwright.judge import finding_json
from rillwright.units import style_for

FALL = "{fall: over, drop: 0.16 m, "
PROFILED = SITE.replace(FALL, FALL + "plunge: {depth: 200 mm, length: 900 mm}, ").replace(
    "    width: 0.9 m\n", "    width: 0.9 m\n    side: 1.5\n"
)
FLOOR_M = 0.70 - 0.01 - 0.16 - 0.20


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> tuple[Job, Judged]:
    folder: Path = tmp_path_factory.mktemp("profiles")
    (folder / "feature.yaml").write_text(PROFILED, encoding="utf-8")
    opened = job.open(folder)
    return opened, job.judge(opened)


def groups(items: tuple[object, ...], name: str) -> list[Group]:
    found: list[Group] = []
    for item in items:
        if isinstance(item, Group):
            found += [item] if item.name == name else []
            found += groups(item.items, name)
    return found


def test_every_number_of_its_drawings_and_findings_is_told(judged: tuple[Job, Judged]) -> None:
    opened, result = judged
    said = set()
    for drawing in (draw_long_section(result, stream="main"), draw_plan(result)):
        for of in {text.of for text, _ in texts(drawing) if text.of}:
            for each in told_in_drawing(opened, result, of):
                fine(each)
                said |= {(each.what, field.location[-1]) for field in each.typed}
    assert ("bed on the floor of the plunge pool in bed meeting", "depth") in said
    style = style_for(result.assessment.feature.system)
    for finding in result.findings:
        printed = finding_json(finding, style)
        for part in ("text", "remedy"):
            for _, _, name in printed[f"{part}_numbers"]:
                for each in told_in_finding(opened, result, code=finding.code, element=finding.element, name=name):
                    fine(each)


def test_water_stands_down_to_the_floor_of_the_pool_in_the_long_section(judged: tuple[Job, Judged]) -> None:
    """Over the bed above it goes down to 0.69 m, where that ends, and in the pool to its floor."""
    drawing = draw_long_section(judged[1], stream="main")
    lowest = {}
    for each in groups(drawing.items, "running"):
        areas = [area for area in each.items if isinstance(area, Area)]
        if areas:
            lowest[each.path] = max(y for area in areas for _, y in area.points)
    assert drawing.scale is not None
    apart = 1000.0 * (0.69 - FLOOR_M) / drawing.scale
    assert lowest["reaches/meeting"] - lowest["reaches/upper"] == pytest.approx(apart, abs=1e-3)


def test_its_floor_is_staked_and_can_be_shot(judged: tuple[Job, Judged]) -> None:
    _, result = judged
    build = result.assessment.build
    assert not isinstance(build, NotRun)
    stakes = {stake.shot_at: stake for stake in build.stakes}
    floor, lip = stakes["reaches/meeting.plunge_floor"], stakes["reaches/meeting.plunge_lip"]
    assert (floor.station_m, floor.bed_m) == pytest.approx((2.4 + 0.45, FLOOR_M))
    assert floor.liner_m == pytest.approx(FLOOR_M - 0.0762, abs=1e-4)
    assert lip.bed_m == pytest.approx(0.53 - 0.01 * 0.9 / 3.6)
    planned = {(each.path, each.surface): each.planned_m for each in places(result.assessment.feature)}
    for stake in (floor, lip):
        path = ElementPath.parse(stake.shot_at)
        assert planned[path, Surface.DIG] == pytest.approx(stake.dig_m)
        assert planned[path, Surface.BED] == pytest.approx(stake.bed_m)
    order = [stake.shot_at for stake in build.stakes if stake.path == "reaches/meeting"]
    assert order == [f"reaches/meeting.{part}" for part in ("start", "plunge_floor", "plunge_lip", "end")]


def test_its_length_is_taped_before_the_dig_is_covered(judged: tuple[Job, Judged]) -> None:
    _, result = judged
    build = result.assessment.build
    assert not isinstance(build, NotRun)
    dig = next(hold for hold in build.holds if hold.id == "dig.main")
    tapes = {tape.text: tape.wanted_m for tape in dig.tape}
    assert tapes["length of the plunge pool below over, from the crest"] == pytest.approx(0.9)


def test_followed_over_time_it_says_why_not(judged: tuple[Job, Judged]) -> None:
    opened, _ = judged
    full = job.judge(opened, tier="full").assessment.over_time
    assert isinstance(full, NotRun)
    assert "lean back" in full.reason


def test_the_pool_that_is_dug_is_held_against_the_one_that_the_sheet_wants(tmp_path: Path) -> None:
    """With none the water over the bed is too shallow; a pool as deep and as long as is wanted is well."""
    found = {}
    for name, pool in (("none", ""), ("dug", "plunge: {depth: 250 mm, length: 1.2 m}, ")):
        folder = tmp_path / name
        folder.mkdir()
        narrow = SITE.replace(FALL, FALL + pool).replace("crest_width: 0.4 m", "crest_width: 0.1 m", 1)
        (folder / "feature.yaml").write_text(narrow, encoding="utf-8")
        judged = job.judge(job.open(folder))
        found[name] = next(one for one in judged.findings if (one.code, one.element) == ("fall.pool", "falls/over"))
    assert (found["none"].severity.value, found["dug"].severity.value) == ("watch", "ok")


def test_its_walls_are_drawn_in_plan(judged: tuple[Job, Judged]) -> None:
    """0.9 m along the stream, as wide as the liner's floor: 1.2 m less twice the gravel over the side."""
    drawing = draw_plan(judged[1])
    (walls,) = [item for each in groups(drawing.items, "plunge") for item in each.items]
    box = Box.round(walls.points)  # type: ignore[union-attr]
    assert drawing.scale is not None
    sizes = sorted(size * drawing.scale / 1000.0 for size in (box.width, box.height))
    assert sizes == pytest.approx([0.9, 1.2 - 2 * 0.0762 / 1.5], rel=1e-3)
