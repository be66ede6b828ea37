"""What to cut and what to build up: depth between the ground before work and the dug surface, by hatch and words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.assessment import XY, Assessment, Finished, Judged, NotRun
from rillwright.drawings import labels, scale, site_plan, surroundings
from rillwright.drawings.display import Box, Drawing, Item, Polyline, View, group
from rillwright.drawings.on_mesh import Floats, Grid, grid_lines, levels
from rillwright.drawings.outline import clipped
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, nothing
from rillwright.drawings.words import length
from rillwright.errors import InputError
from rillwright.units import parse

NAME = "What to cut and what to build up"
_LEAST_M = 0.02  # so little is neither dug nor built up
_ROUND_M = 1.0  # of ground shown round the work
_COARSE = 160  # places across the whole ground, to find the work in it
_GRID_MM = 0.7
_SPACING_MM = 1.1  # of the closest hatch: deepest class
_SAMPLE_MM = 0.35
_LEAST_STROKE_MM = 0.7
_CLASSES = 3
_EVERY = {"us": ("3 in", "6 in", "1 ft", "2 ft", "3 ft", "5 ft"),
          "metric": ("50 mm", "100 mm", "200 mm", "250 mm", "500 mm", "1 m", "2 m")}  # fmt: skip
_OF_FOUR = (1, 2, 4)  # of every four lines of hatch, so many stand in each class


class _Work(Struct, frozen=True, kw_only=True, eq=False):
    """The two surfaces and where they differ."""

    finished: Finished
    low: XY
    high: XY


def draw(
    source: Judged | Assessment,
    *,
    frame_mm: tuple[float, float] = (177.0, 150.0),
    style: DrawingStyle = PLAIN,
    cuts: Sequence[tuple[str, XY, XY]] = (),
) -> Drawing:
    """Cut and fill to scale, with contours before and after.

    Parameters
    ----------
    source
        What was assessed, with its finished work.
    frame_mm
        Width and height of the room [mm].
    style
        The hand.
    cuts
        Letter and ends [m] of the sections that are drawn elsewhere.

    Raises
    ------
    InputError
        If it is too large for the frame at every standard scale.
    """
    assessment = assessment_of(source)
    if isinstance(assessment.finished, NotRun):
        return nothing(NAME, frame_mm, assessment.finished.reason, style=style)
    work = _work(assessment.finished)
    if work is None:
        return nothing(NAME, frame_mm, "the ground stays as it is", style=style)
    layout = site_plan.lay(_world_of(work, cuts), frame_mm, assessment.feature.system, style)
    view, room, cap = layout.view, layout.room, style.cap_mm
    step_m = max(_GRID_MM * view.scale / 1000.0, 0.01)
    grid = difference(work.finished, *site_plan.corners(layout), step_m=step_m)
    items: list[Item] = [scale.grid(view, room, system=layout.system)] if style.grid else []
    lines, words = _contours(work, grid, layout)
    for sign, name in ((-1.0, "cut"), (1.0, "fill")):
        drawn, said = _side(work, grid, sign, layout)
        items.append(group(name, drawn))
        words += said
    items += lines
    edge = [Polyline(points=line, pen="earth") for line in _edge(grid, layout)]
    items.append(group("edge of the work", edge))
    for rim in site_plan.edges_of(assessment):
        places = [point.at for point in rim.points]
        line = view.line([*places, places[0]] if rim.closed else places)
        pieces = surroundings.pieces_in(line, room)
        joined = [Polyline(points=points, pen="liner") for points in site_plan.joined(pieces)]
        items.append(group("rim", joined, path=rim.path))
    items.append(surroundings.drawn(assessment, view, room))
    words += surroundings.names(assessment, view, room, cap_mm=cap)
    for letter, start, end in cuts:
        items.append(group("section", list(_cut(view.put(*start), view.put(*end), room))))
        words += _letters(letter, view.put(*start), view.put(*end), cap)
    if assessment.feature.site.north_rad is not None:
        at = (room.right - 6.0, room.top + 10.0)
        items.append(scale.north(at, assessment.feature.site.north_rad, size_mm=cap))
    alt = f"Plan of {assessment.feature.name}: what is cut and what is built up, by depth"
    notes = ("brown dashed: ground before; brown: dug",)
    return site_plan.drawing(layout, items, words, name=NAME, alt=alt, notes=notes)


def scale_in(assessment: Assessment, frame_mm: tuple[float, float], cuts: Sequence[tuple[str, XY, XY]]) -> float:
    """The scale 1:n at which it would be drawn in a frame [mm] [-]; beyond all scales where it is not drawn."""
    work = None if isinstance(assessment.finished, NotRun) else _work(assessment.finished)
    if work is None:
        return math.inf
    try:
        return site_plan.lay(_world_of(work, cuts), frame_mm, assessment.feature.system, PLAIN).view.scale
    except InputError:
        return math.inf


def _world_of(work: _Work, cuts: Sequence[tuple[str, XY, XY]]) -> list[XY]:
    return [work.low, work.high, *(at for _, *ends in cuts for at in ends)]


def difference(finished: Finished, low: XY, high: XY, *, step_m: float) -> Grid:
    """How far the dug surface lies over the ground before work [m], place by place.

    Parameters
    ----------
    finished
        The surfaces.
    low
        Lower left of the grid [m].
    high
        Upper right of it [m].
    step_m
        From one place to the next [m].
    """
    dug, ground = (levels(mesh, low, high, step_m=step_m) for mesh in (finished.dug, finished.ground))
    return Grid(low, step_m, dug.values - ground.values)


@lru_cache(maxsize=2)
def coarse(finished: Finished) -> Grid:
    """The same over all that is known, in some 160 places across."""
    low, high = (tuple(map(float, f(finished.dug.xyz[:, :2], axis=0))) for f in (np.min, np.max))
    step = max(b - a for a, b in zip(low, high, strict=True)) / _COARSE
    return difference(finished, (low[0], low[1]), (high[0], high[1]), step_m=step)


def _work(finished: Finished) -> _Work | None:
    """Where the ground is changed, with some of it round that."""
    grid = coarse(finished)
    changed = np.argwhere(np.abs(np.nan_to_num(grid.values)) > _LEAST_M)
    if len(changed) == 0:
        return None
    (i0, j0), (i1, j1) = changed.min(axis=0).tolist(), changed.max(axis=0).tolist()
    rows, columns = grid.values.shape
    round_ = _ROUND_M / grid.step_m
    xs = [grid.low[0] + grid.step_m * n for n in (max(0.0, j0 - round_), min(columns - 1.0, j1 + round_))]
    ys = [grid.low[1] + grid.step_m * n for n in (max(0.0, i0 - round_), min(rows - 1.0, i1 + round_))]
    return _Work(finished=finished, low=(xs[0], ys[0]), high=(xs[1], ys[1]))


def _contours(work: _Work, grid: Grid, layout: site_plan.Layout) -> tuple[list[Item], list[labels.Label]]:
    """Of the ground before all over, of the dug surface where it differs."""
    items: list[Item] = []
    words: list[labels.Label] = []

    def changed(a: XY, b: XY) -> bool:
        return bool(np.abs(grid.at(np.array([((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)])))[0] > _LEAST_M)

    for mesh, most, pen, word, where in (
        (work.finished.ground, 9, "ground before", "ground", None),
        (work.finished.dug, 5, "ground after", "dig", changed),
    ):
        span = site_plan.span_in(mesh, work.low, work.high)
        if span is not None:
            every = site_plan.interval_m(*span, layout.system, most=most)
            lines, said = site_plan.contours(mesh, layout, every_m=every, span_m=span, pen=pen, word=word, where=where)
            items += lines
            words += said
    return items, words


def _side(work: _Work, grid: Grid, sign: float, layout: site_plan.Layout) -> tuple[list[Item], list[labels.Label]]:
    """Hatch of all that is cut, or crossed hatch of all that is built up, and the words of each class of depth."""
    depths = np.nan_to_num(sign * grid.values)
    most = float(depths.max(initial=0.0))
    if most <= _LEAST_M:
        return [], []
    every = next(
        (step for text in _EVERY[layout.system] if most / (step := float(parse(text, "length").si)) <= _CLASSES),
        most / _CLASSES,
    )
    classes = np.where(depths > _LEAST_M, np.minimum(np.floor(depths / every), _CLASSES - 1) + 1, 0).astype(np.int64)
    count = int(classes.max())
    of_four = _OF_FOUR[-count:] if count < _CLASSES else _OF_FOUR
    items: list[Item] = []
    for angle in (45.0,) if sign < 0 else (45.0, -45.0):
        items += _strokes(Grid(grid.low, grid.step_m, classes.astype(np.float64)), layout, angle, of_four)
    name = "cut" if sign < 0 else "fill"
    parts = [part.deepest_m if sign < 0 else part.highest_m for part in work.finished.earth]
    return items, list(
        _class_words(classes, depths, grid, name=name, every_m=every, layout=layout, most_m=max(parts, default=most))
    )


def _strokes(classes: Grid, layout: site_plan.Layout, angle_deg: float, of_four: Sequence[int]) -> Iterator[Polyline]:
    """Parallel lines wherever their class has them: the deeper, the closer."""
    room, view = layout.room, layout.view
    turn = math.radians(-angle_deg)
    along, across = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    centre = ((room.left + room.right) / 2, (room.top + room.bottom) / 2)
    reach = math.hypot(room.width, room.height) / 2
    steps = np.arange(-reach, reach, _SAMPLE_MM)
    for index in range(math.floor(-reach / _SPACING_MM), math.ceil(reach / _SPACING_MM)):
        needed = 1 if index % 4 == 0 else 2 if index % 4 == 2 else 3
        least = next((n for n, share in enumerate(of_four, start=1) if share >= (1, 2, 4)[needed - 1]), None)
        if least is None:
            continue
        v = index * _SPACING_MM
        xs = centre[0] + steps * along[0] + v * across[0]
        ys = centre[1] + steps * along[1] + v * across[1]
        inside = (xs >= room.left) & (xs <= room.right) & (ys >= room.top) & (ys <= room.bottom)
        on = inside & (np.nan_to_num(classes.at(_world(view, xs, ys))) >= least)
        turns = np.flatnonzero(np.diff(np.concatenate(([False], on, [False])).astype(np.int8)))
        for first, last in zip(turns[::2].tolist(), turns[1::2].tolist(), strict=True):
            if (last - 1 - first) * _SAMPLE_MM >= _LEAST_STROKE_MM:
                ends = ((float(xs[n]), float(ys[n])) for n in (first, last - 1))
                yield Polyline(points=tuple(ends), pen="cut hatch")


def _world(view: View, xs: Floats, ys: Floats) -> Floats:
    size = view.scale / 1000.0
    return np.stack((view.origin[0] + (xs - view.at[0]) * size, view.origin[1] - (ys - view.at[1]) * size), axis=-1)


def _class_words(
    classes: NDArray[np.int64],
    depths: Floats,
    grid: Grid,
    *,
    name: str,
    every_m: float,
    layout: site_plan.Layout,
    most_m: float,
) -> Iterator[labels.Label]:
    """Each class of depth in words where it is widest; the deepest, as the table has it, where that is."""
    cap, system, count = layout.style.cap_mm, layout.system, int(classes.max())
    i, j = np.unravel_index(int(depths.argmax()), depths.shape)
    deepest = layout.view.put(grid.low[0] + j * grid.step_m, grid.low[1] + i * grid.step_m)
    yield labels.Label(
        text=f"{name} {length(most_m, system)}, most", at=deepest, size_mm=cap, weight="semibold",
        colour="earth word", rank=0,
    )  # fmt: skip
    for number in range(1, count + 1):
        spots = _widest(classes == number)
        if not spots:
            continue
        low, high = (number - 1) * every_m, number * every_m
        said = f"{name} up to {length(high, system)}" if number == 1 else f"{name} over {length(low, system)}"
        if number == 1 and count == 1:
            continue
        places = [layout.view.put(grid.low[0] + b * grid.step_m, grid.low[1] + a * grid.step_m) for a, b in spots]
        yield labels.Label(
            text=said, at=places[0], also=tuple(places[1:]), size_mm=cap, colour="earth word", rank=2,
        )  # fmt: skip


def _widest(inside: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Cells that lie farthest inside, a few of them spread out."""
    left = last = inside
    while left.any():
        last = left
        left = left.copy()
        left[1:-1, 1:-1] &= last[:-2, 1:-1] & last[2:, 1:-1] & last[1:-1, :-2] & last[1:-1, 2:]
        left[[0, -1], :] = left[:, [0, -1]] = False
    cells = np.argwhere(last)
    return [(int(a), int(b)) for a, b in cells[:: max(1, len(cells) // 5)][:6]]


def _edge(grid: Grid, layout: site_plan.Layout) -> list[tuple[tuple[float, float], ...]]:
    """The lines along which cut and fill begin."""
    pieces = [
        piece
        for off in (_LEAST_M, -_LEAST_M)
        for a, b in grid_lines(grid, off).tolist()
        if (piece := clipped(layout.view.put(*a), layout.view.put(*b), layout.room)) is not None
    ]
    return site_plan.joined(pieces)


def _cut(a: tuple[float, float], b: tuple[float, float], room: Box) -> Iterator[Item]:
    piece = clipped(a, b, room)
    if piece is not None:
        yield Polyline(points=piece, pen="1:1 line")


def _letters(letter: str, a: tuple[float, float], b: tuple[float, float], cap_mm: float) -> Iterator[labels.Label]:
    for at, other in ((a, b), (b, a)):
        yield labels.Label(
            text=letter, at=at, size_mm=1.2 * cap_mm, weight="semibold", towards=(at[0] - other[0], at[1] - other[1]),
            rank=0,
        )  # fmt: skip
