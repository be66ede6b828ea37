"""What the pumps take in a year, and what that costs; each listed pipe by what it takes in ten."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal

from rillwright.price.result import PipeOverYears, RunningCost
from rillwright.sources import PriceBook, PriceRow, default
from rillwright.units import Band
from rillwright.water import PumpPoint

ELECTRICITY = "electricity_kwh"  # the book's line for energy
_DAYS = 365.25
_CENT = Decimal("0.01")


def running_costs(pumps: Sequence[PumpPoint], book: PriceBook) -> tuple[RunningCost, ...]:
    """What every run takes in a year at the hours a day that are taken, and the money where the book prices energy.

    A listed pipe is told by the energy that a pump takes over the years compared which suits it and the flow wanted;
    what the pipe itself costs is the supplier's to say.
    """
    row = book.find(ELECTRICITY)
    years = int(default("pump.compared_years").number)
    return tuple(_of_run(pump, row, years=years) for pump in pumps if pump.power_w.high > 0.0)


def _of_run(pump: PumpPoint, row: PriceRow | None, *, years: int) -> RunningCost:
    year = _year_j(pump.power_w)
    return RunningCost(
        run=pump.run,
        hours_per_day=default("pump.hours_per_day").number,
        year_j=year,
        low=_money(year.low, row, low=True),
        high=_money(year.high, row, low=False),
        years=years,
        pipes=tuple(
            _over_years(size.pipe, years * _year_j(Band.exact(size.power_w)).value, row) for size in pump.sizes
        ),
    )


def _over_years(pipe: str, energy_j: float, row: PriceRow | None) -> PipeOverYears:
    return PipeOverYears(
        pipe=pipe,
        energy_j=energy_j,
        low=_money(energy_j, row, low=True),
        high=_money(energy_j, row, low=False),
    )


def _year_j(power_w: Band) -> Band:
    return power_w.scale(default("pump.hours_per_day").number * 3600.0 * _DAYS)


def _money(energy_j: float, row: PriceRow | None, *, low: bool) -> Decimal | None:
    if row is None:
        return None
    price = row.low if low else row.high
    return (Decimal(energy_j / row.si_per_unit) * price).quantize(_CENT, rounding=ROUND_HALF_EVEN)
