"""What the streams hold comes from the body at start and back at stop."""

from __future__ import annotations

from msgspec import Struct

from rillwright.feature import Body, Holding, IntakeKind
from rillwright.shape import PondShape, level_at, volume_at
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.result import Balance, PondWater


class Levels(Struct, frozen=True, kw_only=True):
    """Levels of one body [m] in one way of holding, and what it falls at start."""

    running: Band
    stopped: Band
    drop: Band


def transit_band(transit_m3: float) -> Band:
    """Water in transit [m3] with what is not known of it."""
    return Band.around(transit_m3, default("transit.band").number)


def levels(pond: PondShape, held_m: float, *, holding: Holding, transit: Band) -> Levels:
    """Running and stopped level [m] of a body held at `held_m` [m] that gives `transit` [m3] to its streams."""
    held = Band.exact(held_m)
    untouched = _level(pond, held_m, transit.scale(-1.0))
    if holding is Holding.AT_REST:
        return Levels(running=untouched, stopped=held, drop=held - untouched)
    return Levels(running=held, stopped=_level(pond, held_m, transit), drop=held - untouched)


def _level(pond: PondShape, from_m: float, more: Band) -> Band:
    """The level [m] after `more` water [m3] than below `from_m` [m]."""
    below = volume_at(pond, from_m)
    found = [level_at(pond, below + volume) for volume in (more.low, more.value, more.high)]
    return Band(found[1], found[0], found[2])


def balance(body: Body, pond: PondShape, transit_m3: float) -> Balance:
    """The balance of one body for its declared holding, with `transit_m3` [m3] in its streams.

    If a stream leaves its liner, the pump goes on until its intake runs dry: at the lowest working level of a skimmer
    or in a reservoir, at the floor where it draws from a pit in it.
    """
    transit = transit_band(transit_m3)
    held = body.waterline.m
    declared = levels(pond, held, holding=body.holding, transit=transit)
    topped_up = levels(pond, held, holding=Holding.WHILE_RUNNING, transit=transit)
    return Balance(
        body=body.id,
        holding=body.holding.value,
        held_m=held,
        transit_m3=transit,
        drop_at_start_m=declared.drop,
        running_level_m=declared.running,
        stop_level_m=declared.stopped,
        topped_up_stop_level_m=topped_up.stopped,
        left_if_stream_leaks_m=pond.floor_m
        if body.intake.kind is IntakeKind.PIT
        else max(body.intake.low.m, pond.floor_m),
        intake_low_m=body.intake.low.m,
        intake_high_m=body.intake.high.m,
    )


def pond_water(body: Body, pond: PondShape, flow_m3s: float) -> PondWater:
    """Volume and area of a body at its waterline, and in how long `flow_m3s` [m3/s] turns it over."""
    return PondWater(
        body=body.id,
        volume_m3=pond.volume_m3,
        area_m2=pond.area_m2,
        turnover_h=pond.volume_m3 / flow_m3s / 3600.0 if flow_m3s > 0.0 else None,
        by_meter=bool(pond.as_drawn),
    )
