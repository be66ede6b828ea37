"""The water at the highest point of a run's main, or of the pipe of one of its outlets."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.hydraulics import pipe_speed, station_head, summit
from rillwright.sources import atmosphere, water_density, water_vapour_pressure
from rillwright.water.bands import band_of
from rillwright.water.run import Lifts, PipedRun, RunFlow
from rillwright.water.run_extras import static_of
from rillwright.water.run_result import SummitWater


def summit_water(
    run: PipedRun, lifts: Lifts, flows: Sequence[RunFlow], *, water_m: float, elevation_m: float
) -> SummitWater | None:
    """The water at the run's highest point, taken at the end of its main: where it is lowest in pressure.

    `flows` are the usual one and those at the ends of its band.
    """
    top = run.run.summit
    if top is None:
        return None
    at = [
        (
            run.needed_m(lifts, flow.ends_m3s) if flow.runs else static_of(lifts),
            pipe_speed(flow.flow_m3s, run.pipe.inside_m),
        )
        for flow in flows
    ]
    most = _shut_off_m(run)
    prime = None if most is None else most - (top.m - water_m)
    return _told(run, top.m, at, prime_m=prime, water_m=water_m, elevation_m=elevation_m)


def outlet_summit(
    run: PipedRun, n: int, lifts: Lifts, flows: Sequence[RunFlow], *, water_m: float, elevation_m: float
) -> SummitWater | None:
    """The water at the highest point of one outlet's pipe, taken at its end. The others are open as it is primed."""
    said = run.run
    top, end, pipe = said.outlets[n].summit, said.ends[n], run.outlet_pipes[n]
    if top is None:
        return None
    at = [(lifts[end.key], pipe_speed(flow.ends_m3s[end.key], pipe.inside_m)) for flow in flows]
    most = _shut_off_m(run)
    prime = None if most is None else _parting_m(run, n, lifts, most) - (top.m - water_m)
    return _told(run, top.m, at, prime_m=prime, water_m=water_m, elevation_m=elevation_m)


def _shut_off_m(run: PipedRun) -> float | None:
    """Head of its pumps at no flow [m]; None without a pump."""
    return None if run.run.pump is None else station_head(run.curves(), 0.0, arrangement=run.run.arrangement)


def _parting_m(run: PipedRun, n: int, lifts: Lifts, most_m: float) -> float:
    """Head where the outlets part [m], over the water drawn from, as long as nothing runs through one of them."""
    ends = run.run.ends
    shut = run.flow({**lifts, ends[n].key: most_m + 1.0})
    found = [
        lifts[end.key] + run.outlet_loss_m(i, shut.ends_m3s[end.key])
        for i, end in enumerate(ends)
        if i != n and shut.ends_m3s[end.key] > 0.0
    ]
    return max(found, default=most_m)


def _told(
    run: PipedRun,
    level_m: float,
    at: Sequence[tuple[float, float]],
    *,
    prime_m: float | None,
    water_m: float,
    elevation_m: float,
) -> SummitWater:
    """By the head over the water drawn from [m] and the speed [m/s] at each flow of the band."""
    found = [
        summit(
            water_m + head,
            level_m=level_m,
            speed_ms=speed,
            air_pa=atmosphere(elevation_m),
            vapour_pa=water_vapour_pressure(run.temperature_c),
            density_kgm3=water_density(run.temperature_c),
        )
        for head, speed in at
    ]
    return SummitWater(
        level_m=level_m,
        pressure_m=band_of(*(each.pressure_m for each in found)),
        spare_m=band_of(*(each.spare_m for each in found)),
        prime_m=prime_m,
    )
