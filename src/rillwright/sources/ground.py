"""Soils, rock and gravel as tables."""

from __future__ import annotations

import itertools
import math
from functools import cache

from msgspec import Struct

from rillwright.sources.packaged import listed, picked
from rillwright.sources.typed import to_si


class Soil(Struct, frozen=True, kw_only=True):
    """A soil: steepest side of a shallow cut [up per across; inf is vertical], swell, loose over bank [-], and shrink,
    placed over bank [-]."""

    key: str
    text: str
    osha_class: str  # rock | A | B | C
    up_per_across: float
    source: str
    swell: float
    swell_source: str
    shrink: float
    shrink_source: str


class RockDensity(Struct, frozen=True, kw_only=True):
    """Density of a solid rock [kg/m3], low to high."""

    rock: str
    low_kgm3: float
    high_kgm3: float
    source: str
    seen: bool


class Gradation(Struct, frozen=True, kw_only=True):
    """A gravel by its number: (opening [m], least and most share passing [-]) from the widest sieve down."""

    number: str
    nominal: str
    sieves: tuple[tuple[float, float, float], ...]
    source: str
    seen: bool

    @property
    def median_m(self) -> float:
        """Grain size [m] of which half passes, on the middle of the envelope, linear in the logarithm of size."""
        passing = [(opening, (least + most) / 2) for opening, least, most in self.sieves]
        for (wide, above), (narrow, below) in itertools.pairwise(passing):
            if below <= 0.5 <= above:
                part = (0.5 - below) / (above - below)
                return math.exp(math.log(narrow) + part * math.log(wide / narrow))
        raise ValueError(f"gradation {self.number} does not cross one half")


@cache
def _soils() -> dict[str, Soil]:
    return {
        row["key"]: Soil(
            key=row["key"],
            text=row["text"],
            osha_class=row["class"],
            up_per_across=1.0 / float(row["across_per_down"]) if float(row["across_per_down"]) else math.inf,
            source=row["source"],
            swell=float(row["swell"]),
            swell_source=row["swell_source"],
            shrink=float(row["shrink"]),
            shrink_source=row["shrink_source"],
        )
        for row in listed("soils.csv")
    }


def soils() -> tuple[Soil, ...]:
    """All soils of the table."""
    return tuple(_soils().values())


def soil(key: str) -> Soil:
    """The soil of that key. Raises KeyError with near matches."""
    return picked(_soils(), key, "soil")


@cache
def rock_densities() -> tuple[RockDensity, ...]:
    """Densities of solid rock."""
    return tuple(
        RockDensity(
            rock=row["rock"],
            low_kgm3=to_si(f"{row['low_t_m3']} t/m3", "density"),
            high_kgm3=to_si(f"{row['high_t_m3']} t/m3", "density"),
            source=row["source"],
            seen=row["seen"] == "yes",
        )
        for row in listed("stone_density.csv")
    )


@cache
def _gradations() -> dict[str, Gradation]:
    rows: dict[str, list[dict[str, str]]] = {}
    for row in listed("gradations.csv"):
        rows.setdefault(row["number"], []).append(row)
    return {
        number: Gradation(
            number=number,
            nominal=group[0]["nominal"],
            sieves=tuple(
                (to_si(f"{row['opening_mm']} mm", "length"), float(row["least"]) / 100, float(row["most"]) / 100)
                for row in group
            ),
            source=group[0]["source"],
            seen=all(row["seen"] == "yes" for row in group),
        )
        for number, group in rows.items()
    }


def gradations() -> tuple[Gradation, ...]:
    """All gradations of the table."""
    return tuple(_gradations().values())


def gradation(number: str) -> Gradation:
    """The gravel of that number. Raises KeyError with near matches."""
    return picked(_gradations(), number, "gradation")
