"""Typed text of a data file to SI, by kind. All conversion is that of `units`."""

from __future__ import annotations

from rillwright import units

# SI unit in which a value of each kind is held and reported
UNIT_OF_KIND = {
    "length": "m",
    "area": "m2",
    "volume": "m3",
    "flow": "m3/s",
    "flow_per_width": "m3/(s m)",
    "speed": "m/s",
    "mass": "kg",
    "mass_per_area": "kg/m2",
    "mass_per_length": "kg/m",
    "density": "kg/m3",
    "power": "W",
    "energy": "J",
    "pressure": "Pa",
    "angle": "rad",
    "share": "-",
    "ratio": "-",
    "slope": "-",  # up per across
    "count": "-",
    "weir_coefficient": "m^0.5/s",
    "hours": "h",
    "temperature": "degC",
    "word": "",
}


def to_si(typed: str | float, kind: str) -> float:
    """Value in the SI unit of its kind; a plain number of a data file stands for itself.

    `units` has no kind for mass by length: it is typed as 'mass per length' and divided here.
    """
    if isinstance(typed, int | float):
        return float(typed)
    if kind == "mass_per_length":
        mass, length = typed.split(" per ")
        return units.parse(mass, "mass").si / units.parse(f"1 {length}", "length").si
    return units.parse(typed, kind).si
