"""Building it: stakes, and what the machine can do."""

from __future__ import annotations

from dataclasses import dataclass

from rillwright.feature import XY


@dataclass(frozen=True, slots=True, kw_only=True)
class Stake:
    """A set-out point with the level wanted of each surface there [m], or None where there is none."""

    id: str
    path: str
    text: str
    at: XY | None
    station_m: float | None
    dig_m: float | None
    liner_m: float | None
    stone_top_m: float | None
    water_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """A load [kg] against what the machine lifts at its charted radius; None: no machine, by hand."""

    path: str
    what: str
    load_kg: float
    allowed_kg: float
    machine: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessCheck:
    access: str
    width_m: float
    machine: str | None
    machine_width_m: float | None
    fits: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    stakes: tuple[Stake, ...]
    lifts: tuple[Lift, ...]
    accesses: tuple[AccessCheck, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteDay:
    """Today's instrument: date as typed, height of instrument above the datum [m], rod: ft-in | tenths | metric."""

    date: str
    height_of_instrument_m: float
    rod: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StakeReading:
    """What the rod must read at a stake today [m] for each surface; None where there is none."""

    stake: Stake
    dig_m: float | None
    liner_m: float | None
    stone_top_m: float | None
    water_m: float | None
