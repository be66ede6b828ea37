"""Where a stream runs and how long each of its beds is."""

from __future__ import annotations

import math
from itertools import pairwise

from rillwright.feature.filling import Filling
from rillwright.feature.levels import XY
from rillwright.feature.model import Body, Reach, Stream
from rillwright.feature.schema import BedSaid, FallSaid, StreamSaid
from rillwright.feature.yaml_text import Location

PATH_AGREES = 0.02  # share by which the beds' lengths may differ from the drawn path
LONGEST_M = 1000.0  # of a bed, and of anything that a visit tapes; what is longer was meant in another unit


def bed_lengths(said: StreamSaid, location: Location, filling: Filling) -> list[float] | None:
    """Length of each bed [m]: typed, by the stations of the falls, or an equal share of what the path leaves."""
    beds = [(i, row) for i, row in enumerate(said.course) if isinstance(row, BedSaid)]
    lengths: list[float | None] = []
    station, known = 0.0, True
    for index, bed in beds:
        below = said.course[index + 1] if index + 1 < len(said.course) else None
        at = below.station if isinstance(below, FallSaid) else None
        length = bed.length.si if bed.length else None
        if length is not None and length > LONGEST_M:
            filling.wrong(
                (*location, "course", index, "length"), "longer than any stream that is built so",
                found=bed.length.text if bed.length else "", allowed=f"up to {LONGEST_M:g} m",
            )  # fmt: skip
            return None
        if at is not None:
            if not known:
                filling.wrong((*location, "course", index), "needs a length, since a fall further down has a station")
                return None
            if at.si <= station:
                filling.wrong(
                    (*location, "course", index + 1, "station"),
                    "crests are out of order along the stream",
                    found=at.text,
                    allowed=f"more than {station:.3f} m, where the bed above it begins",
                )
                return None
            if length is not None and abs(length - (at.si - station)) > 0.01:
                filling.wrong(
                    (*location, "course", index), "length and the fall's station disagree", found=f"{length:.3f} m"
                )
                return None
            length = at.si - station
        lengths.append(length)
        known = known and length is not None
        station += length or 0.0
    return _shared_out(said, lengths, beds, location, filling)


def _shared_out(
    said: StreamSaid,
    lengths: list[float | None],
    beds: list[tuple[int, BedSaid]],
    location: Location,
    filling: Filling,
) -> list[float] | None:
    missing = [bed for (_, bed), length in zip(beds, lengths, strict=True) if length is None]
    given = sum(length or 0.0 for length in lengths)
    if said.path is None:
        return [
            filling.number("stream.reach_length", f"reaches/{bed.bed}.length") if length is None else length
            for (_, bed), length in zip(beds, lengths, strict=True)
        ]
    points = [(p[0].si, p[1].si) for p in said.path]
    whole = sum(math.dist(a, b) for a, b in pairwise(points))
    if whole <= 0:
        filling.wrong((*location, "path"), "the path has no length", allowed="two different points at least")
        return None
    if missing and given >= whole:
        filling.wrong((*location, "course"), "the beds with a length are already longer than the path")
        return None
    if missing:
        each = (whole - given) / len(missing)
        for bed in missing:
            filling.computed("stream.reach_length", each, unit="m", path=f"reaches/{bed.bed}.length")
        return [each if length is None else length for length in lengths]
    if abs(given - whole) > PATH_AGREES * whole:
        filling.wrong(
            (*location, "path"),
            "the beds together and the drawn path differ in length",
            found=f"beds {given:.2f} m, path {whole:.2f} m",
            allowed=f"within {PATH_AGREES:.0%}, or leave one bed's length out",
        )
        return None
    return [length or 0.0 for length in lengths]


def stream_path(said: StreamSaid, into: Body, length: float, turn: int, filling: Filling, path: str) -> tuple[XY, ...]:
    """The drawn path, or a straight one away from the body's edge; further streams leave it at other angles."""
    if said.path is not None:
        return tuple((p[0].si, p[1].si) for p in said.path)
    filling.computed("feature.path", "straight", unit="", path=path)
    xs, ys = [c[0] for c in into.outline], [c[1] for c in into.outline]
    centre = ((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2)
    angle = math.pi / 2 + (turn + 1) // 2 * (1 if turn % 2 else -1) * math.pi / 3
    direction = (math.cos(angle), math.sin(angle))
    edge = _edge_distance(into.outline, centre, direction)
    far = edge + length
    return (
        (centre[0] + far * direction[0], centre[1] + far * direction[1]),
        (centre[0] + edge * direction[0], centre[1] + edge * direction[1]),
    )


def aside_path(stream: Stream, reach: Reach, station_m: float, length_m: float, turn: int) -> tuple[XY, ...]:
    """A straight path that ends square on the side of a bed beside a station [m]: the left one, by turns the right."""
    drawn = sum(math.dist(a, b) for a, b in pairwise(stream.path))
    left = station_m / stream.length_m * drawn
    for a, b in pairwise(stream.path):
        long = math.dist(a, b)
        if long > 0.0 and left <= long + 1e-9:
            break
        left -= long
    way = ((b[0] - a[0]) / long, (b[1] - a[1]) / long)
    side = -1.0 if turn % 2 else 1.0
    aside = (-way[1] * side, way[0] * side)
    near, far = 0.5 * reach.width_m, 0.5 * reach.width_m + length_m
    at = (a[0] + left * way[0], a[1] + left * way[1])
    return ((at[0] + far * aside[0], at[1] + far * aside[1]), (at[0] + near * aside[0], at[1] + near * aside[1]))


def project(path: tuple[XY, ...], place: XY, *, length_m: float) -> tuple[float, float]:
    """Station [m] of the nearest point of a path, stretched to the stream's length, and the distance aside [m]."""
    drawn = sum(math.dist(a, b) for a, b in pairwise(path))
    best, run = (0.0, math.inf), 0.0
    for a, b in pairwise(path):
        long = math.dist(a, b)
        if long == 0.0:
            continue
        share = ((place[0] - a[0]) * (b[0] - a[0]) + (place[1] - a[1]) * (b[1] - a[1])) / long**2
        share = min(max(share, 0.0), 1.0)
        aside = math.dist(place, (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
        if aside < best[1]:
            best = ((run + share * long) / drawn * length_m, aside)
        run += long
    return best


def _edge_distance(outline: tuple[XY, ...], origin: XY, direction: XY) -> float:
    """Farthest crossing of a ray with the outline [m]."""
    farthest = 0.0
    for a, b in zip(outline, (*outline[1:], outline[0]), strict=True):
        edge = (b[0] - a[0], b[1] - a[1])
        across = direction[0] * edge[1] - direction[1] * edge[0]
        if abs(across) < 1e-12:
            continue
        to = (a[0] - origin[0], a[1] - origin[1])
        along = (to[0] * edge[1] - to[1] * edge[0]) / across
        share = (to[0] * direction[1] - to[1] * direction[0]) / across
        if along > 0 and -1e-9 <= share <= 1 + 1e-9:
            farthest = max(farthest, along)
    return farthest
