"""Pipes by nominal size, and loss coefficients of fittings."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from rillwright.sources.packaged import listed, picked
from rillwright.sources.typed import to_si


class PipeSize(Struct, frozen=True, kw_only=True):
    """A pipe as ordered: mean inside diameter, least wall [m]. `seen`: somebody opened the page."""

    name: str
    text: str
    outside_m: float
    wall_m: float
    inside_m: float
    source: str
    seen: bool


class FittingK(Struct, frozen=True, kw_only=True):
    """Loss coefficient `k` [-] of one kind of fitting on the speed in its pipe."""

    kind: str
    text: str
    k: float
    source: str
    seen: bool


@cache
def pipes_inch() -> tuple[PipeSize, ...]:
    """Schedule 40 plastic pipe by average inside diameter, smallest first."""
    return tuple(
        PipeSize(
            name=row["name"],
            text=f"{row['name']} Schedule 40",
            outside_m=to_si(f"{row['outside_in']} in", "length"),
            wall_m=to_si(f"{row['wall_in']} in", "length"),
            inside_m=to_si(f"{row['inside_in']} in", "length"),
            source=row["source"],
            seen=row["seen"] == "yes",
        )
        for row in listed("pipes_inch.csv")
    )


@cache
def pipes_metric() -> tuple[PipeSize, ...]:
    """Polyethylene pressure pipe SDR 17 by mean inside diameter, smallest first."""
    return tuple(_metric(row) for row in listed("pipes_metric.csv"))


def _metric(row: dict[str, str]) -> PipeSize:
    ends = ("outside_least_mm", "outside_greatest_mm", "wall_least_mm", "wall_greatest_mm")
    least, greatest, thin, thick = (to_si(f"{row[end]} mm", "length") for end in ends)
    return PipeSize(
        name=row["name"],
        text=f"{row['name']} PE SDR 17",
        outside_m=(least + greatest) / 2,
        wall_m=thin,
        inside_m=(least + greatest) / 2 - (thin + thick),
        source=row["source"],
        seen=row["seen"] == "yes",
    )


@cache
def _fittings() -> tuple[dict[str, FittingK], dict[str, str]]:
    table: dict[str, FittingK] = {}
    spelt: dict[str, str] = {}
    for row in listed("fittings.csv"):
        kind = row["kind"]
        table[kind] = FittingK(
            kind=kind, text=row["text"], k=float(row["k"]), source=row["source"], seen=row["seen"] == "yes"
        )
        spelt |= {other: kind for other in row["also"].split("|") if other}
    return table, spelt


def fittings() -> tuple[FittingK, ...]:
    """All fittings of the table."""
    return tuple(_fittings()[0].values())


def fitting(kind: str) -> FittingK:
    """The fitting of that kind, in any of its spellings. Raises KeyError with near matches."""
    table, spelt = _fittings()
    plain = " ".join(kind.lower().replace("_", " ").replace("-", " ").split())
    return picked(table, spelt.get(plain, plain), "fitting")
