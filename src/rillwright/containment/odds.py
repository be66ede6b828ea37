"""Chance that the worst ordinary day spills, by what a crew's work may come out as; sampled on the rims, seeded."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.containment.odds_errors import (
    Drawn,
    Places,
    Usual,
    Waters,
    drawn,
    hangs_from,
    lap_water,
    places_of,
    setup_of,
    usual_errors,
    waters_of,
)
from rillwright.containment.odds_result import Confirmed, Odds, WaterOdds, WorstRim
from rillwright.containment.profiles import rim_profiles
from rillwright.containment.whole import contain, upturn
from rillwright.errors import Cancelled, NoAnswer
from rillwright.feature import Feature, Lap
from rillwright.progress import Progress, silent
from rillwright.shape import RimLine, Surface
from rillwright.units import Band
from rillwright.water import Water

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

ORDINARY = ("rest", "running", "stopped")
SEED = 20
AT_ONCE = 4_000_000  # places times samples
LOOKED_AT, SPILLING = 3, 2  # samples worked out in full: from the beginning, and of those that spill
AGREES_M = 1e-9


class Nominal(Struct, frozen=True, kw_only=True, eq=False):
    """Rims cut to the places at water that was computed, unsealed laps, and what each place has to spare (n,) [m].

    `water` (n,) is the number of its water, `by` (n,) what gives its top.
    """

    rims: tuple[RimLine, ...]
    laps: tuple[Lap, ...]
    spare_m: Floats
    water: Indices
    by: tuple[str, ...]


def spill_odds(
    feature: Feature,
    water: Water,
    *,
    surface: Surface,
    cases: Collection[str] = ORDINARY,
    samples: int | None = None,
    seed: int = SEED,
    progress: Progress = silent,
) -> Odds:
    """Chance that water spills on the worst ordinary day, over what levels, placing and settlement may come out as.

    A body or a reach spills where any place of its rims, or the upturn of an unsealed lap at it, lies below the highest
    water there. Errors are those of set-ups, which all their levels share and which drop out where rim and water hang
    from one; of readings; of placing and uneven ground along the rim; of settlement; of the water's own level.

    Parameters
    ----------
    feature : Feature
        What is to be built.
    water : Water
        Highest water in every case [m].
    surface : Surface
        The rims as they run [m].
    cases : collection of str
        The cases that count, each in both ways of holding the level.
    samples : int or None
        How many crews' work is drawn; None: the default.
    seed : int
        Of the generator: the same gives the same answer.
    progress : callable
        Told how far it is; stops it by answering no.

    Returns
    -------
    Odds
        Chances [-] with their errors from sampling, and where it spills.

    Raises
    ------
    NoAnswer
        If no rim stands against water that was computed.
    Cancelled
        If it was stopped.

    References
    ----------
    Independent normal errors, placing off alike by exp(-d / length): common practice, no source.
    """
    usual = usual_errors()
    ordinary = replace(water, highest=tuple(high for high in water.highest if high.case in cases))
    nominal = nominal_of(feature, ordinary, surface)
    setups = _setups(nominal, feature, ordinary)
    waters = waters_of(feature, ordinary.highest, setups)
    places = replace(places_of(feature, nominal.rims, nominal.laps, setups=setups, usual=usual), water=nominal.water)
    count = usual.samples if samples is None else samples
    how: Any = {"usual": usual, "setups": len(setups), "count": count, "seed": seed, "progress": progress}
    found = _sampled(nominal, places, waters, **how)
    smooth = replace(places, uneven_m=np.zeros_like(places.uneven_m))
    read = _sampled(nominal, smooth, waters, **how)
    least, where = found.least_m, found.where
    return Odds(
        **_chance((least < 0.0).any(axis=0)),
        chance_if_read=_chance((read.least_m < 0.0).any(axis=0))["chance"],
        waters=tuple(
            _of_water(path, least[row], where[row], nominal.by)
            for row, path in enumerate(waters.paths)
            if (nominal.water == row).any()
        ),
        cases=tuple(case for case in dict.fromkeys(high.case for high in ordinary.highest)),
        setups=tuple(setups),
        samples=count,
        seed=seed,
        confirmed=_confirmed(feature, ordinary, surface, nominal=nominal, paths=waters.paths, kept=found.kept),
    )


class _Sampled(Struct, frozen=True, kw_only=True, eq=False):
    least_m: Floats
    where: Indices
    kept: list[tuple[Drawn, Floats]]


def _sampled(
    nominal: Nominal,
    places: Places,
    waters: Waters,
    *,
    usual: Usual,
    setups: int,
    count: int,
    seed: int,
    progress: Progress,
) -> _Sampled:
    """What is to spare at the lowest place of each water in every sample (w, samples) [m], and at which place."""
    rng = np.random.default_rng(seed)
    step = max(AT_ONCE // len(nominal.spare_m), 1)
    least = np.empty((len(waters.paths), count))
    where = np.empty((len(waters.paths), count), dtype=np.int64)
    kept: list[tuple[Drawn, Floats]] = []
    for first in range(0, count, step):
        if not progress(first / count, "odds: crews' work drawn"):
            raise Cancelled(f"odds: stopped by hand after {first:,} of {count:,} samples")
        some = drawn(places, waters, usual, setups=setups, samples=min(step, count - first), rng=rng)
        span = slice(first, first + some.tops_m.shape[1])
        least[:, span], where[:, span] = lowest(nominal, waters, some)
        kept += _kept(some, least[:, span], first)
    return _Sampled(least_m=least, where=where, kept=kept)


def nominal_of(feature: Feature, water: Water, surface: Surface) -> Nominal:
    """What every place has to spare [m] if all comes out as planned.

    Raises
    ------
    NoAnswer
        If no rim stands against water that was computed.
    """
    paths = list(dict.fromkeys(high.path for high in water.highest))
    rims = []
    for rim in surface.rims:
        points = tuple(point for point in rim.points if point.water in paths)
        if points:
            rims.append(replace(rim, points=points))
    if not rims:
        raise NoAnswer("no rim stands against water that was computed")
    laps = tuple(lap for lap in feature.laps if not lap.sealed and lap_water(lap) in paths)
    found = rim_profiles(rims, water)
    spare = [point.spare_m.value for profile in found for point in profile.points]
    spare += [upturn(lap, water).freeboard_m.value for lap in laps]
    at = [point.water for rim in rims for point in rim.points] + [lap_water(lap) for lap in laps]
    by = [point.by for rim in rims for point in rim.points] + [f"laps/{lap.id}" for lap in laps]
    return Nominal(
        rims=tuple(rims),
        laps=laps,
        spare_m=np.array(spare),
        water=np.array([paths.index(each) for each in at], dtype=np.int64),
        by=tuple(by),
    )


def _setups(nominal: Nominal, feature: Feature, water: Water) -> list[str]:
    """Every set-up once, in the order of rims, laps and waters."""
    tops = [setup_of(feature, point.setup, point.water) for rim in nominal.rims for point in rim.points]
    tops += [setup_of(feature, lap.upturn.setup, lap_water(lap)) for lap in nominal.laps]
    hangs = [hangs_from(feature, high.path).setup for high in water.highest]
    return list(dict.fromkeys(tops + hangs))


def lowest(nominal: Nominal, waters: Waters, errors: Drawn) -> tuple[Floats, Indices]:
    """What the lowest place of each body and reach has to spare in each sample (w, samples) [m], and which it is."""
    samples = errors.tops_m.shape[1]
    least = np.full((len(waters.paths), samples), np.inf)
    where = np.zeros((len(waters.paths), samples), dtype=np.int64)
    for row in range(len(waters.paths)):
        mine = np.flatnonzero(nominal.water == row)
        if len(mine):
            spare = nominal.spare_m[mine, None] + errors.tops_m[mine]
            best = spare.argmin(axis=0)
            least[row] = spare[best, np.arange(samples)] - errors.waters_m[row]
            where[row] = mine[best]
    return least, where


def _chance(spilt: Any) -> dict[str, float]:
    """Share of the samples that spill, and its standard error; of none or all of them it is not nought."""
    times, count = int(spilt.sum()), len(spilt)
    middle = (times + 2.0) / (count + 4.0)
    return {"chance": times / count, "chance_error": float(np.sqrt(middle * (1.0 - middle) / (count + 4.0)))}


def _of_water(path: str, least: Floats, where: Indices, by: Sequence[str]) -> WaterOdds:
    spilt = least < 0.0
    rows, times = np.unique(where[spilt], return_counts=True)
    often: dict[str, int] = {}
    for row, count in zip(rows.tolist(), times.tolist(), strict=True):
        often[by[row]] = often.get(by[row], 0) + count
    ranked = sorted(often.items(), key=lambda one: (-one[1], one[0]))
    low, middle, high = (float(each) for each in np.percentile(least, (5, 50, 95)))
    return WaterOdds(
        water=path,
        **_chance(spilt),
        spare_m=Band(middle, low, high),
        worst=tuple(WorstRim(path=name, share=count / len(least)) for name, count in ranked),
    )


def _kept(some: Drawn, least: Floats, first: int) -> list[tuple[Drawn, Floats]]:
    """Some samples of a beginning, and of those that spill there, to be worked out anew."""
    if first:
        return []
    spilling = np.flatnonzero((least < 0.0).any(axis=0))[:SPILLING].tolist()
    looked_at = dict.fromkeys([*range(min(LOOKED_AT, least.shape[1])), *spilling])
    return [
        (Drawn(tops_m=some.tops_m[:, [k]].copy(), waters_m=some.waters_m[:, [k]].copy()), least[:, k].copy())
        for k in looked_at
    ]


def _confirmed(
    feature: Feature,
    water: Water,
    surface: Surface,
    *,
    nominal: Nominal,
    paths: Sequence[str],
    kept: Sequence[tuple[Drawn, Floats]],
) -> Confirmed:
    """The samples kept, worked out anew: every rim, lap and water moved, and all of containment run on them."""
    apart = [0.0]
    for errors, least in kept:
        again = recomputed(feature, water, surface, nominal=nominal, paths=paths, errors=errors)
        there = np.isfinite(least)
        apart.append(float(np.abs(again[there] - least[there]).max(initial=0.0)))
    agree = sum(each <= AGREES_M for each in apart[1:])
    return Confirmed(samples=len(kept), agree=agree, apart_m=max(apart))


def recomputed(
    feature: Feature, water: Water, surface: Surface, *, nominal: Nominal, paths: Sequence[str], errors: Drawn
) -> Floats:
    """What the lowest place of each body and reach has to spare [m] in one sample, by containment itself."""
    tops, waters = errors.tops_m[:, 0].tolist(), errors.waters_m[:, 0].tolist()
    rims, at = [], 0
    for rim in nominal.rims:
        points = [
            replace(point, top_m=point.top_m + off)
            for point, off in zip(rim.points, tops[at : at + len(rim.points)], strict=True)
        ]
        rims.append(replace(rim, points=tuple(points)))
        at += len(points)
    moved = {
        lap.id: replace(lap, upturn=lap.upturn.moved(off)) for lap, off in zip(nominal.laps, tops[at:], strict=True)
    }
    laps = tuple(moved.get(lap.id, lap) for lap in feature.laps)
    highest = [replace(high, level_m=high.level_m.shift(waters[paths.index(high.path)])) for high in water.highest]
    found = contain(
        replace(feature, laps=laps),
        replace(water, highest=tuple(highest)),
        surface=replace(surface, rims=tuple(rims)),
    )
    least = np.full(len(paths), np.inf)
    for low in found.lows:
        least[paths.index(low.water)] = low.spare_m.value
    own = {f"laps/{lap.id}": lap_water(lap) for lap in nominal.laps}
    for top in found.tops:
        if top.path in own:
            row = paths.index(own[top.path])
            least[row] = min(least[row], top.freeboard_m.value)
    return least
