"""What the plans of the site have in common: view, contours before and after, water, edges of liner, words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from msgspec import Struct

from rillwright.assessment import XY, Assessment, BodyKind, Finished, Mesh, NotRun, RimLine
from rillwright.drawings import labels, plan_parts, scale
from rillwright.drawings.display import Area, Box, Circle, Drawing, Item, Point, Polyline, Text, View, group
from rillwright.drawings.expand import flat
from rillwright.drawings.measure import text_box
from rillwright.drawings.on_mesh import level_lines
from rillwright.drawings.outline import clipped
from rillwright.drawings.source import DrawingStyle
from rillwright.drawings.words import level
from rillwright.units import parse

MARGIN_MM = 3.0
_ROUND_MM = 12.0
_EVERY = {"us": ("1 in", "2 in", "3 in", "6 in", "1 ft", "2 ft", "5 ft", "10 ft"),
          "metric": ("20 mm", "50 mm", "100 mm", "200 mm", "250 mm", "500 mm", "1 m", "2 m")}  # fmt: skip
_MOST_LINES = 9
_SAME_MM = 1e-6
_CLEAR = ("leader", "grid", "water mark", "ground before", "cut hatch")  # pens over which words may lie


class Layout(Struct, frozen=True, kw_only=True):
    """Where a plan lies on its sheet."""

    view: View
    room: Box
    width: float
    height: float
    style: DrawingStyle
    system: str


def lay(world: Sequence[XY], frame_mm: tuple[float, float], system: str, style: DrawingStyle) -> Layout:
    """The largest standard scale at which some places [m] fit a frame [mm], words round them.

    Raises
    ------
    InputError
        If they are too large for it at every standard scale.
    """
    width, height = frame_mm
    bar = 2 * style.cap_mm + 8.0 if style.bar else 0.0
    room = Box(left=MARGIN_MM, top=MARGIN_MM, right=width - MARGIN_MM, bottom=height - MARGIN_MM - bar)
    xs, ys = zip(*world, strict=True)
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    inner = room.grown(-min(_ROUND_MM, 0.08 * min(room.width, room.height)))
    n = scale.choose(wide, high, inner, system=system)
    left = (room.left + room.right - wide * 1000 / n) / 2
    base = (room.top + room.bottom + high * 1000 / n) / 2
    view = View(scale=n, origin=(min(xs), min(ys)), at=(left, base))
    return Layout(view=view, room=room, width=width, height=height, style=style, system=system)


def drawing(
    layout: Layout, items: Sequence[Item], words: Sequence[labels.Label], *, name: str, alt: str, notes: Sequence[str]
) -> Drawing:
    """The finished sheet: words placed, bar and notes under it."""
    cap = layout.style.cap_mm
    placing = labels.place(words, layout.room, taken=taken(items), lines=lines(items))
    done: list[Item] = [*items, *labels.items(placing, ground=lambda _: "paper")]
    if layout.style.bar:
        at = (MARGIN_MM, layout.room.bottom + 2.0)
        done.append(scale.bar(layout.view, at, size_mm=cap, system=layout.system))
    return Drawing(
        name=name, alt=alt, width_mm=layout.width, height_mm=layout.height, items=tuple(done),
        scale=layout.view.scale, scale_text=scale.words(layout.view.scale, layout.system), notes=tuple(notes),
        key=placing.key,
    )  # fmt: skip


def finished_of(assessment: Assessment) -> Finished | None:
    """The finished work where it was worked out."""
    return None if isinstance(assessment.finished, NotRun) else assessment.finished


def edges_of(assessment: Assessment) -> tuple[RimLine, ...]:
    """The edges of liner as they run."""
    return () if isinstance(assessment.surface, NotRun) else assessment.surface.rims


def work_of(assessment: Assessment) -> list[XY]:
    """Places of bodies, streams and edges of liner [m]."""
    feature = assessment.feature
    points: list[XY] = [at for body in feature.bodies for at in body.outline]
    points += [at for stream in feature.streams for at in stream.path]
    points += [point.at for rim in edges_of(assessment) for point in rim.points]
    return points


def waterworks(assessment: Assessment, view: View) -> list[Item]:
    """Bodies and streams, and what has a place about them, faint."""
    items: list[Item] = []
    for stream in assessment.feature.streams:
        if len(stream.path) > 1:
            items.append(plan_parts.stream(stream, view))
    for body in assessment.feature.bodies:
        outline = view.line(body.outline)
        wash = "water wash" if body.kind is BodyKind.POND else "stone wash"
        parts: list[Item] = [Area(points=outline, fill=wash), Polyline(points=outline, pen="water", closed=True)]
        items.append(group("body", parts, path=f"ponds/{body.id}"))
        items += plan_parts.islands(body.islands, view)
    return items


def interval_m(low_m: float, high_m: float, system: str, *, most: int = _MOST_LINES) -> float:
    """A round interval at which no more than some nine contours lie between two levels [m]."""
    steps = [float(parse(text, "length").si) for text in _EVERY[system]]
    return next((step for step in steps if (high_m - low_m) / step <= most), steps[-1])


def span_in(mesh: Mesh, low: XY, high: XY) -> tuple[float, float] | None:
    """Lowest and highest level [m] of a surface's corners within a box [m]; None where it has none there."""
    xyz = mesh.xyz
    inside = ((xyz[:, :2] >= low) & (xyz[:, :2] <= high)).all(axis=1)
    return (float(xyz[inside, 2].min()), float(xyz[inside, 2].max())) if inside.any() else None


def corners(layout: Layout) -> tuple[XY, XY]:
    """The lower left and upper right of the picture in the world [m]."""
    view, room, size = layout.view, layout.room, layout.view.scale / 1000.0
    x0, y0 = view.origin
    low = (x0 + (room.left - view.at[0]) * size, y0 + (view.at[1] - room.bottom) * size)
    return low, (low[0] + room.width * size, low[1] + room.height * size)


def contours(
    mesh: Mesh,
    layout: Layout,
    *,
    every_m: float,
    span_m: tuple[float, float],
    pen: str,
    word: str,
    where: Callable[[XY, XY], bool] | None = None,
) -> tuple[list[Item], list[labels.Label]]:
    """Lines of one level of a surface every `every_m` [m], and the level of each with the surface's word.

    Parameters
    ----------
    mesh
        The surface.
    layout
        Where the plan lies.
    every_m
        From one line to the next [m].
    span_m
        Between which levels [m].
    pen
        Of the lines.
    word
        Of the surface.
    where
        Whether a piece between two places [m] is drawn; None: all are.
    """
    items: list[Item] = []
    said: list[labels.Label] = []
    first, last = (int(f) for f in (-(-span_m[0] // every_m), span_m[1] // every_m))
    for step in range(first, last + 1):
        pieces = [
            piece
            for a, b in level_lines(mesh, step * every_m).tolist()
            if (where is None or where(a, b))
            and (piece := _clipped(layout.view.put(*a), layout.view.put(*b), layout.room)) is not None
        ]
        if not pieces:
            continue
        items.append(group("contour", [Polyline(points=line, pen=pen) for line in joined(pieces)]))
        spots = [pieces[len(pieces) * k // 7][0] for k in (3, 1, 5, 0, 2, 4, 6)]
        text = f"{level(step * every_m, layout.system)} {word}"
        said.append(
            labels.Label(text=text, at=spots[0], also=tuple(spots[1:]), size_mm=layout.style.cap_mm,
                         colour="earth word", rank=5)
        )  # fmt: skip
    return items, said


def joined(pieces: Sequence[tuple[Point, Point]]) -> list[tuple[Point, ...]]:
    """Pieces on paper put end to end, so that dashes run through."""
    ends: dict[tuple[int, int], list[int]] = {}
    for number, piece in enumerate(pieces):
        for end in piece:
            ends.setdefault(_near(end), []).append(number)
    left = set(range(len(pieces)))
    found: list[tuple[Point, ...]] = []
    for number in range(len(pieces)):
        if number not in left:
            continue
        left.discard(number)
        line = list(pieces[number])
        for _ in range(2):
            while (more := next((n for n in ends[_near(line[-1])] if n in left), None)) is not None:
                left.discard(more)
                a, b = pieces[more]
                line.append(b if _near(a) == _near(line[-1]) else a)
            line.reverse()
        found.append(tuple(line))
    return found


def _near(point: Point) -> tuple[int, int]:
    return round(point[0] * 1000), round(point[1] * 1000)


def _clipped(a: Point, b: Point, room: Box) -> tuple[Point, Point] | None:
    if abs(a[0] - b[0]) + abs(a[1] - b[1]) < _SAME_MM:
        return None
    return clipped(a, b, room)


def taken(items: Sequence[Item]) -> list[Box]:
    """Boxes of words and signs that labels must leave free."""
    boxes = [text_box(item) for item in flat(items) if isinstance(item, Text)]
    for item in flat(items):
        if isinstance(item, Circle):
            x, y = item.centre
            boxes.append(Box(left=x, right=x, top=y, bottom=y).grown(item.radius_mm))
    return boxes


def lines(items: Sequence[Item]) -> Iterator[Sequence[Point]]:
    """Lines that words cross only where they must."""
    for item in flat(items):
        if isinstance(item, Polyline) and item.pen not in _CLEAR:
            yield (*item.points, item.points[0]) if item.closed else item.points
