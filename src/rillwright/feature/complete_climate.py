"""Climate, supply and fill meter, completed; and what rain brings to a pond and takes from it."""

from __future__ import annotations

from rillwright.feature.filling import Filling
from rillwright.feature.levels import Origin, Surface
from rillwright.feature.model import Body
from rillwright.feature.model_climate import Catchment, Climate, Filled, Month, Overflow, Supply
from rillwright.feature.resolve import Levels
from rillwright.feature.schema import PondSaid
from rillwright.feature.schema_climate import MONTHS, ClimateSaid, FilledSaid, MonthSaid, SupplySaid
from rillwright.feature.yaml_text import Location
from rillwright.sources import default

_FREEZING_K = 273.15


def climate(said: ClimateSaid | None, filling: Filling) -> Climate:
    """The climate as said. A month's weather needs the latitude; what nobody said stays unknown."""
    if said is None:
        return Climate()
    seen: set[str] = set()
    for index, row in enumerate(said.months):
        place = ("climate", "months", index)
        if row.month in seen:
            filling.wrong((*place, "month"), "this month is given twice", found=row.month, allowed="a month once")
        seen.add(row.month)
        if row.evaporation is None and said.latitude is None:
            filling.wrong(
                place,
                "weather is of no use without the latitude",
                allowed="'latitude' of the climate, or 'evaporation'",
            )
        if row.high is not None and row.low is not None and row.high.si < row.low.si:
            filling.wrong(
                (*place, "high"), "is colder than 'low'", found=row.high.text, allowed=f"above {row.low.text}"
            )
        if row.humidity is not None and max(each.si for each in row.humidity) > 1.0:
            filling.wrong((*place, "humidity"), "is more than all", allowed="two shares up to 100 %, lowest first")
    rain, lasts = said.design_rain, default("climate.rain_lasts").number
    if rain is not None and rain.lasts is None:
        lasts = filling.number("climate.rain_lasts", "feature/climate.design_rain.lasts")
    return Climate(
        latitude_rad=said.latitude.si if said.latitude else None,
        elevation_m=said.elevation.si if said.elevation else 0.0,
        months=tuple(_month(row) for row in said.months),
        rain_m=rain.depth.si if rain else None,
        rain_s=rain.lasts.si if rain and rain.lasts else lasts * 3600.0,
        frost_m=said.frost_depth.si if said.frost_depth else None,
    )


def _month(said: MonthSaid) -> Month:
    dry, damp = sorted(each.si for each in said.humidity) if said.humidity else (None, None)
    return Month(
        month=MONTHS.index(said.month) + 1,
        evaporation_m=said.evaporation.si if said.evaporation else None,
        high_c=said.high.si - _FREEZING_K if said.high else None,
        low_c=said.low.si - _FREEZING_K if said.low else None,
        humidity_low=dry,
        humidity_high=damp,
        wind_ms=said.wind.si if said.wind else None,
        sun_h=said.sun.si / 3600.0 if said.sun else None,
    )


def supply(said: SupplySaid | None) -> Supply:
    """What fills and tops up, as said."""
    if said is None:
        return Supply()
    return Supply(hose_m3s=said.hose.si if said.hose else None, float_valve=said.float_valve)


def filled(rows: list[FilledSaid], *, levels: Levels, bodies: dict[str, Body]) -> tuple[Filled, ...]:
    """Readings of the fill meter, each at the body it fills."""
    found: list[Filled] = []
    for index, row in enumerate(rows):
        place = ("filled", index)
        body = row.pond or (next(iter(bodies)) if len(bodies) == 1 else None)
        if body not in bodies:
            allowed = ", ".join(bodies)
            levels.filling.wrong((*place, "pond"), "must name a pond here", found=row.pond or "", allowed=allowed)
            continue
        level = levels.resolve(row.level, Surface.WATER, (*place, "level"), origin=Origin.MEASURED)
        if level is not None:
            found.append(Filled(body=body, meter_m3=row.meter.si, level=level))
    return tuple(found)


def catchments(said: PondSaid) -> tuple[Catchment, ...]:
    """What drains into a pond beside its own water; all of it, where no share is said."""
    return tuple(Catchment(area_m2=row.area.si, share=row.share.si if row.share else 1.0) for row in said.catchment)


def overflow(said: PondSaid, location: Location, levels: Levels) -> Overflow | None:
    """A pond's overflow as said."""
    if said.overflow is None:
        return None
    level = levels.resolve(said.overflow.level, Surface.MARK, (*location, "overflow", "level"), origin=Origin.PLANNED)
    if level is None:
        return None
    return Overflow(
        level=level,
        width_m=said.overflow.width.si if said.overflow.width else None,
        pipe_m=said.overflow.pipe.si if said.overflow.pipe else None,
        at=None if said.overflow.at is None else (said.overflow.at[0].si, said.overflow.at[1].si),
        ends=None if said.overflow.ends is None else (said.overflow.ends[0].si, said.overflow.ends[1].si),
    )
