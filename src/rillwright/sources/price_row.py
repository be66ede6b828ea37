"""One line of a price book."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import cache

from msgspec import Struct

from rillwright.errors import Problem
from rillwright.sources.typed import UNIT_OF_KIND, to_si

COLUMNS = ("item", "unit", "low", "high", "currency", "hours_low", "hours_high", "note")

# Units in which things are sold, and the kind of each; None is counted.
SALE_UNITS: dict[str, str | None] = {
    "each": None,
    "lot": None,
    "hour": None,
    "m": "length",
    "ft": "length",
    "m2": "area",
    "sq ft": "area",
    "sq yd": "area",
    "m3": "volume",
    "cu ft": "volume",
    "cu yd": "volume",
    "kg": "mass",
    "t": "mass",
    "lb": "mass",
    "ton": "mass",
    "kWh": "energy",
}
_NUMBER = re.compile(r"\d{1,9}(\.\d{1,6})?")
_CURRENCY = re.compile(r"[A-Z]{3}")
_ITEM = re.compile(r"[a-z][a-z0-9_]*")


class PriceRow(Struct, frozen=True, kw_only=True):
    """Money and hours for one `unit` of an item; `si_per_unit` is that unit in `si_unit` (m, m2, m3, kg, J or each)."""

    item: str
    unit: str
    si_unit: str
    si_per_unit: float
    low: Decimal
    high: Decimal
    currency: str
    hours_low: float
    hours_high: float
    note: str
    line: int


@cache
def sale_unit(unit: str) -> tuple[str, float]:
    """SI unit of a sale unit, and its size in it. Raises KeyError."""
    kind = SALE_UNITS[unit]
    return ("each", 1.0) if kind is None else (UNIT_OF_KIND[kind], to_si(f"1 {unit}", kind))


def read_row(header: list[str], fields: list[str], *, line: int, file: str, problems: list[Problem]) -> PriceRow | None:
    """The row, or None with its problems added to `problems`."""
    if len(fields) != len(header):
        message = f"{len(fields)} fields where the header has {len(header)}"
        problems.append(Problem(message=message, file=file, line=line, found=",".join(fields)[:80]))
        return None
    value = dict(zip(header, fields, strict=True))
    wrong: list[Problem] = []

    def refuse(field: str, message: str, allowed: str) -> None:
        wrong.append(
            Problem(message=message, file=file, line=line, field=field, found=repr(value[field]), allowed=allowed)
        )

    for field in ("low", "high", "hours_low", "hours_high"):
        if not _NUMBER.fullmatch(value[field]):
            refuse(field, "not a plain number", "digits with a decimal point, as in 12.50, not below 0")
    if not _ITEM.fullmatch(value["item"]):
        refuse("item", "not the key of an item", "small letters, digits and _, as in liner_m2")
    if value["unit"] not in SALE_UNITS:
        refuse("unit", "not a unit of sale", ", ".join(SALE_UNITS))
    if not _CURRENCY.fullmatch(value["currency"]):
        refuse("currency", "not a currency code", "three capitals, as in USD or EUR")
    if not wrong:
        for low, high in (("low", "high"), ("hours_low", "hours_high")):
            if Decimal(value[low]) > Decimal(value[high]):
                refuse(low, f"more than {high}", f"at most {value[high]}")
    if wrong:
        problems += wrong
        return None
    si_unit, si_per_unit = sale_unit(value["unit"])
    return PriceRow(
        item=value["item"],
        unit=value["unit"],
        si_unit=si_unit,
        si_per_unit=si_per_unit,
        low=Decimal(value["low"]),
        high=Decimal(value["high"]),
        currency=value["currency"],
        hours_low=float(value["hours_low"]),
        hours_high=float(value["hours_high"]),
        note=value["note"],
        line=line,
    )
