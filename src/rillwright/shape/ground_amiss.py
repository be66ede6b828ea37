"""Whether a file of ground has the unit, the order and the mark of the job's own levels, where both know a place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.errors import InputError
from rillwright.shape.natural import Model, Placed, ground_levels, was_read
from rillwright.shape.surface_result import GroundAmiss
from rillwright.sources import default

if TYPE_CHECKING:
    from rillwright.ground import GroundData, Tin

Floats = NDArray[np.float64]
LEAST = 3  # places that both know
MOST_SHARE = 4  # of five places so many agree where the ground does
_UNITS_M = {"m": 1.0, "ft": 0.3048, "in": 0.0254, "mm": 0.001}


class Reading(Struct, frozen=True, kw_only=True):
    """A way in which a file may have been meant: its places and levels times a factor [-], its axes swapped, all of its
    levels off by the same.
    """

    kind: str
    unit: str
    plan: float = 1.0
    up: float = 1.0
    swapped: bool = False
    off: bool = False


class Held(Struct, frozen=True, kw_only=True, eq=False):
    """One reading against the job's own levels: what each place that both know is off [m], its standard error [m], how
    many agree, and what all are off by [m].
    """

    reading: Reading
    rest_m: Floats
    sigma_m: Floats
    agree: int
    off_m: float

    @property
    def fits(self) -> bool:
        """Whether nearly all of the places agree, and enough of them are known."""
        return len(self.rest_m) >= LEAST and 5 * self.agree >= MOST_SHARE * len(self.rest_m)

    @property
    def usually_off_m(self) -> float:
        """How far the middle one of the places is off [m]."""
        return float(np.median(np.abs(self.rest_m - self.off_m)))


def readings(unit: str) -> Iterator[Reading]:
    """How a file that was read in `unit` may have been meant, the likeliest first; the first is as it was read."""
    yield Reading(kind="", unit=unit)
    sizes = {name: size / _UNITS_M[unit] for name, size in _UNITS_M.items() if name != unit} if unit in _UNITS_M else {}
    yield from (Reading(kind="unit", unit=name, plan=factor, up=factor) for name, factor in sizes.items())
    yield Reading(kind="swapped", unit=unit, swapped=True)
    yield from (Reading(kind="unit of levels", unit=name, up=factor) for name, factor in sizes.items())
    yield from (
        Reading(kind="unit and swapped", unit=name, plan=factor, up=factor, swapped=True)
        for name, factor in sizes.items()
    )
    yield Reading(kind="mark", unit=unit, off=True)
    yield from (
        Reading(kind="unit and mark", unit=name, plan=factor, up=factor, off=True) for name, factor in sizes.items()
    )
    yield Reading(kind="swapped and mark", unit=unit, swapped=True, off=True)


def files_amiss(placed: Sequence[Placed], ground: GroundData | None, model: Model) -> tuple[GroundAmiss, ...]:
    """What each file of ground has against it, by the levels that the job itself read.

    Parameters
    ----------
    placed : sequence of Placed
        Levels of the job with their places [m].
    ground : GroundData or None
        The files, joined.
    model : Model
        How uneven ground between shots may be.

    Returns
    -------
    tuple of GroundAmiss
        One of a file at most; none of a file that agrees, or that shares fewer than three places with the job.

    References
    ----------
    Common practice, no source: levels that two parties know are compared before either is used.
    """
    from rillwright.ground import tin_of

    read = [each for each in placed if was_read(each.level)]
    if ground is None or len(read) < LEAST:
        return ()
    found = []
    for part in ground.each:
        try:
            tin = tin_of(part)
        except InputError:
            continue  # told where the whole is laid
        found += _amiss(part, tin, read, model)
    return tuple(found)


def _amiss(part: GroundData, tin: Tin, read: Sequence[Placed], model: Model) -> list[GroundAmiss]:
    own = np.array([(*each.at, each.level.m, each.level.sigma_m) for each in read])
    tried = readings(part.unit)
    as_read = _held(next(tried), tin, own, model)
    if as_read.fits:
        return []
    better = [held for held in (_held(each, tin, own, model) for each in tried) if held.fits]
    known = len(as_read.rest_m)
    if better:
        best = max(better, key=lambda held: (2 * held.agree >= len(own), not held.reading.off, -held.usually_off_m))
        if not best.reading.off or abs(best.off_m) > default("ground.amiss").number:
            return [_told(part, best, known)]
    away_m = _away(tin, own) if known == 0 else 0.0
    if away_m > max(*np.ptp(own[:, :2], axis=0), *np.ptp(tin.xyz[:, :2], axis=0)):
        return [_told(part, as_read, known, kind="elsewhere", most_m=away_m)]
    if known >= LEAST and 2 * as_read.agree < known:
        return [_told(part, as_read, known, kind="no pattern")]
    return []


def _held(reading: Reading, tin: Tin, own: Floats, model: Model) -> Held:
    """The levels of a file, so read, less the job's own, where the file has ground."""
    places = (own[:, 1::-1] if reading.swapped else own[:, :2]) / reading.plan
    level_m, away_m, outside_m = ground_levels(tin, places)
    there = outside_m == 0.0
    rest = (reading.up * level_m - own[:, 2])[there]
    own_m, file_m, uneven_m = own[there, 3], reading.up * tin.sigma_m, model.uneven * reading.plan * away_m[there]
    sigma = np.sqrt(own_m**2 + file_m**2 + uneven_m**2)
    off = float(np.median(rest)) if reading.off and len(rest) else 0.0
    agree = int((np.abs(rest - off) <= np.maximum(default("ground.amiss").number, 3.0 * sigma)).sum())
    return Held(reading=reading, rest_m=rest, sigma_m=sigma, agree=agree, off_m=off)


def _told(part: GroundData, held: Held, known: int, *, kind: str = "", most_m: float | None = None) -> GroundAmiss:
    most = float(np.abs(held.rest_m).max()) if most_m is None else most_m
    return GroundAmiss(
        file=part.name, kind=kind or held.reading.kind, read_in=part.unit, unit=held.reading.unit, off_m=held.off_m,
        agree=held.agree, known=len(held.rest_m) or known, most_m=most,
    )  # fmt: skip


def _away(tin: Tin, own: Floats) -> float:
    """How far the file's nearest level lies from the job's own [m]."""
    return float(min(np.hypot(*(tin.xyz[:, :2] - at).T).min() for at in own[:, :2]))
