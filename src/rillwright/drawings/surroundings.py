"""What stands and lies about the work: footings, paving, buildings, trees, buried services; and their names."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterator, Sequence

from rillwright.assessment import XY, Assessment
from rillwright.drawings.display import Box, Circle, Group, Item, Point, Polyline, View, group
from rillwright.drawings.labels import Label
from rillwright.drawings.outline import clipped, middle_of, nearest_on
from rillwright.drawings.words import length, level

_PENS = {"footings": "footing", "paving": "paving", "buildings": "footing", "services": "service"}


_CALLED = {
    "footings": "footing",
    "paving": "paving",
    "buildings": "building",
    "marks": "the paving at",
    "trees": "tree",
    "services": "service",
}


def called(path: str) -> str:
    """What stands there by its path, in words: footing terrace."""
    kind, _, id = path.partition("/")
    return f"{_CALLED.get(kind, kind)} {id}"


def lines_of(assessment: Assessment) -> tuple[tuple[str, tuple[XY, ...]], ...]:
    """Path and line of every footing, paving, building and buried service [m]; areas end where they begin."""
    site = assessment.feature.site
    services = ((f"services/{each.id}", each.line) for each in site.service_lines)
    return (*site.structures, *services)


def drawn(assessment: Assessment, view: View, room: Box, *, but: Collection[str] = ()) -> Group:
    """All of it but some kinds, as far as it lies in the room."""
    items: list[Item] = []
    for path, line in lines_of(assessment):
        if path.partition("/")[0] in but:
            continue
        pieces = pieces_in(view.line(line), room)
        pen = _PENS[path.partition("/")[0]]
        if pieces:
            items.append(group("stands there", [Polyline(points=piece, pen=pen) for piece in pieces], path=path))
    for tree in assessment.feature.site.trees:
        at = view.put(*tree.at)
        if room.has(at):
            trunk = max(view.length(tree.trunk_m) / 2, 0.8)
            ring = Circle(centre=at, radius_mm=trunk, pen="ink", fill="stone wash")
            arms = [Polyline(points=((at[0] + x, at[1] + y), (at[0] - x, at[1] - y)), pen="facet")
                    for x, y in ((trunk, 0.0), (0.0, trunk))]  # fmt: skip
            items.append(group("tree", (ring, *arms), path=f"trees/{tree.id}"))
    return group("surroundings", items)


def pieces_in(line: Sequence[Point], room: Box) -> list[tuple[Point, Point]]:
    """The parts of a line on paper that lie in the room, stretch by stretch."""
    found = (clipped(a, b, room) for a, b in itertools.pairwise(line))
    return [piece for piece in found if piece is not None]


def names(
    assessment: Assessment, view: View, room: Box, *, cap_mm: float, but: Collection[str] = ()
) -> Iterator[Label]:
    """Words for what of it lies in the room but some kinds, nearest to the work."""
    system, site = assessment.feature.system, assessment.feature.site
    work = middle_of(assessment.feature.bodies[0].outline)
    told = dict(_told(assessment))
    for path, way in lines_of(assessment):
        at = view.put(*nearest_on(way, work))
        if room.has(at) and path.partition("/")[0] not in but:
            text, of = told[path]
            yield Label(
                text=text, at=at, size_mm=cap_mm, path=path, rank=3, towards=_away(at, view, work), of=of
            )  # fmt: skip
    for tree in site.trees:
        at = view.put(*tree.at)
        if room.has(at):
            words, path = f"tree {tree.id}, {length(tree.trunk_m, system)} thick", f"trees/{tree.id}"
            yield Label(text=words, at=at, size_mm=cap_mm, path=path, rank=3, of=f"{path}.trunk")


def _told(assessment: Assessment) -> Iterator[tuple[str, tuple[str, str]]]:
    """Path, words, and what the number in them is, of all that stands there as a line."""
    system, site = assessment.feature.system, assessment.feature.site
    for kind, listed in (("footings", site.footings), ("paving", site.paving), ("buildings", site.buildings)):
        for one in listed:
            path, base = f"{kind}/{one.id}", one.base
            if base is None:
                yield path, (called(path), "")
            else:
                of = f"{path}.base {base.surface.value}"
                yield path, (f"{called(path)}, base {level(base.m, system)}", of)
    for line in site.service_lines:
        path, name = f"services/{line.id}", f"{line.kind} {line.id}"
        if line.top is not None:
            yield path, (f"{name}, top {level(line.top.m, system)}", f"{path}.top {line.top.surface.value}")
        elif line.depth_m is not None:
            yield path, (f"{name}, {length(line.depth_m, system)} deep", f"{path}.depth")
        else:
            yield path, (f"{name}, depth not known", "")


def _away(at: Point, view: View, work: XY) -> Point:
    x, y = view.put(*work)
    return (at[0] - x, at[1] - y) if (at[0], at[1]) != (x, y) else (1.0, -0.6)
