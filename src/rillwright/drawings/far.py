"""What lies far from the work: an arrow at the frame's edge with its name, distance and bearing."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from msgspec import Struct

from rillwright.assessment import XY, Assessment
from rillwright.drawings.display import Area, Box, Item, Point, Polyline, View, group
from rillwright.drawings.labels import Label
from rillwright.drawings.outline import middle_of, nearest_on
from rillwright.drawings.surroundings import called, lines_of
from rillwright.drawings.words import length, level

_IN_MM = 4.0  # an arrow's point, inside the frame
_ARROW_MM = 7.0


class Aside(Struct, frozen=True, kw_only=True):
    """Something with a place that a plan may leave out, in few words."""

    at: XY
    path: str
    words: str
    of: str = ""  # what the number in its words is
    beside: bool = False  # of the surroundings, which are drawn wherever the frame has room for them


def asides(assessment: Assessment) -> tuple[Aside, ...]:
    """Marks, accesses and what stands and lies about, this by its nearest point: what the work can do without."""
    feature = assessment.feature
    found = [
        Aside(
            at=mark.at, path=f"marks/{mark.id}",
            words=f"{mark.id} {level(mark.level.m, feature.system)} {mark.level.surface.value}",
            of=f"marks/{mark.id}.level {mark.level.surface.value}",
        )
        for mark in feature.marks
        if mark.at is not None
    ]  # fmt: skip
    found += [
        Aside(
            at=access.at, path=f"accesses/{access.id}",
            words=f"access {access.id}, {length(access.width_m, feature.system)}", of=f"accesses/{access.id}.width",
        )
        for access in feature.site.accesses
        if access.at is not None
    ]  # fmt: skip
    work = middle_of([point for body in feature.bodies for point in body.outline])
    found += [
        Aside(
            at=nearest_on(footing.line, work), path=f"footings/{footing.id}",
            words=f"footing {footing.id}, base {level(footing.base.m, feature.system)}",
            of=f"footings/{footing.id}.base {footing.base.surface.value}",
        )
        for footing in feature.site.footings
        if len(footing.line) > 1
    ]  # fmt: skip
    return (*found, *_surroundings(assessment, work))


def _surroundings(assessment: Assessment, work: XY) -> Iterator[Aside]:
    for path, line in lines_of(assessment):
        if len(line) > 1 and not path.startswith("footings/"):
            yield Aside(at=nearest_on(line, work), path=path, words=called(path), beside=True)
    for tree in assessment.feature.site.trees:
        yield Aside(at=tree.at, path=f"trees/{tree.id}", words=f"tree {tree.id}", beside=True)


def parted(
    work: Sequence[XY], found: Sequence[Aside], scale_of: Callable[[Sequence[XY]], float]
) -> tuple[list[Aside], list[Aside]]:
    """(shown in place, shown by an arrow): near ones first, each kept while the scale stays that of the work alone.

    The surroundings move no frame: they are for an arrow unless they lie in it.
    """
    if not work:
        return list(found), []
    near, far = list[Aside](), list[Aside]()
    usual, points = scale_of(work), list(work)
    middle = middle_of(work)
    for one in sorted(found, key=lambda one: math.dist(one.at, middle)):
        if not one.beside and scale_of([*points, one.at]) <= usual:
            points.append(one.at)
            near.append(one)
        else:
            far.append(one)
    return near, far


def bearing_deg(start: XY, end: XY, *, north_rad: float) -> float:
    """The whole-circle bearing [deg] from one point to another, clockwise from north.

    Parameters
    ----------
    start
        From [m].
    end
        To [m].
    north_rad
        Where north lies on the sheet, clockwise from up [rad].
    """
    up = math.degrees(math.atan2(end[0] - start[0], end[1] - start[1]))
    return (up - math.degrees(north_rad)) % 360.0


def arrows(
    far: Sequence[Aside],
    assessment: Assessment,
    view: View,
    *,
    room: Box,
    starts: Sequence[tuple[str, XY]],
    clear_of: Sequence[Box] = (),
    cap_mm: float,
) -> tuple[list[Item], list[Label]]:
    """An arrow for each at the edge of the room, on the way to it, and its words; capitals `cap_mm` [mm] high.

    Distance and, where north was said, bearing count from the nearest of `starts`, by name and place [m]. The words
    stay out of `clear_of`.
    """
    system, north = assessment.feature.system, assessment.feature.site.north_rad
    items: list[Item] = []
    words: list[Label] = []
    for one in far:
        named, home = min(starts, key=lambda start: math.dist(start[1], one.at))
        tip, (dx, dy) = _edge(view.put(*home), view.put(*one.at), room.grown(-_IN_MM))
        tail = (tip[0] - dx * _ARROW_MM, tip[1] - dy * _ARROW_MM)
        wings = [(tip[0] - dx * 2.2 - dy * s, tip[1] - dy * 2.2 + dx * s) for s in (0.8, -0.8)]
        arrow = (Polyline(points=(tail, tip), pen="ink"), Area(points=(tip, *wings), fill="ink"))
        items.append(group("far", arrow, path=one.path))
        away = length(round(math.dist(home, one.at), 2), system)
        said = f"{one.words}: {away} from {named}"
        if north is not None:
            said += f", bearing {round(bearing_deg(home, one.at, north_rad=north)) % 360:03d}°"
        words.append(
            Label(
                text=said,
                at=tail,
                size_mm=cap_mm,
                path=one.path,
                rank=0,
                towards=(-dx, -dy),
                clear_of=tuple(clear_of),
                of=f"{one.of}; {one.path}.away".removeprefix("; "),
            )
        )
    return items, words


def _edge(home: Point, to: Point, room: Box) -> tuple[Point, Point]:
    """Where the way from a point in the room leaves it on paper [mm], and its direction."""
    dx, dy = to[0] - home[0], to[1] - home[1]
    size = math.hypot(dx, dy)
    reach = [1.0]
    for at, change, low, high in ((home[0], dx, room.left, room.right), (home[1], dy, room.top, room.bottom)):
        if abs(change) > 1e-9:
            reach.append(((high if change > 0 else low) - at) / change)
    t = max(0.0, min(reach))
    return (home[0] + dx * t, home[1] + dy * t), (dx / size, dy / size)
