"""Every unit that can be typed, as data: kind, name, other spellings, and its exact size in SI."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cache
from typing import NamedTuple

# Defined sizes: international yard and pound (1959), US gallon of 231 cubic inches, standard gravity (CGPM 1901).
FOOT_M = Fraction(3048, 10000)
INCH_M = FOOT_M / 12
GALLON_M3 = 231 * INCH_M**3
POUND_KG = Fraction(45359237, 10**8)
GRAVITY = Fraction(980665, 10**5)
HORSEPOWER_W = 550 * FOOT_M * POUND_KG * GRAVITY  # 550 foot-pounds a second
PSI_PA = POUND_KG * GRAVITY / INCH_M**2
WATER_METRE_PA = 1000 * GRAVITY  # conventional metre of water, 1000 kg/m3

_YARD = 3 * FOOT_M
_LITRE = Fraction(1, 1000)
_OUNCE = POUND_KG / 16
_TON = 2000 * POUND_KG
_DEGREE = Fraction(math.pi) / 180


KIND_OF_SI_UNIT = {
    "m": "length",
    "m2": "area",
    "m3": "volume",
    "m3 of soil": "earth",  # told in other units than one of water
    "m3/s": "flow",
    "m3/(s m)": "flow_per_width",
    "m/s": "speed",
    "kg": "mass",
    "kg/m2": "mass_per_area",
    "kg/m3": "density",
    "W": "power",
    "J": "energy",
    "Pa": "pressure",
    "rad": "angle",
    "s": "time",
}  # what a value in that SI unit is shown as


class Unit(NamedTuple):
    """One unit: SI value = (number + `offset`) x `size`."""

    name: str
    size: Fraction
    offset: Fraction = Fraction(0)


_Line = tuple[str, Fraction | int]

# The first spelling is the unit's name; messages list the names in this order.
_TABLE: dict[str, tuple[_Line, ...]] = {
    "length": (
        ("ft|'|feet|foot", FOOT_M),
        ('in|"|inch|inches', INCH_M),
        ("m|metre|metres|meter|meters", 1),
        ("cm", Fraction(1, 100)),
        ("mm", Fraction(1, 1000)),
        ("yd|yard|yards", _YARD),
        ("mil|mils", INCH_M / 1000),
        ("km", 1000),
    ),
    "area": (
        ("sq ft|sqft|ft2", FOOT_M**2),
        ("sq yd|sqyd|yd2", _YARD**2),
        ("sq in|sqin|in2", INCH_M**2),
        ("m2|sq m|sqm", 1),
        ("cm2|sq cm", Fraction(1, 10**4)),
        ("ha", 10**4),
        ("acre|acres", 43560 * FOOT_M**2),
    ),
    "volume": (
        ("US gal|gal|gallon|gallons|US gallon|US gallons", GALLON_M3),
        ("L|l|litre|litres|liter|liters", _LITRE),
        ("m3|cu m", 1),
        ("cu ft|cuft|ft3", FOOT_M**3),
        ("cu yd|cuyd|yd3", _YARD**3),
        ("cu in|cuin|in3", INCH_M**3),
        ("mL|ml", Fraction(1, 10**6)),
    ),
    "flow": (
        ("US gal/h|gal/h|gallons/h|US gallons/h|gph|US gph|GPH", GALLON_M3 / 3600),
        ("US gal/min|gal/min|gallons/min|US gallons/min|gpm|US gpm|GPM", GALLON_M3 / 60),
        ("L/s|l/s|litres/s|lps", _LITRE),
        ("L/min|l/min|litres/min|lpm", _LITRE / 60),
        ("L/h|l/h|litres/h|lph", _LITRE / 3600),
        ("m3/h|cu m/h", Fraction(1, 3600)),
        ("m3/min", Fraction(1, 60)),
        ("m3/s", 1),
        ("cfs|cu ft/s|ft3/s", FOOT_M**3),
        ("cu ft/min|ft3/min", FOOT_M**3 / 60),
    ),
    "flow_per_width": (
        ("US gal/h/in|gal/h/in|gph/in|gph/inch|gal/h/inch", GALLON_M3 / 3600 / INCH_M),
        ("US gal/min/ft|gal/min/ft|gpm/ft", GALLON_M3 / 60 / FOOT_M),
        ("L/s/m", _LITRE),
        ("L/min/m", _LITRE / 60),
        ("m3/h/m", Fraction(1, 3600)),
    ),
    "speed": (("ft/s|fps", FOOT_M), ("m/s", 1), ("cm/s", Fraction(1, 100))),
    "mass": (
        ("lb|lbs|pound|pounds", POUND_KG),
        ("ton|tons|short ton|short tons|US ton|US tons", _TON),
        ("oz|ounce|ounces", _OUNCE),
        ("kg", 1),
        ("g|gram|grams", Fraction(1, 1000)),
        ("t|tonne|tonnes|metric ton|metric tons", 1000),
    ),
    "mass_per_area": (
        ("lb/sq ft|lb/ft2|lbs/sq ft|lb/sqft|psf", POUND_KG / FOOT_M**2),
        ("oz/sq yd|oz/yd2|oz/sqyd", _OUNCE / _YARD**2),
        ("kg/m2", 1),
        ("g/m2|gsm", Fraction(1, 1000)),
    ),
    "density": (
        ("lb/cu ft|lb/ft3|lbs/cu ft|lb/cuft|pcf", POUND_KG / FOOT_M**3),
        ("ton/cu yd|tons/cu yd|ton/yd3|tons/yd3", _TON / _YARD**3),
        ("lb/cu yd|lb/yd3", POUND_KG / _YARD**3),
        ("kg/m3", 1),
        ("t/m3", 1000),
        ("kg/L|g/cm3", 1000),
    ),
    "slope": (
        ("%|percent", Fraction(1, 100)),
        ("‰", Fraction(1, 1000)),
        ("in/ft|\"/ft|\"/'|in/'|inch/foot|inches/foot", Fraction(1, 12)),
        ("mm/m", Fraction(1, 1000)),
        ("cm/m", Fraction(1, 100)),
        ("ft/ft", 1),
        ("m/m", 1),
    ),
    "pressure": (
        ("psi|lb/sq in|lb/in2", PSI_PA),
        ("ftH2O|ft H2O|ft water|ft of water|ft of head|ft head", WATER_METRE_PA * FOOT_M),
        ("kPa", 1000),
        ("Pa", 1),
        ("bar", 10**5),
        ("mbar|hPa", 100),
        ("mH2O|m H2O|m water|m of water|m of head|m head|mWC", WATER_METRE_PA),
    ),
    "power": (("W|watt|watts", 1), ("kW", 1000), ("hp|HP|horsepower", HORSEPOWER_W)),
    "energy": (("kWh", 3600000), ("Wh", 3600), ("MJ", 10**6), ("J", 1)),
    "angle": (("deg|°|degree|degrees", _DEGREE), ("rad", 1)),
    "time": (
        ("s|sec|second|seconds", 1),
        ("min|minute|minutes", 60),
        ("h|hr|hrs|hour|hours", 3600),
        ("d|day|days", 86400),
    ),
    "share": (("%|percent", Fraction(1, 100)), ("‰", Fraction(1, 1000))),
}

_TEMPERATURES = (
    ("°F|F|degF|deg F", Unit("°F", Fraction(5, 9), Fraction(45967, 100))),
    ("°C|C|degC|deg C", Unit("°C", Fraction(1), Fraction(27315, 100))),
    ("K", Unit("K", Fraction(1))),
)

KINDS: tuple[str, ...] = (*_TABLE, "temperature", "money")

# Kinds that cannot be less than nothing; lengths, slopes, pressures, angles and money can.
_SIGNED = ("length", "slope", "pressure", "angle", "temperature", "money")
NOT_NEGATIVE = frozenset(kind for kind in KINDS if kind not in _SIGNED)


@cache
def units_of(kind: str) -> dict[str, Unit]:
    """Spelling to unit for one kind; lower-case spellings are added where they clash with nothing."""
    spelt: dict[str, Unit] = {}
    lines = [(names, Unit(names.split("|")[0], Fraction(size))) for names, size in _TABLE.get(kind, ())]
    if kind == "temperature":
        lines.extend(_TEMPERATURES)
    for names, unit in lines:
        for name in names.split("|"):
            spelt[name] = unit
    for name, unit in list(spelt.items()):
        spelt.setdefault(name.lower(), unit)
    return spelt


@cache
def unit_names(kind: str) -> str:
    """The units of a kind, as a message lists them."""
    return ", ".join(dict.fromkeys(unit.name for unit in units_of(kind).values()))


def unit(kind: str, name: str) -> Unit:
    """The unit of a kind by its name or another spelling."""
    return units_of(kind)[name]
