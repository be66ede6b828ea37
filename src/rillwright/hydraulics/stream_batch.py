"""Steady flow through many designs of a stream at once."""

from __future__ import annotations

from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike

from rillwright.errors import InputError, Problem
from rillwright.hydraulics import _stream_twin
from rillwright.hydraulics._constants import GRAVITY_MS2
from rillwright.hydraulics._stream_twin import Flags, Floats

ENGINES = ("", "compiled", "numpy")


class StreamBatch(Struct, frozen=True, kw_only=True):
    """Depths [m] of shape (stations, designs), where the water shoots, and what follows from them.

    `settled` (designs,) is False where a depth did not come to rest in the rounds allowed.
    """

    depth_m: Floats
    shooting: Flags
    settled: Flags
    beds_m: Floats
    widths_m: Floats
    flow_m3s: Floats
    gravity_ms2: float
    engine: str

    @property
    def level_m(self) -> Floats:
        """Level of the water [m]."""
        return self.beds_m + self.depth_m

    @property
    def speed_ms(self) -> Floats:
        """Mean speed [m/s]."""
        return self.flow_m3s / (self.widths_m * self.depth_m)

    @property
    def froude(self) -> Floats:
        """Froude number [-]."""
        return self.speed_ms / np.sqrt(self.gravity_ms2 * self.depth_m)


def steady_streams(
    flow_m3s: ArrayLike,
    *,
    beds_m: ArrayLike,
    stations_m: ArrayLike,
    widths_m: ArrayLike,
    grain_d84_m: ArrayLike,
    level_m: ArrayLike,
    held_m: ArrayLike = -np.inf,
    gravity_ms2: float = GRAVITY_MS2,
    engine: str = "",
) -> StreamBatch:
    """The profile of each design: rectangular, rough after Ferguson, calm and shooting, with crests that hold water.

    Parameters
    ----------
    flow_m3s : array_like, (designs,)
        [m3/s].
    beds_m, stations_m, widths_m : array_like
        Bed levels, distance along the flow, widths [m]: (stations, designs), or what spreads to it.
    grain_d84_m : array_like, (designs,)
        D84 [m].
    level_m : array_like, (designs,)
        Level at the lower end [m]; -inf where the water leaves freely, at critical depth.
    held_m : array_like
        Least level of calm water at each station, of a crest with the water on it [m]; -inf where there is none.
    gravity_ms2 : float
        [m/s2].
    engine : str
        'compiled', 'numpy', or '' for the compiled one where numba is at hand.

    Returns
    -------
    StreamBatch
        Arrays (stations, designs) [m, m/s, -].

    Raises
    ------
    InputError
        If shapes do not go together, a number cannot be used, or there is no such engine.

    References
    ----------
    Closed form: as `steady_profile`; ferguson-2007.
    """
    given = _spread(flow_m3s, beds_m, stations_m, widths_m, grain_d84_m, level_m, held_m)
    flow, beds, stations, widths, grain, level, held = given
    if engine not in ENGINES:
        raise InputError(Problem(message="no such engine", field="engine", found=engine, allowed="compiled or numpy"))
    depth = np.empty(beds.shape)
    shooting = np.zeros(beds.shape, bool)
    settled = np.ones(flow.shape, bool)
    even = bool((widths == widths[0]).all())
    run, used = _engine(engine)
    run(flow, beds, stations, widths, grain, level, held, gravity_ms2, even, depth, shooting, settled)
    return StreamBatch(
        depth_m=depth,
        shooting=shooting,
        settled=settled,
        beds_m=beds,
        widths_m=widths,
        flow_m3s=flow,
        gravity_ms2=gravity_ms2,
        engine=used,
    )


def _engine(wanted: str) -> tuple[Any, str]:
    """The kernel, compiled where numba is at hand: it is needed by what is slow alone."""
    if wanted != "numpy":
        try:
            from rillwright.hydraulics import _stream_kernel
        except ImportError as reason:
            if wanted == "compiled":
                raise InputError(
                    Problem(message="numba is not installed", field="engine", found=wanted, allowed="numpy")
                ) from reason
        else:
            return _stream_kernel.streams, "compiled"
    return _stream_twin.streams, "numpy"


def _spread(*given: ArrayLike) -> tuple[Floats, ...]:
    """All as contiguous float64: (designs,) for flow, grain and level, (stations, designs) for the rest."""
    flow, beds, stations, widths, grain, level, held = (np.asarray(each, np.float64) for each in given)
    try:
        shape = np.broadcast_shapes(
            beds.shape, stations.shape, widths.shape, held.shape, flow.shape, grain.shape, level.shape
        )
    except ValueError as reason:
        raise InputError(Problem(message="shapes do not go together", field="beds_m", found=str(reason))) from reason
    if len(shape) != 2 or shape[0] < 2 or shape[1] < 1:
        raise InputError(
            Problem(message="cannot be used", field="beds_m", found=f"shape {shape}", allowed="(stations, designs)")
        )
    wide = [np.ascontiguousarray(np.broadcast_to(each, shape)) for each in (beds, stations, widths, held)]
    thin = [np.ascontiguousarray(np.broadcast_to(each, shape[1:])) for each in (flow, grain, level)]
    found = (thin[0], wide[0], wide[1], wide[2], thin[1], thin[2], wide[3])
    _refuse(found)
    return found


def _within(values: Floats, low: float) -> bool:
    """Whether all values are numbers between a bound and infinity, neither of them reached."""
    return bool(values.min() > low and values.max() < np.inf)


def _refuse(found: tuple[Floats, ...]) -> None:
    flow, beds, stations, widths, grain, level, held = found
    fine = all(_within(values, 0.0) for values in (flow, widths, grain))
    fine = fine and all(_within(values, -np.inf) for values in (beds, stations))
    if fine and level.max() < np.inf and held.max() < np.inf and (stations[1:] > stations[:-1]).all():
        return  # without the arrays that it takes to say what is wrong
    steps = np.diff(stations, axis=0)
    checks = (
        ("flow_m3s", flow, np.isfinite(flow) & (flow > 0.0), "a number above 0"),
        ("beds_m", beds, np.isfinite(beds), "numbers"),
        ("stations_m", steps, np.isfinite(steps) & (steps > 0.0), "rising along the flow"),
        ("widths_m", widths, np.isfinite(widths) & (widths > 0.0), "a number above 0"),
        ("grain_d84_m", grain, np.isfinite(grain) & (grain > 0.0), "a number above 0"),
        ("level_m", level, level < np.inf, "numbers, or -inf"),
        ("held_m", held, held < np.inf, "numbers, or -inf"),
    )
    problems = [
        Problem(
            message=f"{(~good).sum()} values cannot be used", field=name, found=f"{values[~good][0]:g}", allowed=allowed
        )
        for name, values, good, allowed in checks
        if not good.all()
    ]
    if problems:
        raise InputError(problems)
