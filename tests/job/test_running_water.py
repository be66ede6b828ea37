"""What the water does, as a screen tells it: its rows against the assessment, and every number of it traced."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from typing import Any

import pytest
from msgspec import to_builtins
from msgspec.structs import replace
from tests.job.test_tracing import EXAMPLES, ROOT, fine

from rillwright import job
from rillwright.assessment import Judged, NotRun, Water
from rillwright.drawings import draw_depths, draw_pump
from rillwright.drawings.expand import texts
from rillwright.errors import InputError
from rillwright.job import Job, told_in_drawing, water_told
from rillwright.packet.crests_and_beds import crests_and_beds
from rillwright.packet.pump_page import pumps
from rillwright.units import Band
from rillwright.water import PumpTried, StoneShare

RUN_KINDS = ("flow", "head", "wished", "duty", "lift", "friction", "pipe", "inside", "speed", "spare", "power", "valve")


@pytest.fixture(scope="module", params=EXAMPLES)
def judged(request: pytest.FixtureRequest) -> tuple[Job, Judged]:
    opened = job.open(ROOT / request.param)
    return opened, job.judge(opened)


@pytest.fixture(scope="module")
def court() -> tuple[Job, Judged]:
    opened = job.open(ROOT / "weavers-court")
    return opened, job.judge(opened)


def water_of(judged: Judged) -> Water:
    water = judged.assessment.water
    assert isinstance(water, Water)
    return water


def with_water(judged: Judged, **values: Any) -> Judged:
    water = replace(water_of(judged), **values)
    return replace(judged, assessment=replace(judged.assessment, water=water))


def worded(told: object) -> Iterator[dict[str, Any]]:
    """Every text with its numbers, wherever it stands."""
    plain = to_builtins(told)
    todo = [plain]
    while todo:
        one = todo.pop()
        if isinstance(one, dict):
            if one.keys() == {"text", "numbers"}:
                yield one
            todo += one.values()
        elif isinstance(one, list | tuple):
            todo += one


def told_everywhere(opened: Job, judged: Judged) -> set[str]:
    """Holds every number of what is told to its tracing; their names."""
    seen = set()
    for words in worded(water_told(judged)):
        for start, end, of in words["numbers"]:
            assert words["text"][start:end].strip()
            if of in seen:
                continue
            seen.add(of)
            found = told_in_drawing(opened, judged, of)
            assert len(found) == of.count("; ") + 1
            for each in found:
                fine(each)
    return seen


def test_every_number_of_it_is_traced(judged: tuple[Job, Judged]) -> None:
    opened, result = judged
    seen = told_everywhere(opened, result)
    water = water_of(result)
    for crest in water.crests:
        assert {f"{crest.path} water on it", f"{crest.path} seen", f"{crest.path}.drop"} <= seen
    for wet in water.reaches:
        assert {f"{wet.path} depth", f"{wet.path} speed", f"{wet.path} in the gravel"} <= seen
    for point in water.circuit.pumps:
        assert {f"runs/{point.run} {kind}" for kind in RUN_KINDS} <= seen


def test_numbers_of_its_drawings_are_traced(judged: tuple[Job, Judged]) -> None:
    opened, result = judged
    drawn = [draw_pump(result, run=run.run) for run in water_of(result).circuit.pumps]
    drawn += [draw_depths(result, stream=stream.id) for stream in result.assessment.feature.streams]
    for drawing in drawn:
        named = {text.of for text, _ in texts(drawing) if text.of}
        assert named
        for of in named:
            for each in told_in_drawing(opened, result, of):
                fine(each)


def test_rows_say_what_was_worked_out(court: tuple[Job, Judged]) -> None:
    """In whole millimetres, in metres a second to two digits: arithmetic on what was assessed."""
    _, result = court
    water = water_of(result)
    (stream,) = water_told(result).streams
    assert [row.path for row in stream.crests.rows] == [crest.path for crest in water.crests]
    heads = stream.crests.heads
    for row, crest, fall in zip(stream.crests.rows, water.crests, result.assessment.feature.falls, strict=True):
        said = dict(zip(heads, (plain(cell.text) for cell in row.cells), strict=True))
        assert said["head on it"] == span_mm(crest.depth_m)
        assert said["seen over the water"] == span_mm(crest.fall_height_m)
        assert said["wide"] == f"{round(1000 * fall.crest_width_m)} mm"
        if crest.throw_m is not None and crest.throw_low_m is not None:
            near, far = (round(1000 * each) for each in (crest.throw_low_m.low, crest.throw_m.high))
            assert said["comes down"].startswith(f"lands {near} to {far} mm out at {crest.impact_ms:.2g}")
    for row, wet in zip(stream.beds.rows, water.reaches, strict=True):
        said = dict(zip(stream.beds.heads, (plain(cell.text) for cell in row.cells), strict=True))
        assert said["depth"] == f"{round(1000 * wet.depth_m.low)} to {round(1000 * wet.depth_m.high)} mm"
        assert said["its gravel"] == "12 mm stays"


def span_mm(band: Band) -> str:
    low, high = (f"{round(1000 * end)}" for end in (band.low, band.high))
    return f"{low} mm" if low == high else f"{low} to {high} mm"


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_what_is_told_of_a_number_is_what_was_assessed(court: tuple[Job, Judged]) -> None:
    opened, result = court
    crest = water_of(result).crests[0]
    (told,) = told_in_drawing(opened, result, f"{crest.path} water on it")
    assert told.value == f"{round(1000 * crest.depth_m.value)} mm"
    assert told.band == f"may be {round(1000 * crest.depth_m.low)} to {round(1000 * crest.depth_m.high)} mm"
    assert any(line.startswith("Outside what was measured") for line in told.came), "thinner than any weir was measured"
    assert [field.location[-1] for field in told.typed][:2] == ["crest_width", "wanted"]


def test_the_operating_point_is_told_with_its_range_and_the_valve_to_turn(court: tuple[Job, Judged]) -> None:
    _, result = court
    for told, point in zip(water_told(result).runs, water_of(result).circuit.pumps, strict=True):
        first, second, third = (plain(line.text) for line in told.said)
        assert first.startswith(f"It gives {1000 * point.flow_m3s.value:.3g} L/s against ")
        assert f"{1000 * point.flow_m3s.low:.3g} to {1000 * point.flow_m3s.high:.3g} L/s" in first
        assert second.startswith(f"{1000 * point.wanted_m3s:.3g} L/s are wished for: {100 * point.spare:.2g} % over")
        assert third.startswith("Valve on the main: close until it fills 200 L in ")


def test_paper_and_screen_say_the_same(judged: tuple[Job, Judged]) -> None:
    _, result = judged
    told, assessment = water_told(result), result.assessment
    paper = pumps(result)
    assert paper is not None
    printed = plain(str(paper.blocks).replace("\\u200b", "").replace("\u200b", ""))
    for run in told.runs:
        for words in (cell for table in run.tables for row in table.rows for cell in row.cells):
            assert plain(words.text) in printed, words.text
    for stream, found in zip(assessment.feature.streams, told.streams, strict=True):
        printed = str(crests_and_beds(assessment, stream)).replace("\u200b", "").replace("\\u200b", "")
        for words in (cell for row in found.crests.rows for cell in row.cells):
            assert plain(words.text) in plain(printed), words.text


def test_no_pump_yet_and_no_lift(court: tuple[Job, Judged]) -> None:
    opened, result = court
    first, *_ = points = water_of(result).circuit.pumps
    circuit = water_of(result).circuit
    proposed = with_water(result, circuit=replace(circuit, pumps=tuple(replace(p, proposed=True) for p in points)))
    run, *_ = water_told(proposed).runs
    assert plain(run.said[0].text).startswith("No pump is chosen yet: take one that brings ")
    assert not run.tables
    assert f"runs/{first.run} duty" in told_everywhere(opened, proposed)
    level = with_water(result, circuit=replace(circuit, pumps=(replace(first, duty_head_m=-0.1, static_m=-0.2),)))
    (run,) = water_told(level).runs
    assert plain(run.said[0].text).startswith("No pump can be proposed: the outlet lies 200 mm below")


def test_stones_losses_gravel_and_pumps_of_a_list_are_told_and_traced(court: tuple[Job, Judged]) -> None:
    opened, result = court
    water = water_of(result)
    stones = tuple(
        StoneShare(width_m=0.25, above_m=above, depth_m=Band(depth, depth, depth), share=Band(share, share, share))
        for above, depth, share in ((0.0, 0.03, 1.0), (0.04, 0.0, 0.0))
    )
    first, second, third, *others = water.crests
    crests = (
        replace(first, stones=stones),
        replace(second, drowned=0.8, dry_share=0.25, under=Band(0.03, 0.02, 0.05)),
        replace(third, throw_m=None, foot_speed_ms=Band(1.4, 1.2, 1.6), foot_depth_m=Band(0.012, 0.01, 0.014)),
        *others,
    )
    one, *more = water.reaches
    assert one.moving is not None
    loose = replace(one, moving=replace(one.moving, grain_m=0.004, stays_m=Band(0.006, 0.003, 0.009)))
    tried = PumpTried(
        pump="spare", flow_m3s=Band(2e-3, 1.9e-3, 2.1e-3), head_m=Band(1.5, 1.4, 1.6), power_w=Band(90.0, 80.0, 99.0),
        spare=-0.1, in_preferred=None,
    )  # fmt: skip
    listed = tuple(replace(point, tried=(tried,)) for point in water.circuit.pumps)
    odd = with_water(result, crests=crests, reaches=(loose, *more), circuit=replace(water.circuit, pumps=listed))
    told = water_told(odd)
    (stream,) = told.streams
    rows = [[plain(cell.text) for cell in row.cells] for row in stream.crests.rows]
    assert rows[1][1:] == ["stone 1", "", "", "250 mm", "30 mm", "100 % of it", ""]
    assert rows[2][1:] == ["stone 2", "", "+ 40 mm", "250 mm", "dry", "0 % of it", ""]
    assert rows[3][-1].endswith(
        "drowned from below, 20 % less than free; 25 % of the stone runs dry; 2 to 5 % goes under the stone"
    )
    assert rows[4][-1].startswith("1.4 m/s at its foot, 12 mm deep")
    assert plain(stream.beds.rows[0].cells[-1].text) == "4 mm moves, 9 mm stays"
    seen = told_everywhere(opened, odd)
    for of in ("f1 stone 2", "f2 drowned", "f2 dry", "f2 under", "f3 foot speed", "f3 foot depth"):
        assert f"falls/{of}" in seen
    assert "runs/long with pump: spare" in seen


def test_outlets_valves_and_settings_are_traced() -> None:
    opened = job.open(ROOT / "orchard-press")
    result = job.judge(opened)
    (point,) = water_of(result).circuit.pumps
    short = replace(point, settings_share=0.9, settings_note="the valve is nearly shut")
    odd = with_water(result, circuit=replace(water_of(result).circuit, pumps=(short,)))
    (run,) = water_told(odd).runs
    said = [plain(line.text) for line in run.said]
    assert said[-2:] == ["So set all get 90 % of what is wished for.", "The valve is nearly shut."]
    assert "Valve of head: leave open." in said
    seen = told_everywhere(opened, odd)
    for kind in ("flow", "level", "wished", "valve", "set"):
        assert f"runs/supply {kind} of millstone" in seen


def test_where_no_flow_suits_all_crests_that_is_said(court: tuple[Job, Judged]) -> None:
    _, result = court
    looks = tuple(replace(look, from_m3s=2.0, to_m3s=1.0) for look in water_of(result).looks)
    (stream,) = water_told(with_water(result, looks=looks)).streams
    assert (
        plain(stream.said[-1].text)
        == "No one flow makes all crests read lively: their widths, or what runs over them, differ too much."
    )


def test_without_water_the_reason_is_told(court: tuple[Job, Judged]) -> None:
    _, result = court
    dry = replace(result, assessment=replace(result.assessment, water=NotRun("the levels are not known")))
    assert water_told(dry).reason == "the levels are not known"
    with pytest.raises(InputError):
        told_in_drawing(court[0], dry, "falls/f1 water on it")


@pytest.mark.parametrize(
    "of",
    [
        "falls/f1 nonsense", "falls/none water on it", "reaches/none depth", "reaches/b1 nonsense",
        "runs/long nonsense", "runs/none flow", "runs/long flow of nobody", "runs/long in case: none",
        "runs/long with pipe: none", "runs/long with pump: none", "falls/f1 stone 1", "falls/f4 lands",
        "streams/rill nonsense", "runs/long measured",
    ],
)  # fmt: skip
def test_what_is_no_such_number_is_refused(court: tuple[Job, Judged], of: str) -> None:
    with pytest.raises(InputError):
        told_in_drawing(*court, of)


def test_every_drawing_is_made_for_a_screen(court: tuple[Job, Judged]) -> None:
    _, result = court
    wide = job.drawing_svg(result, "pump", run="short")
    assert wide != job.drawing_svg(result, "pump", run="long")
    assert re.search(r'data-of="runs/short flow; runs/short head"', wide)
    assert job.drawing_svg(result, "depths", stream="rill", narrow=True) != job.drawing_svg(result, "depths")
    for name, asked in (("pump", {"run": "none"}), ("depths", {"stream": "none"})):
        with pytest.raises(InputError, match="there is no such"):
            job.drawing_svg(result, name, **asked)  # type: ignore[arg-type]


def test_it_needs_no_papers() -> None:
    """What it borrows of the papers' words loads no typesetter."""
    said = "import sys; from rillwright.job import water_told; assert water_told; assert 'typst' not in sys.modules"
    done = subprocess.run([sys.executable, "-c", said], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
