"""The liner's edge round a pond or a reservoir: where it runs, where its rims lie along it, what gives its top."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct

from rillwright.feature import Body, Rim
from rillwright.shape.natural import NaturalGround, ground_there, was_read
from rillwright.shape.sides import inset, polygon_of
from rillwright.sources import default

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


class PondEdge(Struct, frozen=True, kw_only=True, eq=False):
    """The liner's edge round a body, counter-clockwise; `rims` with their places along it `at_m` [m], rising."""

    body: Body
    polygon: Any
    out_m: float  # from the outline at the waterline
    rims: tuple[Rim, ...]
    at_m: Floats

    @property
    def length_m(self) -> float:
        return float(self.polygon.exterior.length)

    def along_m(self, places: Floats) -> Floats:
        """How far along the edge [m] places (p, 2) [m] lie."""
        import shapely

        found: Floats = shapely.line_locate_point(self.polygon.exterior, shapely.points(places))
        return found


class Tops(Struct, frozen=True, kw_only=True, eq=False):
    """The finished top and its ground at some places of an edge: levels and heights [m]; what is known of the ground
    (shot, between, guess); path of what gives the top; set-up.
    """

    top_m: Floats
    sigma_m: Floats
    ground_m: Floats
    ground_is: list[str]
    fill_m: Floats
    settles_m: Floats
    by: list[str]
    setup: list[str]


def pond_rise_m(body: Body) -> float:
    """Height of the liner's edge above the waterline [m]: the mean of its finished rims, `rim.berm_spare` without."""
    if not body.rims:
        return default("rim.berm_spare").number
    return max(0.0, sum(rim.finished_m - body.waterline.m for rim in body.rims) / len(body.rims))


def pond_edge(body: Body) -> PondEdge:
    """The edge as far outside the outline at the waterline as the side needs to rise to the mean rim.

    Rims lie where their places are nearest to it; those without a place are spread over the gaps that are left, in the
    order in which they are listed, and that is a guess.
    """
    return _edge(body, pond_rise_m(body) / body.side_up_per_across)


@lru_cache(maxsize=32)
def _edge(body: Body, out_m: float) -> PondEdge:
    import shapely

    outline = polygon_of(body.outline)
    polygon = shapely.orient_polygons(inset(outline, np.array([-out_m]))[0] if out_m > 0.0 else outline)
    edge = polygon.exterior
    known = {i: float(edge.project(shapely.Point(rim.at))) for i, rim in enumerate(body.rims) if rim.at is not None}
    at = _spread(known, len(body.rims), float(edge.length))
    order = np.argsort(at, kind="stable")
    return PondEdge(
        body=body, polygon=polygon, out_m=out_m, rims=tuple(body.rims[i] for i in order.tolist()), at_m=at[order]
    )


def _spread(known: dict[int, float], count: int, length_m: float) -> Floats:
    """Places along an edge [m]: those that are known, the others evenly, or in the middle of the widest gap each."""
    if not known:
        evenly: Floats = length_m * np.arange(count, dtype=np.float64) / max(count, 1)
        return evenly
    at = np.zeros(count)
    taken = sorted(known.values())
    for i in range(count):
        if i not in known:
            gaps = np.diff([*taken, taken[0] + length_m])
            widest = int(gaps.argmax())
            known[i] = float((taken[widest] + 0.5 * gaps[widest]) % length_m)
            taken = sorted((*taken, known[i]))
        at[i] = known[i]
    return at


def pond_tops(
    edge: PondEdge, places: Floats, *, along: Floats, rim_of: NDArray[np.int64], natural: NaturalGround
) -> Tops:
    """The tops at places (p, 2) [m], `along` (p,) [m] an edge; `rim_of` (p,) are rows of its rims, -1 where none is.

    At a rim its own level; between them the ground, where there is a surface of it, and straight along the edge where
    there is none; berms and what they settle straight along the edge between rims. Without rims the edge is planned at
    `rim.berm_spare` above the waterline.
    """
    body = edge.body
    away = _to_rims(edge, along)
    near = away.argmin(axis=1) if edge.rims else np.zeros(len(places), dtype=np.int64)
    near = np.where(rim_of >= 0, rim_of, near)
    ground, sigma, known = _ground(edge, along, places, away, natural)
    if not edge.rims:
        top = np.full(len(places), body.waterline.m + pond_rise_m(body))
        settles = np.maximum(top - ground, 0.0) * default("pond.settlement").number
        return Tops(
            top_m=top, sigma_m=np.full(len(places), default("level.sigma_planned").number), ground_m=ground,
            ground_is=known, fill_m=top - ground + settles, settles_m=settles,
            by=[f"ponds/{body.id}"] * len(places), setup=[""] * len(places),
        )  # fmt: skip
    berm = _along(edge, along, [rim.berm_m for rim in edge.rims])
    settles = _along(edge, along, [rim.berm_m * rim.settlement for rim in edge.rims])
    for i in np.flatnonzero(rim_of >= 0).tolist():
        rim = edge.rims[rim_of[i]]
        level = rim.top if rim.top is not None else rim.ground
        ground[i], sigma[i] = rim.ground.m, level.sigma_m
        berm[i], settles[i] = rim.berm_m, rim.berm_m * rim.settlement
        known[i] = "shot" if rim.at is not None and was_read(level) else "guess"
    return Tops(
        top_m=ground + berm - settles, sigma_m=sigma, ground_m=ground, ground_is=known, fill_m=berm, settles_m=settles,
        by=[f"rims/{edge.rims[i].id}" for i in near.tolist()], setup=[edge.rims[i].ground.setup for i in near.tolist()],
    )  # fmt: skip


def _ground(
    edge: PondEdge, along: Floats, places: Floats, away: Floats, natural: NaturalGround
) -> tuple[Floats, Floats, list[str]]:
    """Level of the ground [m], its standard error [m] and what is known of it."""
    near_m, guess = natural.model.near_m, natural.model.guessed_m
    if natural.tin is not None:
        there = ground_there(natural, places)
        return there.level_m, there.sigma_m, known_by(there.away_m, there.outside_m, near_m=near_m)
    if not edge.rims:
        return np.full(len(places), edge.body.waterline.m), np.full(len(places), guess), ["guess"] * len(places)
    level = _along(edge, along, [rim.ground.m for rim in edge.rims])
    placed = np.array([rim.at is not None and was_read(rim.ground) for rim in edge.rims])
    shot = (away[:, placed] <= near_m).any(axis=1)
    own = max(rim.ground.sigma_m for rim in edge.rims)
    sigma = np.where(shot, own, np.hypot(own, guess))
    return level, sigma, [("guess", "shot")[int(one)] for one in np.asarray(shot)]


def known_by(away_m: Floats, outside_m: Floats, *, near_m: float) -> list[str]:
    """What is known of the ground: shot near a reading, between others inside the surveyed ground, a guess outside."""
    on_m = 1e-6
    return [
        "shot" if away <= near_m and out <= near_m else "between" if out <= on_m else "guess"
        for away, out in zip(away_m.tolist(), outside_m.tolist(), strict=True)
    ]


def _to_rims(edge: PondEdge, along: Floats) -> Floats:
    """Distance along the edge [m], the shorter way round, from places (p,) to rims (p, r)."""
    apart = np.abs(along[:, None] - edge.at_m[None, :])
    found: Floats = np.minimum(apart, edge.length_m - apart)
    return found


def _along(edge: PondEdge, along: Floats, values: list[float]) -> Floats:
    """Values at rims, straight along the edge between them and round its end."""
    found: Floats = np.interp(along, edge.at_m, values, period=edge.length_m)
    return found
