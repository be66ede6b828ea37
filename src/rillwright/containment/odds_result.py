"""How often the worst ordinary day spills, over what a crew's work may come out as: for the builder alone."""

from __future__ import annotations

from msgspec import Struct

from rillwright.units import Band


class WorstRim(Struct, frozen=True, kw_only=True):
    """In which share of all samples water spills at this rim, bank or upturn first [-]."""

    path: str
    share: float


class WaterOdds(Struct, frozen=True, kw_only=True):
    """One body or reach: chance that it spills [-] with its standard error from sampling, and where it then does.

    `spare_m`: what the lowest place of its rim has to spare [m], in half of the samples at most, in 5 of 100, in 95.
    """

    water: str
    chance: float
    chance_error: float
    spare_m: Band
    worst: tuple[WorstRim, ...]


class Confirmed(Struct, frozen=True, kw_only=True):
    """Samples that were worked out anew in full, with every level moved; in how many the answers agree, and how far
    they were apart at most [m].
    """

    samples: int
    agree: int
    apart_m: float


class Odds(Struct, frozen=True, kw_only=True):
    """Chance that the worst ordinary day spills anywhere [-] and, by body and reach, where.

    `chance_if_read` [-] is what would be left of it if the ground between the readings were as it is taken. `setups`
    are the set-ups whose levels share an error.
    """

    chance: float
    chance_error: float
    chance_if_read: float
    waters: tuple[WaterOdds, ...]
    cases: tuple[str, ...]
    setups: tuple[str, ...]
    samples: int
    seed: int
    confirmed: Confirmed
