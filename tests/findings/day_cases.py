"""Dry weeks, rain, silt, the fill meter and a year of power for their rules: invented, limits are common practice."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from rillwright.assessment import (
    Clearing,
    Losses,
    MeterDoubt,
    Metered,
    PipeOverYears,
    Price,
    Rain,
    RunningCost,
    Severity,
    Supply,
    WayOut,
)
from rillwright.feature import Level, Origin, Overflow, Surface
from rillwright.units import Band
from tests.findings.rim_cases import spill
from tests.findings.sample import exact

OK, WATCH = Severity.OK, Severity.WATCH


def price(*running: RunningCost) -> Price:
    return Price(
        currency="USD",
        book="prices.csv",
        invented=True,
        lines=(),
        low=Decimal(0),
        high=Decimal(0),
        hours_low=0.0,
        hours_high=0.0,
        days_low=0.0,
        days_high=0.0,
        crew_people=3,
        unpriced=(),
        running=running,
    )


def yearly() -> RunningCost:
    pipes = (PipeOverYears(pipe="2 in", energy_j=7e10, low=Decimal(2300), high=Decimal(7700)),)
    return RunningCost(
        run="run",
        hours_per_day=24.0,
        year_j=Band(7e9, 6e9, 8e9),
        low=Decimal(200),
        high=Decimal(890),
        years=10,
        pipes=pipes,
    )


def losses(week: str, *, hose: float | None = None, month: int | None = 7) -> tuple[Losses, ...]:
    return (
        Losses(
            body="pond",
            open_m2=10.0,
            months=(),
            dry_day_m=Band.exact(0.006),
            dry_month=month,
            splash_m3=Band.exact(0.01),
            day_m3=Band.exact(0.07),
            week_drop_m=exact(week),
            hose_share=None if hose is None else Band.exact(hose),
            fill_s=None if hose is None else 9000.0,
        ),
    )


def rain(over: Band | None) -> tuple[Rain, ...]:
    return (Rain(body="pond", rain_m=0.05, caught_m3=0.6, inflow_m3s=2e-4, rise_m=0.04, overflow_head_m=over),)


def way(sill: float | None = None, *, stuck: Band | None = None, blocked: Band | None = None) -> tuple[WayOut, ...]:
    supply = None if stuck is None else 3e-4
    return (WayOut(body="pond", sill_m=sill, supply_m3s=supply, stuck_m=stuck, blocked_m=blocked),)


def notch(at: tuple[float, float] | None) -> Overflow:
    sill = Level(m=0.03, surface=Surface.MARK, source="typed", origin=Origin.PLANNED)
    return Overflow(level=sill, width_m=0.3, pipe_m=None, at=at)


def read(share: float, doubt: MeterDoubt | None = None) -> tuple[Metered, ...]:
    """Three readings by so many times what was worked out, the last of them in doubt."""
    volumes = ((-0.3, 1.0, None), (-0.2, 2.0, None), (-0.1, 3.0, doubt))
    return tuple(
        Metered(body="pond", level_m=z, meter_m3=share * each, worked_out_m3=each, used=doubt is None, doubt=why)
        for z, each, why in volumes
    )


DAY_CASES: tuple[tuple[str, dict[str, Any], Severity], ...] = (
    ("power.cost", {"price": price(yearly())}, OK),
    ("liner.bare", {"water.losses": losses("1 in")}, OK),
    ("liner.bare", {"water.losses": losses("3 in")}, WATCH),
    ("liner.bare", {"water.losses": losses("6 in")}, WATCH),
    ("liner.bare", {"water.losses": losses("6 in"), "feature.supply": Supply(float_valve=True)}, OK),
    ("liner.usual", {"water.losses": losses("1 in", month=None)}, OK),
    ("liner.usual", {"water.losses": losses("3 in", month=None)}, WATCH),
    ("liner.usual", {"water.losses": losses("6 in", month=None)}, WATCH),
    ("supply.small", {"water.losses": losses("3 in", hose=0.1)}, OK),
    ("supply.small", {"water.losses": losses("3 in", hose=0.5)}, WATCH),
    ("supply.small", {"water.losses": losses("3 in", hose=1.5)}, WATCH),
    ("rain.overflow", {"water.rains": rain(Band(0.02, 0.01, 0.03))}, OK),
    ("rain.overflow", {"water.rains": rain(None)}, WATCH),
    ("overflow.none", {"water.ways_out": way(sill=0.03)}, OK),
    ("overflow.none", {"water.ways_out": way(sill=-0.03)}, WATCH),
    ("overflow.none", {"water.ways_out": way()}, WATCH),
    (
        "spill.way",
        spill("1 in", "footings/house") | {"feature.bodies.0.overflow": notch(None)},
        WATCH,
    ),
    ("overflow.place", {"feature.bodies.0.overflow": notch((1.0, 2.0)), "water.ways_out": way(sill=0.03)}, OK),
    ("overflow.place", {"feature.bodies.0.overflow": notch(None), "water.ways_out": way(sill=0.03)}, WATCH),
    *(
        (code, {"water.ways_out": way(sill=0.03, **{key: exact(stands)})}, severity)
        for code, key in (("overflow.blocked", "blocked"), ("overflow.stuck", "stuck"))
        for stands, severity in (("3 in", OK), ("6 in", WATCH), ("8 in", WATCH))
    ),
    ("water.cloudy", {"water.clearings": (Clearing(body="pond", time_s=Band(9e4, 3e4, 4e5)),)}, OK),
    ("volume.metered", {"water.metered": (Metered(body="pond", level_m=0.0, meter_m3=2.1, worked_out_m3=2.0),)}, OK),
    ("volume.metered", {"water.metered": (Metered(body="pond", level_m=0.0, meter_m3=2.4, worked_out_m3=2.0),)}, WATCH),
    ("volume.metered", {"water.metered": (Metered(body="pond", level_m=0.0, meter_m3=3.0, worked_out_m3=2.0),)}, WATCH),
    ("volume.metered", {"water.metered": read(1.05)}, OK),
    ("volume.metered", {"water.metered": read(1.2)}, WATCH),
    ("volume.readings", {"water.metered": read(1.05)}, OK),
    *(("volume.readings", {"water.metered": read(1.05, doubt)}, WATCH) for doubt in MeterDoubt),
)
