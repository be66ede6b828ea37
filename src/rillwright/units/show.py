"""Quantities for the eye: in the reader's own units, and never finer than they are known."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from rillwright.units.feet_inches import feet_inches, fixed, whole_steps
from rillwright.units.table import unit


class Style(Struct, frozen=True):
    """How one reader wants quantities: `system` us or metric, the smallest length step, the rod.

    `fraction` is in inches for us and in millimetres for metric.
    """

    system: str
    fraction: Fraction
    rod: str


US = Style("us", Fraction(1, 8), "ft-in")
METRIC = Style("metric", Fraction(1), "metric")

_Choice = tuple[float, str, str, int]  # used from this SI size on [SI], unit as typed, unit as printed, digits

_TIMES: tuple[_Choice, ...] = ((172800, "d", "d", 2), (7200, "h", "h", 2), (120, "min", "min", 2), (0, "s", "s", 2))

_FELT_KGM2 = 0.75  # lighter than this is felt, 4 to 20 oz/sq yd; heavier is sheet, from about 30 mil; common practice

# For each kind and system the units from the largest to the smallest.
_CHOICES: dict[str, dict[str, tuple[_Choice, ...]]] = {
    "area": {"us": ((0, "sq ft", "sq ft", 3),), "metric": ((0, "m2", "m²", 3),)},
    "volume": {
        "us": ((0, "US gal", "US gal", 3),),
        "metric": ((1, "m3", "m³", 3), (0, "L", "L", 3)),
    },
    "earth": {"us": ((0, "cu yd", "cu yd", 2),), "metric": ((0, "m3", "m³", 2),)},
    "flow": {
        "us": ((0, "US gal/h", "US gal/h", 3),),
        "metric": ((1e-4, "L/s", "L/s", 3), (0, "L/h", "L/h", 2)),
    },
    "flow_per_width": {
        "us": ((0, "US gal/h/in", "US gal/h per in", 3),),
        "metric": ((0, "L/s/m", "L/s per m", 3),),
    },
    "speed": {"us": ((0, "ft/s", "ft/s", 2),), "metric": ((0, "m/s", "m/s", 2),)},
    "mass": {
        "us": ((907.18474, "ton", "tons", 2), (0, "lb", "lb", 3)),
        "metric": ((1000, "t", "t", 2), (1, "kg", "kg", 3), (0, "g", "g", 2)),
    },
    "mass_per_area": {  # sheet by the pound, felt by the ounce
        "us": ((_FELT_KGM2, "lb/sq ft", "lb/sq ft", 2), (0, "oz/sq yd", "oz/sq yd", 2)),
        "metric": ((_FELT_KGM2, "kg/m2", "kg/m²", 2), (0, "g/m2", "g/m²", 2)),
    },
    "density": {"us": ((0, "lb/cu ft", "lb/cu ft", 3),), "metric": ((0, "kg/m3", "kg/m³", 3),)},
    "pressure": {"us": ((0, "psi", "psi", 3),), "metric": ((0, "kPa", "kPa", 3),)},
    "power": dict.fromkeys(("us", "metric"), ((10000, "kW", "kW", 3), (0, "W", "W", 3))),
    "energy": dict.fromkeys(("us", "metric"), ((0, "kWh", "kWh", 3),)),
    "angle": dict.fromkeys(("us", "metric"), ((0, "deg", "deg", 3),)),
    "slope": dict.fromkeys(("us", "metric"), ((0, "%", "%", 2),)),
    "share": dict.fromkeys(("us", "metric"), ((0, "%", "%", 2),)),
    "time": dict.fromkeys(("us", "metric"), _TIMES),
}


def style_for(system: str) -> Style:
    """The style of a system, "us" or "metric"."""
    if system not in ("us", "metric"):
        raise ValueError(f"no such system of units: {system!r}; there are us, metric")
    return US if system == "us" else METRIC


def significant(value: float, digits: int) -> str:
    """Write `value` [-] to so many digits that count, as a plain decimal without idle zeros: 1234.5 to 2 is `1200`."""
    if not math.isfinite(value):
        raise ValueError(f"cannot print {value}")
    text = format(Decimal(f"{value:.{digits - 1}e}"), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "0", "") else text


def grouped(number: str, system: str) -> str:
    """A plain decimal with its thousands apart, as a reader of that system writes them: `4,180` us, `4 180` metric.

    The one place that does so. The space is narrow, and no line ends at it.
    """
    sign = "-" if number.startswith("-") else ""
    whole, point, rest = number.removeprefix("-").partition(".")
    apart = f"{int(whole):,}" if whole.isdecimal() else whole
    return sign + (apart if system == "us" else apart.replace(",", "\u202f")) + point + rest


def show(value: float, kind: str, style: Style, *, step: Fraction | None = None) -> str:
    """Write a quantity in the reader's units.

    Parameters
    ----------
    value
        The quantity [SI unit of its kind].
    kind
        A kind of `parse` other than money, or "earth" for a volume of soil or stone.
    style
        The reader's units.
    step
        For a length, the step to round to [in for us, mm for metric]; else the style's own.

    Returns
    -------
    str
        Number and unit [as printed].

    Raises
    ------
    ValueError
        If the value is not finite or the kind cannot be shown.
    """
    if kind == "length":
        return _length(value, style, step)
    if kind == "temperature":
        name = "°F" if style.system == "us" else "°C"
        scale = unit(kind, name)
        return f"{fixed(value / float(scale.size) - float(scale.offset), 0)} {name}"
    return " ".join(_parts(value, kind, _choice(value, kind, style), style))


def show_range(low: float, high: float, kind: str, *, style: Style) -> str:
    """Write `low` to `high` [SI unit of the kind], the unit once where it is the same: `1,100 to 1,300 US gal/h`."""
    if kind in _CHOICES:
        choice = _choice(max(low, high, key=abs), kind, style)
        (first, _), (last, name) = _parts(low, kind, choice, style), _parts(high, kind, choice, style)
        return f"{last} {name}" if first == last else f"{first} to {last} {name}"
    first, last = show(low, kind, style), show(high, kind, style)
    if first == last:
        return last
    for name in (" in", " mm", " m", " °F", " °C"):
        if first.endswith(name) and last.endswith(name):
            return f"{first.removesuffix(name)} to {last}"
    return f"{first} to {last}"


def show_money(amount: Decimal, currency: str) -> str:
    """Write an `amount` of money to its hundredths: `120.00 EUR`."""
    return f"{amount.quantize(Decimal('0.01')):f} {currency}"


def show_money_range(low: Decimal | float, high: Decimal | float, currency: str, *, system: str) -> str:
    """A range of money, `low` to `high` [currency], to three digits: more would be false. `4,180 to 12,600 USD`."""
    first, last = (grouped(str(round(Decimal(significant(float(each), 3)))), system) for each in (low, high))
    return f"{last} {currency}" if first == last else f"{first} to {last} {currency}"


def _choice(value: float, kind: str, style: Style) -> _Choice:
    if kind not in _CHOICES:
        raise ValueError(f"no such kind of quantity to show: {kind!r}")
    choices = _CHOICES[kind][style.system]
    return next((choice for choice in choices if abs(value) >= choice[0] * (1 - 1e-9)), choices[-1])


def _parts(value: float, kind: str, choice: _Choice, style: Style) -> tuple[str, str]:
    _, typed, printed, digits = choice
    size = unit("volume" if kind == "earth" else kind, typed).size
    number = significant(value / float(size), digits)
    return grouped(number, style.system), "ton" if printed == "tons" and number in ("1", "-1") else printed


def _length(value: float, style: Style, step: Fraction | None) -> str:
    if style.system == "us":
        return feet_inches(value, step or style.fraction)
    fine = step or style.fraction
    millimetres = whole_steps(value * 1000, fine) * fine
    if abs(millimetres) < 1000:
        return f"{_plain(millimetres)} mm"
    if step is None:
        return f"{fixed(value, 2 if abs(value) < 100 else 1)} m"
    return f"{fixed(float(millimetres) / 1000, 2 if step % 10 == 0 else 3)} m"


def _plain(value: Fraction) -> str:
    return str(value) if value.denominator == 1 else significant(float(value), 6)
