"""What air and splash take from a body, and what makes it up."""

from __future__ import annotations

import math

from rillwright.feature import Body, BodyKind, Climate, Feature, Month
from rillwright.hydraulics import MONTH_DAYS, MONTH_MEAN_DAY, Weather, open_water_loss
from rillwright.shape import PondShape, level_at, volume_at
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.result import Losses, MonthLoss

_DAY_H = 24


def losses(feature: Feature, body: Body, pond: PondShape, drawn_m3s: float) -> Losses:
    """What a body loses, with `drawn_m3s` [m3/s] running down its streams all day long.

    A buried reservoir has no open water of its own; the streams that run into it have. The surface as held is taken for
    the whole week: it shrinks as it falls, so this is a little too much.
    """
    open_m2 = _open_m2(feature, body, pond)
    months = tuple(MonthLoss(month=one.month, day_m=_of_month(one, feature.climate)) for one in feature.climate.months)
    worst = max(months, key=lambda one: one.day_m.value, default=None)
    dry = default("climate.dry_day").band if worst is None else worst.day_m
    part = default("climate.splash").band
    splash = part.scale(drawn_m3s * default("pump.hours_per_day").number * 3600.0)
    day = dry.scale(open_m2) + splash
    held, full = body.waterline.m, volume_at(pond, body.waterline.m)
    days = default("climate.dry_spell").number / _DAY_H
    drops = [held - level_at(pond, max(full - days * each, 0.0)) for each in (day.value, day.low, day.high)]
    hose = feature.supply.hose_m3s
    return Losses(
        body=body.id,
        open_m2=open_m2,
        months=months,
        dry_day_m=dry,
        dry_month=None if worst is None else worst.month,
        splash_m3=splash,
        day_m3=day,
        week_drop_m=band_of(drops[0], *drops[1:]),
        hose_share=None if hose is None else day.scale(1.0 / (hose * _DAY_H * 3600.0)),
        fill_s=None if hose is None else pond.volume_m3 / hose,
    )


def _open_m2(feature: Feature, body: Body, pond: PondShape) -> float:
    own = pond.area_m2 if body.kind is BodyKind.POND else 0.0
    return own + sum(
        reach.open_width_m * reach.length_m
        for stream in feature.streams
        if stream.into == body.id
        for reach in stream.reaches
    )


def _of_month(month: Month, climate: Climate) -> Band:
    """Open water lost on a mean day [m]: as said, or by its weather."""
    if month.evaporation_m is not None:
        return Band.exact(month.evaporation_m / MONTH_DAYS[month.month - 1])
    return open_water_loss(
        Weather(
            day_of_year=MONTH_MEAN_DAY[month.month - 1],
            latitude_rad=climate.latitude_rad or 0.0,
            elevation_m=climate.elevation_m,
            high_c=month.high_c if month.high_c is not None else math.nan,
            low_c=month.low_c if month.low_c is not None else math.nan,
            humidity_high=month.humidity_high if month.humidity_high is not None else math.nan,
            humidity_low=month.humidity_low if month.humidity_low is not None else math.nan,
            wind_ms=month.wind_ms if month.wind_ms is not None else math.nan,
            sun_h=month.sun_h,
        )
    ).loss_m
