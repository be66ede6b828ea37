"""By how much the places of all rims, and the water against them, may be off: drawn together for many samples."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.containment.places import SIGMAS
from rillwright.feature import Feature, Lap, Level, Origin
from rillwright.shape import RimLine, RimPoint
from rillwright.sources import default
from rillwright.water import HighWater

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]


class Usual(Struct, frozen=True, kw_only=True):
    """Usual errors, all of them defaults: what levels of one set-up share [m], what is placed [m] and over which length
    it is off alike [m], settlement as a share of what is expected [-]; and how many samples are drawn.
    """

    setup_m: float
    placed_m: float
    length_m: float
    settlement: float
    samples: int


def usual_errors() -> Usual:
    """The defaults, in m where they are lengths."""
    return Usual(
        setup_m=default("level.sigma_setup").number,
        placed_m=default("odds.placed").number,
        length_m=default("odds.length").number,
        settlement=default("odds.settlement").number,
        samples=round(default("odds.samples").number),
    )


class Places(Struct, frozen=True, kw_only=True, eq=False):
    """Every place of every rim, then every unsealed lap's upturn, as arrays (n,) in the order of the rims; lengths [m].

    `first` and `second` are numbers of the readings from which a place hangs, with shares of their errors whose squares
    add to one. `placed_m` is the standard error of placing, `uneven_m` of ground between readings; `kept` is how much
    of what the place before is off by both carries on to it: none at the beginning of a rim. `top_setup` is the number
    of a place's set-up, `water` that of its water.
    """

    own_m: Floats
    first: Indices
    second: Indices
    first_share: Floats
    second_share: Floats
    placed_m: Floats
    uneven_m: Floats
    kept: Floats
    settles_m: Floats
    top_setup: Indices
    water: Indices
    readings: int


class Waters(Struct, frozen=True, kw_only=True, eq=False):
    """Bodies and reaches (w,): standard error of the water's level [m], and number of the set-up it hangs from."""

    paths: tuple[str, ...]
    sigma_m: Floats
    setup: Indices


class Drawn(Struct, frozen=True, kw_only=True, eq=False):
    """What tops (n, samples) and waters (w, samples) are off by [m]."""

    tops_m: Floats
    waters_m: Floats


def drawn(
    places: Places, waters: Waters, usual: Usual, *, setups: int, samples: int, rng: np.random.Generator
) -> Drawn:
    """Errors of so many samples [m]: of set-ups, readings, placing along the rim, settlement and water.

    What is placed beside each other is off alike: exp(-d / length) of it carries on over a distance d.
    """
    shared = usual.setup_m * rng.standard_normal((setups, samples))
    reading = rng.standard_normal((places.readings, samples))
    settled = usual.settlement * rng.standard_normal((places.readings, samples))
    off = np.hypot(places.placed_m, places.uneven_m)
    tops = np.empty((len(places.own_m), samples))
    placed = np.zeros(samples)
    for i in range(len(tops)):
        one, other = places.first[i], places.second[i]
        a, b, kept = places.first_share[i], places.second_share[i], places.kept[i]
        placed = kept * placed + np.sqrt(1.0 - kept**2) * rng.standard_normal(samples)
        tops[i] = shared[places.top_setup[i]] + off[i] * placed
        tops[i] += places.own_m[i] * (a * reading[one] + b * reading[other])
        tops[i] -= places.settles_m[i] * (a * settled[one] + b * settled[other])
    water = waters.sigma_m[:, None] * rng.standard_normal((len(waters.paths), samples))
    return Drawn(tops_m=tops, waters_m=water + shared[waters.setup])


def places_of(
    feature: Feature, rims: Sequence[RimLine], laps: Sequence[Lap], *, setups: Sequence[str], usual: Usual
) -> Places:
    """The places of rims [m] and laps as they may be off. Every one of `setups` has its number there."""
    number = {setup: i for i, setup in enumerate(setups)}
    columns = [_rim(feature, rim, number, usual) for rim in rims]
    columns += [_lap(feature, lap, number, usual) for lap in laps]
    start, joined = 0, []
    for column in columns:
        column["first"] += start
        column["second"] += start
        start += int(column.pop("readings")[0])
        joined.append(column)
    names = joined[0].keys()
    return Places(
        **{name: np.concatenate([column[name] for column in joined]) for name in names},
        water=np.zeros(sum(len(column["own_m"]) for column in joined), dtype=np.int64),
        readings=start,
    )


def _rim(feature: Feature, rim: RimLine, number: dict[str, int], usual: Usual) -> dict[str, NDArray[np.float64]]:
    points = rim.points
    along = np.array([point.along_m for point in points])
    sigma = np.array([point.sigma_m for point in points])
    names = list(dict.fromkeys(point.by for point in points))
    record = np.array([names.index(point.by) for point in points])
    own = np.array([sigma[record == k].min() for k in range(len(names))])[record]
    far = usual.length_m
    placing = usual.placed_m * np.sqrt(1.0 - _known(feature, points, along, far, rim.length_m))
    first, second, share = _between(points, names, record, along, sigma=sigma, length_m=rim.length_m)
    norm = np.hypot(1.0 - share, share)
    kept = np.exp(-np.diff(along, prepend=along[0]) / far)
    kept[0] = 0.0
    return {
        "own_m": own,
        "first": first,
        "second": second,
        "first_share": np.where(first == second, 1.0, (1.0 - share) / norm),
        "second_share": np.where(first == second, 0.0, share / norm),
        "placed_m": placing,
        "uneven_m": np.sqrt(np.maximum(sigma**2 - own**2, 0.0)),
        "kept": kept,
        "settles_m": np.array([max(point.settles_m, 0.0) for point in points]),
        "top_setup": np.array([number[setup_of(feature, point.setup, point.water)] for point in points]),
        "readings": np.array([len(names)]),
    }


def _known(feature: Feature, points: Sequence[RimPoint], along: Floats, far: float, length_m: float) -> Floats:
    """How much of the placing at each point is known [-] because the built rim was shot near it: the square of what
    carries on over the distance [m].
    """
    built = {f"rims/{rim.id}": rim.at for body in feature.bodies for rim in body.rims if rim.top is not None}
    known = np.zeros(len(points))
    for path, at in built.items():
        rows = [k for k, point in enumerate(points) if point.by == path]
        if rows:
            middle = rows[len(rows) // 2]
            shot = middle if at is None else min(rows, key=lambda k: float(np.hypot(*np.subtract(points[k].at, at))))
            away = np.abs(along - along[shot])
            known = np.maximum(known, np.exp(-2.0 * np.minimum(away, length_m - away) / far))
    return known


def _between(
    points: Sequence[RimPoint], names: Sequence[str], record: Indices, along: Floats, *, sigma: Floats, length_m: float
) -> tuple[Indices, Indices, Floats]:
    """The two readings between which each place hangs, and how far [-] it lies from the first to the second.

    A place on a pond's rim hangs from the readings to both sides along the edge [m]; any other from its own alone.
    """
    first, second, share = record.copy(), record.copy(), np.zeros(len(points))
    for water in dict.fromkeys(point.water for point in points):
        rows = np.array([k for k, p in enumerate(points) if p.water == water and p.by.startswith("rims/")])
        read = list(dict.fromkeys(record[rows].tolist())) if len(rows) else []
        if len(read) < 2:
            continue
        shot = [min(rows[record[rows] == k].tolist(), key=lambda row: float(sigma[row])) for k in read]
        order = np.argsort(along[shot])
        at, who = along[np.array(shot)[order]], np.array(read)[order]
        before = np.searchsorted(at, along[rows], side="right") - 1
        after = (before + 1) % len(at)
        gap = np.maximum((at[after] - at[before]) % length_m, 1e-9)
        first[rows], second[rows] = who[before], who[after]
        share[rows] = np.clip(((along[rows] - at[before]) % length_m) / gap, 0.0, 1.0)
    return first, second, share


def _lap(feature: Feature, lap: Lap, number: dict[str, int], usual: Usual) -> dict[str, NDArray[np.float64]]:
    placing = 0.0 if lap.upturn.origin is Origin.BUILT else usual.placed_m
    one, none = np.array([1.0]), np.array([0.0])
    here = np.array([0])
    return {
        "own_m": np.array([lap.upturn.sigma_m]),
        "first": here.copy(),
        "second": here.copy(),
        "first_share": one,
        "second_share": none,
        "placed_m": np.array([placing]),
        "uneven_m": none,
        "kept": none,
        "settles_m": none,
        "top_setup": np.array([number[setup_of(feature, lap.upturn.setup, lap_water(lap))]]),
        "readings": np.array([1]),
    }


def waters_of(feature: Feature, highest: Sequence[HighWater], setups: Sequence[str]) -> Waters:
    """Bodies and reaches with the errors of their water: that of its level's mark, and its band [m]."""
    paths = tuple(dict.fromkeys(high.path for high in highest))
    hangs = [hangs_from(feature, path) for path in paths]
    spread = [
        max(high.level_m.high - high.level_m.low for high in highest if high.path == path) / (2.0 * SIGMAS)
        for path in paths
    ]
    sigma = [float(np.hypot(level.sigma_m, each)) for level, each in zip(hangs, spread, strict=True)]
    numbers = [setups.index(level.setup) for level in hangs]
    return Waters(paths=paths, sigma_m=np.array(sigma), setup=np.array(numbers, dtype=np.int64))


def hangs_from(feature: Feature, path: str) -> Level:
    """The level from which the water of a body or a reach hangs: its waterline, or the crest that holds it."""
    kind, _, id = path.partition("/")
    if kind == "ponds":
        return feature.body(id).waterline
    reach = next(reach for reach in feature.reaches if reach.id == id)
    fall = next((fall for fall in feature.falls if fall.id == reach.downstream), None)
    level = reach.bed_end if fall is None else fall.crest
    return level if level.setup else replace(level, setup=reach.bed_end.setup)


def setup_of(feature: Feature, setup: str, water: str) -> str:
    """The set-up of a level; where none is named, that of the water against which it stands."""
    return setup or hangs_from(feature, water).setup


def lap_water(lap: Lap) -> str:
    """Path of the body or reach whose water stands against a lap."""
    return f"ponds/{lap.body}" if lap.reach is None else f"reaches/{lap.reach}"
