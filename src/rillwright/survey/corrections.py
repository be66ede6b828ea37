"""Corrections that take up the misclosure: by set-ups, by distance, or by least squares."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct, field

from rillwright.survey.chain import Chain, Spot, Station
from rillwright.survey.net import NetObservation, adjust_net
from rillwright.survey.rings import Ring

NONE, BY_SETUPS, BY_DISTANCE, LEAST_SQUARES = "none", "by set-ups", "by distance", "least squares"
METHODS = (NONE, BY_SETUPS, BY_DISTANCE, LEAST_SQUARES)


class Corrections(Struct):
    """What is added to raw levels of spots and to heights of instrument [m], and the variances of both [m2]."""

    spot_m: dict[Spot, Fraction | float] = field(default_factory=dict)
    station_m: dict[int, Fraction | float] = field(default_factory=dict)
    spot_var: dict[Spot, float] = field(default_factory=dict)
    station_var: dict[int, float] = field(default_factory=dict)


def distribute(chain: Chain, rings: Sequence[Ring], *, by_distance: bool, sigma_m: float) -> Corrections:
    """Corrections of rings that share no set-up: -c i/n at the i-th turning point, or -c d_i/D by distance.

    Everything outside the rings moves with the set-up or mark on which it hangs. `sigma_m` [m] is the
    standard error of a level carried over one set-up.

    References
    ----------
    Engineering Aid training manual 14071, level computations.
    """
    done = Corrections()
    at_station = {leg.station.index: ring for ring in rings for leg in ring.legs}
    for spot in chain.fixed:
        done.spot_m[spot], done.spot_var[spot] = Fraction(0), 0.0
    children: dict[int, list[Spot]] = {}
    for spot, (station, _) in chain.parent.items():
        children.setdefault(station.index, []).append(spot)
    settled: set[int] = set()
    for station in chain.solved:
        ring = at_station.get(station.index)
        if ring is not None and id(ring) not in settled:
            settled.add(id(ring))
            _settle(ring, done, by_distance=by_distance, sigma_m=sigma_m)
        _hang(station, children.get(station.index, []), done, sigma_m=sigma_m)
    return done


def _hang(station: Station, spots: Sequence[Spot], done: Corrections, *, sigma_m: float) -> None:
    assert station.anchor is not None
    done.station_m.setdefault(station.index, done.spot_m.get(station.anchor.spot, Fraction(0)))
    done.station_var.setdefault(station.index, done.spot_var.get(station.anchor.spot, 0.0))
    for spot in spots:
        done.spot_m.setdefault(spot, done.station_m[station.index])
        done.spot_var.setdefault(spot, done.station_var[station.index] + sigma_m**2)


def _settle(ring: Ring, done: Corrections, *, by_distance: bool, sigma_m: float) -> None:
    base_m, base_var = done.spot_m.get(ring.base, Fraction(0)), done.spot_var.get(ring.base, 0.0)
    total = Fraction(ring.length_m) if by_distance and ring.length_m else Fraction(len(ring.legs))
    count = len(ring.legs)
    if ring.start not in done.spot_m:
        done.spot_m[ring.start], done.spot_var[ring.start] = base_m, base_var + sigma_m**2
    for legs, sign in ((ring.out, -1), (ring.back, 1)):
        so_far = Fraction(0)
        for i, leg in enumerate(legs, start=1):
            so_far += Fraction(leg.length_m or 0) if by_distance and ring.length_m else 1
            correction = base_m + sign * ring.error_m * so_far / total
            done.station_m[leg.station.index] = correction
            done.station_var[leg.station.index] = base_var + _ring_var(i - 1, count, sigma_m)
            if leg.exit.spot not in done.spot_m:
                done.spot_m[leg.exit.spot] = correction
                done.spot_var[leg.exit.spot] = base_var + _ring_var(i, count, sigma_m)


def _ring_var(i: int, n: int, sigma_m: float) -> float:
    """Variance [m2] at the i-th of n equal steps between two held ends."""
    return sigma_m**2 * i * (n - i) / n


def least_squares(chain: Chain, *, sigma_m: float) -> Corrections:
    """Corrections from one adjustment of all sights on marks, heights of instrument being unknowns like the marks.

    `sigma_m` [m] is the standard error of a level carried over one set-up; each of its two sights has 1/sqrt(2) of it.
    """
    names = {spot: f"{spot.id} ({spot.surface.value})" for spot in chain.links}
    seen = _stations_by_link(chain)
    observations = [
        NetObservation(
            start=f"set-up {station.index}",
            end=names[spot],
            rise_m=float(station.sign * value),
            sigma_m=sigma_m / math.sqrt(2),
        )
        for spot, sights in seen.items()
        for station, value in sights
    ]
    net = adjust_net(observations, fixed={names[s]: float(level) for s, level in chain.fixed.items()})
    adjusted = {mark.id: mark for mark in net.marks}
    done = Corrections()
    for spot, level in chain.level_m.items():
        if spot in chain.fixed:
            done.spot_m[spot], done.spot_var[spot] = 0.0, 0.0
        elif (mark := adjusted.get(names.get(spot, ""))) is not None:
            done.spot_m[spot] = mark.level_m - float(level)
            done.spot_var[spot] = mark.sigma_prior_m**2
    for station in chain.stations:
        instrument = adjusted[f"set-up {station.index}"]
        done.station_m[station.index] = instrument.level_m - float(station.height_m or 0)
        done.station_var[station.index] = instrument.sigma_prior_m**2
    for spot, (station, _) in chain.parent.items():
        done.spot_m.setdefault(spot, done.station_m[station.index])
        done.spot_var.setdefault(spot, done.station_var[station.index] + sigma_m**2 / 2)
    return done


def _stations_by_link(chain: Chain) -> dict[Spot, list[tuple[Station, Fraction]]]:
    """First sight of each set-up on each mark that is held or seen from several set-ups."""
    seen: dict[Spot, dict[int, tuple[Station, Fraction]]] = {}
    for station in chain.stations:
        for shot in station.shots:
            if shot.spot in chain.links:
                seen.setdefault(shot.spot, {}).setdefault(station.index, (station, shot.reading.value_m))
    return {s: list(at.values()) for s, at in seen.items() if s in chain.fixed or len(at) > 1}
