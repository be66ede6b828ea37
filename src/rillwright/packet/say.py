"""Values as they stand on paper: the reader's units, ranges where there is one, fractions as fractions."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from decimal import Decimal

from msgspec import Struct

from rillwright.drawings import level, quantity, typeset
from rillwright.units import (
    KIND_OF_SI_UNIT,
    Band,
    Term,
    grouped,
    parse,
    show_money_range,
    show_range,
    significant,
    style_for,
)

_PLAIN = {"each": "", "lot": "", "-": "", "": "", "h": " h", "degC": " °C", "K": " K"}
THIN = "\u200b"  # where a long word may be broken


class Say(Struct, frozen=True):
    """How one reader wants quantities: `system` us or metric."""

    system: str

    def level(self, level_m: float | None) -> str:
        """A level [m] with its sign, or a dash where there is none."""
        return "–" if level_m is None else level(level_m, self.system)

    def one(self, value: float, unit: str, *, kind: str | None = None) -> str:
        """A value in SI `unit` [SI]."""
        if not math.isfinite(value):
            return "without bound"
        found = kind if kind not in (None, "ratio", "count", "word", "hours") else KIND_OF_SI_UNIT.get(unit)
        if unit == "kg/m" and self.system == "us":
            return f"{quantity(value * float(parse('1 ft', 'length').si), 'mass', self.system)}/ft"
        if found in ("weir_coefficient", "mass_per_length", "temperature") or found is None:
            return f"{_number(value)}{_PLAIN.get(unit, ' ' + unit)}"
        return quantity(value, found, self.system)

    def soil(self, value_m3: float) -> str:
        """A volume of soil [m3] as it is ordered and carted."""
        return quantity(value_m3, "earth", self.system)

    def span(self, low: float, high: float, unit: str, *, kind: str | None = None) -> str:
        """From `low` to `high` in SI `unit` [SI]."""
        if not (math.isfinite(low) and math.isfinite(high)):
            first, last = self.one(low, unit, kind=kind), self.one(high, unit, kind=kind)
            if math.isfinite(low):
                return f"{first} or more"
            return first if first == last else f"{first} to {last}"
        found = kind or KIND_OF_SI_UNIT.get(unit)
        if found is None:
            first, last = _number(low), _number(high)
            tail = _PLAIN.get(unit, " " + unit)
            return f"{last}{tail}" if first == last else f"{first} to {last}{tail}"
        return typeset_range(show_range(low, high, found, style=style_for(self.system)))

    def may_be(self, band: Band, unit: str) -> str:
        """What else a value may be, in SI `unit`; nothing where its band prints as one figure."""
        span = self.span(band.low, band.high, unit)
        return f"may be {span}" if " to " in span else ""

    def band(self, band: Band, unit: str) -> str:
        """The range of a band in SI `unit`."""
        return self.span(band.low, band.high, unit)

    def terms(self, terms: Iterable[Term]) -> str:
        """The numbers that a quantity came from."""
        return "; ".join(f"{term.name} {self.one(term.value, term.unit, kind=term.kind or None)}" for term in terms)

    def money(self, low: Decimal, high: Decimal, currency: str) -> str:
        """A range of money to three digits: more would be false."""
        return show_money_range(low, high, currency, system=self.system)


def rough(text: str) -> str:
    """A printed guess to two digits that count: 57.9 to 144 W is 58 to 140 W."""

    def two(found: re.Match[str]) -> str:
        plain = re.sub(r"[,\u202f]", "", found[0])
        return grouped(significant(float(plain), 2), "us" if "," in found[0] else "metric")

    return re.sub(r"\d+(?:[,\u202f]\d{3})*(?:\.\d+)?", two, text)


def typeset_range(text: str) -> str:
    """A printed range with true fractions and primes at both ends."""
    return " to ".join(typeset(part) for part in text.split(" to "))


def _number(value: float) -> str:
    return significant(value, 3).replace("-", "−")


def breakable(text: str) -> str:
    """Words in which a path or a very long name may be broken at the end of a line."""
    out = re.sub(r"(?<=[^\W\d])[._/](?=[^\W\d])", lambda match: match[0] + THIN, text)
    return " ".join(
        THIN.join(word[i : i + 18] for i in range(0, len(word), 18)) if len(word) > 26 and THIN not in word else word
        for word in out.split(" ")
    )


_UNIT = "mm|m|m²|m³|L|L/s|L/h|m/s|ft/s|ft|kg|kg/m²|g|t|tons?|lb|US gal|US gal/h|cu yd|sq ft|%|W|kW|h|min|USD|EUR"
_NUMBER_AND_UNIT = re.compile(rf"(?<=[\d½¼¾⅛⅜⅝⅞]) (?=(?:{_UNIT})(?![\w²³/]))|(?<=\d′) (?=[\d½¼¾⅛⅜⅝⅞])")


def unbroken(text: str) -> str:
    """Words in which no line ends between a number and its unit, nor between feet and inches."""
    return _NUMBER_AND_UNIT.sub("\u00a0", text).replace("US gal", "US\u00a0gal")


def fitted(text: str, room_mm: float, *, cap_mm: float, weight: str = "regular") -> str:
    """Words cut at the end, and said to be, so that they take no more than `room_mm` [mm] at capitals `cap_mm` [mm]."""
    from rillwright.drawings import width_mm

    text = " ".join(text.split())
    if width_mm(text, cap_mm, weight=weight) <= room_mm:
        return text
    while text and width_mm(text + " …", cap_mm, weight=weight) > room_mm:
        text = text[:-1]
    return text.rstrip(" ,;") + " …"
