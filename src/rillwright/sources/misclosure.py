"""Named tolerances of a level loop."""

from __future__ import annotations

import math
from functools import cache

from msgspec import Struct

from rillwright.sources.packaged import listed, picked
from rillwright.sources.typed import to_si


class MisclosureRule(Struct, frozen=True, kw_only=True):
    """Tolerance of a loop: `m_per_root_m` [m^0.5] by the root of its length, never below `floor_m` [m]."""

    key: str
    text: str
    m_per_root_m: float
    floor_m: float
    source: str
    seen: bool

    def allowed_m(self, length_m: float | None) -> float:
        """Misclosure allowed round a loop of `length_m` [m]; of unknown length (None) the floor alone [m]."""
        return max(self.floor_m, self.m_per_root_m * math.sqrt(length_m or 0.0))


def _coefficient(row: dict[str, str]) -> float:
    if row["mm_per_root_km"]:
        return to_si(f"{row['mm_per_root_km']} mm", "length") / math.sqrt(to_si("1 km", "length"))
    return to_si(f"{row['ft_per_root_mile']} ft", "length") / math.sqrt(to_si("5280 ft", "length"))


@cache
def _rules() -> dict[str, MisclosureRule]:
    return {
        row["key"]: MisclosureRule(
            key=row["key"],
            text=row["text"],
            m_per_root_m=_coefficient(row),
            floor_m=to_si(f"{row['floor_mm']} mm", "length"),
            source=row["source"],
            seen=row["seen"] == "yes",
        )
        for row in listed("misclosure.csv")
    }


def misclosure_rules() -> tuple[MisclosureRule, ...]:
    """All rules of the table."""
    return tuple(_rules().values())


def misclosure_rule(name: str) -> MisclosureRule:
    """The rule of that name. Raises KeyError with near matches."""
    return picked(_rules(), name, "misclosure rule")
