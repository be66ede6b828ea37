"""What lies under and over an edge of liner: fill and what it settles, cover and how high water climbs in it."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from rillwright.sources.packaged import listed, picked
from rillwright.sources.typed import to_si
from rillwright.units import Band


class Fill(Struct, frozen=True, kw_only=True):
    """A kind of fill, and the share of its height by which it settles [-]."""

    key: str
    text: str
    settles: Band
    source: str


class Cover(Struct, frozen=True, kw_only=True):
    """What lies over an edge of liner, and how high water may climb in it by itself [m]: a ceiling, no prediction."""

    key: str
    text: str
    rise_m: float
    source: str
    seen: bool


@cache
def _fills() -> dict[str, Fill]:
    return {
        row["key"]: Fill(
            key=row["key"],
            text=row["text"],
            settles=Band(float(row["typical"]), float(row["low"]), float(row["high"])),
            source=row["source"],
        )
        for row in listed("fills.csv")
    }


@cache
def _covers() -> dict[str, Cover]:
    return {
        row["key"]: Cover(
            key=row["key"],
            text=row["text"],
            rise_m=to_si(f"{row['rise_cm']} cm", "length"),
            source=row["source"],
            seen=row["seen"] == "yes",
        )
        for row in listed("wicking.csv")
    }


def fills() -> tuple[Fill, ...]:
    """All kinds of fill of the table."""
    return tuple(_fills().values())


def fill(key: str) -> Fill:
    """The fill of that key. Raises KeyError with near matches."""
    return picked(_fills(), key, "fill")


def covers() -> tuple[Cover, ...]:
    """All that may lie over an edge, of the table."""
    return tuple(_covers().values())


def cover(key: str) -> Cover:
    """The cover of that key. Raises KeyError with near matches."""
    return picked(_covers(), key, "cover")
