"""Printed coefficients of weirs, turned to SI: C in m^0.5/s where the page has ft^0.5/s."""

from __future__ import annotations

import math
from functools import cache

from msgspec import Struct

from rillwright.sources.packaged import listed
from rillwright.sources.typed import to_si


class BroadCrestTable(Struct, frozen=True, kw_only=True):
    """C [m^0.5/s] of broad-crested weirs by head and by breadth of the crest along the flow [m]: `c[head][breadth]`."""

    heads_m: tuple[float, ...]
    breadths_m: tuple[float, ...]
    c: tuple[tuple[float, ...], ...]
    source: str = "swmm-2"


class ContractedCrest(Struct, frozen=True, kw_only=True):
    """C = c1 H/P + c2 [m^0.5/s] for a crest that takes `width_share` [-] of its channel."""

    width_share: float
    c1: float
    c2: float
    source: str = "swmm-2"


def _metric(coefficient_us: str) -> float:
    return float(coefficient_us) * math.sqrt(to_si("1 ft", "length"))


@cache
def broad_crest_table() -> BroadCrestTable:
    """Brater and King's table of broad-crested weirs, as the storm water manual prints it."""
    rows = list(listed("broad_crest.csv"))
    breadths = [name for name in rows[0] if name != "head_ft"]
    return BroadCrestTable(
        heads_m=tuple(to_si(f"{row['head_ft']} ft", "length") for row in rows),
        breadths_m=tuple(to_si(f"{breadth} ft", "length") for breadth in breadths),
        c=tuple(tuple(_metric(row[breadth]) for breadth in breadths) for row in rows),
    )


@cache
def contracted_crest_table() -> tuple[ContractedCrest, ...]:
    """Kindsvater and Carter's coefficients by share of the channel's width, rising."""
    return tuple(
        ContractedCrest(width_share=float(row["width_share"]), c1=_metric(row["c1_us"]), c2=_metric(row["c2_us"]))
        for row in listed("contracted_crest.csv")
    )
