"""The finished work as surfaces, made on demand: handed out as one file for a screen or another program."""

from __future__ import annotations

from collections.abc import Iterable
from types import MappingProxyType

from msgspec import Struct

from rillwright.assessment import Finished, Judged, NotRun
from rillwright.drawings import LIGHT, DrawingStyle, chosen_cuts, draw_cut, draw_earth_plan
from rillwright.errors import InputError, NoAnswer, Problem
from rillwright.exchange import Painted, write_glb
from rillwright.feature import Feature
from rillwright.job.drawing import on_screen
from rillwright.job.opening import Job, judge
from rillwright.progress import Progress, silent
from rillwright.shape import WaterLine, flooded, reach_way
from rillwright.water import HighWater, Water

AT_REST, RUNNING, HIGHEST = "water at rest", "water running", "highest water"
_COLOURS = MappingProxyType(
    {"ground": LIGHT["earth word"], "dug": LIGHT["earth"], "liner": LIGHT["liner"], "finished": LIGHT["stone"]}
)
_WATER_HIDES = 0.6  # of what lies under it
_EARTH = "earth"
_PLAN_MM, _CUT_MM, _NARROW_MM, _CAP_MM = (200.0, 150.0), (240.0, 90.0), (99.0, 125.0), 2.4


class SurfaceDrawing(Struct, frozen=True, kw_only=True):
    """A drawing of the finished work on its surfaces: its name, and in words what it shows."""

    name: str
    words: str


def finish(job: Job, judged: Judged, *, progress: Progress = silent) -> Judged:
    """The job judged with its finished work as surfaces; the rest is taken over from `judged`.

    Raises
    ------
    NoAnswer
        If it has none, or it was stopped.
    """
    found = judge(job, earlier=judged, tier="surface", progress=progress)
    finished = found.assessment.finished
    if isinstance(finished, NotRun):
        raise NoAnswer(finished.reason)
    return found


def finished_glb(judged: Judged) -> bytes:
    """Ground, dug surface, liner, finished surface, and the water on it, as a GLB file; each is named.

    Raises
    ------
    NoAnswer
        If the finished work was not made.
    """
    finished = judged.assessment.finished
    if isinstance(finished, NotRun):
        raise NoAnswer(finished.reason)
    solid = [getattr(finished, name) for name in _COLOURS]
    found = [Painted(mesh=mesh, colour=_COLOURS[mesh.name]) for mesh in solid if len(mesh.triangles)]
    return write_glb([*found, *_waters(judged, finished)])


def surface_drawings(judged: Judged) -> tuple[SurfaceDrawing, ...]:
    """The plan of cut and fill, and the sections where they say most; none where the surfaces were not made."""
    if isinstance(judged.assessment.finished, NotRun):
        return ()
    plan = SurfaceDrawing(name=_EARTH, words="what to cut and what to build up")
    cuts = chosen_cuts(judged.assessment)
    return (plan, *(SurfaceDrawing(name=cut.letter, words=f"section {cut.letter}: {cut.why}") for cut in cuts))


def surface_svg(judged: Judged, name: str, *, narrow: bool = False) -> str:
    """One of these drawings as the text of an SVG.

    Raises
    ------
    InputError
        If there is no such drawing, or it cannot be drawn.
    """
    cuts = {cut.letter: cut for cut in chosen_cuts(judged.assessment)}
    style = DrawingStyle(cap_mm=_CAP_MM)
    if name in cuts:
        return on_screen(draw_cut(judged, cuts[name], frame_mm=_CUT_MM, style=style))
    if name != _EARTH:
        allowed = ", ".join([_EARTH, *cuts])
        raise InputError(Problem(message="there is no such drawing", found=name[:60], allowed=allowed))
    ends = [(cut.letter, cut.start, cut.end) for cut in cuts.values()]
    frame = _NARROW_MM if narrow else _PLAN_MM
    return on_screen(draw_earth_plan(judged, frame_mm=frame, style=style, cuts=ends))


def _waters(judged: Judged, finished: Finished) -> list[Painted]:
    water = judged.assessment.water
    if isinstance(water, NotRun):
        return []
    lines = water_lines(judged.assessment.feature, water)
    sheets = [flooded(finished.finished, lines[name], name=name) for name in (AT_REST, RUNNING, HIGHEST)]
    return [
        Painted(mesh=sheet, colour=LIGHT["water"], opacity=_WATER_HIDES) for sheet in sheets if len(sheet.triangles)
    ]


def water_lines(feature: Feature, water: Water) -> dict[str, dict[str, WaterLine]]:
    """Levels at rest, running and highest, by body and reach; what is dry at rest is not in it."""
    found: dict[str, dict[str, WaterLine]] = {AT_REST: {}, RUNNING: {}, HIGHEST: {}}
    for balance in water.balances:
        path = f"ponds/{balance.body}"
        found[AT_REST][path] = _still(balance.held_m)
        found[RUNNING][path] = _still(balance.running_level_m.value)
        found[HIGHEST][path] = _still(max(_levels(water.highest, path), default=balance.held_m))
    ways = {reach.id: reach_way(stream, reach) for stream in feature.streams for reach in stream.reaches}
    for reach in water.reaches:
        path, way = f"reaches/{reach.reach}", ways[reach.reach]
        upper, lower = reach.running_start_m.value, reach.running_end_m.value
        if reach.rest_level_m is not None:
            found[AT_REST][path] = _still(reach.rest_level_m)
        found[RUNNING][path] = WaterLine(upper_m=upper, lower_m=lower, along=way)
        more = max(0.0, max(_levels(water.highest, path), default=upper) - max(upper, lower))
        found[HIGHEST][path] = WaterLine(upper_m=upper + more, lower_m=lower + more, along=way)
    return found


def _levels(highest: Iterable[HighWater], path: str) -> list[float]:
    return [high.level_m.value for high in highest if high.path == path]


def _still(level_m: float) -> WaterLine:
    return WaterLine(upper_m=level_m, lower_m=level_m)
