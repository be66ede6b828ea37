"""Rims as they run, made by hand round a sample: along the pond, up one bank, round the head, down the other."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from msgspec.structs import replace

from rillwright.assessment import (
    XY,
    Assessment,
    Containment,
    Raise,
    RimLine,
    RimPoint,
    RimProfile,
    SparePoint,
    SpillPath,
)
from rillwright.shape import Surface
from rillwright.units import Band

RIM = "rims"


def with_rims(assessment: Assessment, *, low_m: float = -0.012, guessed: bool = True) -> Assessment:
    """The same with one rim all round: 110 mm to spare on the pond but for a dip down to `low_m` [m], 130 mm beside
    the stream; its first sixth is guessed."""
    places = list(_round(assessment))
    along = [0.0]
    for (a, _, _, _), (b, _, _, _) in itertools.pairwise(places):
        along.append(along[-1] + math.dist(a, b))
    length = along[-1] + math.dist(places[-1][0], places[0][0])
    spares: list[SparePoint] = []
    rim: list[RimPoint] = []
    for (at, path, water, water_m), s in zip(places, along, strict=True):
        spare = 0.13 if water.startswith("reaches/") else _dip(s, along[0] + 0.3 * length, low_m)
        top = Band(water_m + spare, water_m + spare - 0.01, water_m + spare + 0.01)
        spares.append(
            SparePoint(
                at=at, along_m=s, top_m=top, water_m=Band.exact(water_m), spare_m=top - Band.exact(water_m),
                path=path, water=water, case="stopped", holding="while running",
                ground_is="guess" if guessed and s < length / 6 else "between",
            )
        )  # fmt: skip
        guess = "guess" if guessed and s < length / 6 else "between"
        rim.append(
            RimPoint(
                at=at, along_m=s, top_m=top.value, sigma_m=0.005, ground_m=top.value - 0.05, ground_is=guess,
                fill_m=0.05, settles_m=0.005, water=water, station_m=None, by=path,
            )
        )  # fmt: skip
    lowest = min(range(len(spares)), key=lambda n: spares[n].spare_m.value)
    profile = RimProfile(path=RIM, kind="outer", closed=True, length_m=length, points=tuple(spares), lowest=lowest)
    line = RimLine(path=RIM, kind="outer", closed=True, points=tuple(rim))
    at = spares[lowest].at
    spill = SpillPath(
        water=spares[lowest].water, rim=RIM, at=at, along_m=spares[lowest].along_m, level_m=spares[lowest].top_m,
        spare_m=spares[lowest].spare_m,
        way=tuple((at[0] + 0.4 * n, at[1] - 0.5 * n - 0.02 * n * n, 0.1 - 0.03 * n) for n in range(12)),
        ends="the edge of the known ground", towards="footings/terrace",
    )  # fmt: skip
    low = spares[lowest].along_m
    raised = Raise(
        rim=RIM,
        path=spares[lowest].path,
        from_m=low - 0.6,
        to_m=low + 0.6,
        by_m=0.088,
        inch_gains_m=0.0254,
        water=spares[lowest].water,
        at=at,
    )
    containment = assessment.containment
    tops = containment.tops if isinstance(containment, Containment) else ()
    return replace(
        assessment,
        surface=Surface(
            rims=(line,), footprints=(("ponds/pond", tuple(point.at for point in rim)),), guessed_m=length / 6
        ),
        containment=Containment(
            tops=tops, spills_first="rims/rim3", profiles=(profile,), spills=(spill,), raises=(raised,)
        ),
    )


def _dip(s: float, middle: float, low_m: float) -> float:
    return 0.11 - (0.11 - low_m) * max(0.0, 1.0 - abs(s - middle) / 0.8)


def _round(assessment: Assessment) -> Iterator[tuple[XY, str, str, float]]:
    """(place, what gives the top, water, its level) along the edge, every 0.25 m or so."""
    feature = assessment.feature
    body, (stream, *_) = feature.bodies[0], feature.streams
    middle = (
        sum(x for x, _ in body.outline) / len(body.outline), sum(y for _, y in body.outline) / len(body.outline)
    )  # fmt: skip
    rims = body.rims
    count = 4 * len(body.outline)
    foot = stream.path[-1]
    start = math.atan2(foot[1] - middle[1], foot[0] - middle[0])
    for n in range(count):
        angle = start + math.tau * (n + 0.5) / count
        at = (
            middle[0] + 1.08 * body.length_m / 2 * math.cos(angle),
            middle[1] + 1.08 * body.width_m / 2 * math.sin(angle),
        )
        yield at, f"rims/{rims[n * len(rims) // count].id}", f"ponds/{body.id}", 0.025
    for side, reaches in ((-0.7, tuple(reversed(stream.reaches))), (0.7, stream.reaches)):
        for reach in reaches:
            steps = max(2, round(reach.length_m / 0.25))
            shares = [n / steps for n in range(steps + 1)]
            for share in reversed(shares) if side < 0 else shares:
                station = reach.station_m + share * reach.length_m
                at = _beside(stream.path, station / stream.length_m, side)
                yield at, f"reaches/{reach.id}.bank", f"reaches/{reach.id}", reach.bed_end.m + 0.06


def _beside(path: tuple[XY, ...], share: float, side: float) -> XY:
    lengths = [math.dist(a, b) for a, b in itertools.pairwise(path)]
    left = share * sum(lengths)
    for (a, b), length in zip(itertools.pairwise(path), lengths, strict=True):
        if left <= length + 1e-9:
            t = min(left / length, 1.0)
            unit = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
            return (a[0] + (b[0] - a[0]) * t + unit[1] * side, a[1] + (b[1] - a[1]) * t - unit[0] * side)
        left -= length
    return path[-1]
