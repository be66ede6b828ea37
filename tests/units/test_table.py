"""Every unit that can be typed against an independent library."""

from __future__ import annotations

import pytest
from scipy import constants

from rillwright.units import KINDS, parse, unit_names

LIBRARY = [
    ("length", "in", constants.inch),
    ("length", "ft", constants.foot),
    ("length", "yd", constants.yard),
    ("length", "mil", constants.mil),
    ("length", "cm", constants.centi),
    ("length", "mm", constants.milli),
    ("length", "km", constants.kilo),
    ("area", "acre", constants.acre),
    ("area", "ha", constants.hectare),
    ("area", "sq in", constants.inch**2),
    ("area", "sq ft", constants.foot**2),
    ("area", "sq yd", constants.yard**2),
    ("area", "cm2", constants.centi**2),
    ("volume", "US gal", constants.gallon_US),
    ("volume", "L", constants.liter),
    ("volume", "mL", constants.liter / 1000),
    ("volume", "cu in", constants.inch**3),
    ("volume", "cu ft", constants.foot**3),
    ("volume", "cu yd", constants.yard**3),
    ("flow", "US gal/h", constants.gallon_US / constants.hour),
    ("flow", "US gal/min", constants.gallon_US / constants.minute),
    ("flow", "L/s", constants.liter),
    ("flow", "L/min", constants.liter / constants.minute),
    ("flow", "L/h", constants.liter / constants.hour),
    ("flow", "m3/h", 1 / constants.hour),
    ("flow", "m3/min", 1 / constants.minute),
    ("flow", "cfs", constants.foot**3),
    ("flow", "cu ft/min", constants.foot**3 / constants.minute),
    ("flow_per_width", "US gal/h/in", constants.gallon_US / constants.hour / constants.inch),
    ("flow_per_width", "US gal/min/ft", constants.gallon_US / constants.minute / constants.foot),
    ("flow_per_width", "L/s/m", constants.liter),
    ("flow_per_width", "L/min/m", constants.liter / constants.minute),
    ("flow_per_width", "m3/h/m", 1 / constants.hour),
    ("speed", "ft/s", constants.foot),
    ("speed", "cm/s", constants.centi),
    ("mass", "lb", constants.lb),
    ("mass", "oz", constants.oz),
    ("mass", "ton", constants.short_ton),
    ("mass", "t", constants.metric_ton),
    ("mass", "g", constants.gram),
    ("mass_per_area", "lb/sq ft", constants.lb / constants.foot**2),
    ("mass_per_area", "oz/sq yd", constants.oz / constants.yard**2),
    ("mass_per_area", "g/m2", constants.gram),
    ("density", "lb/cu ft", constants.lb / constants.foot**3),
    ("density", "ton/cu yd", constants.short_ton / constants.yard**3),
    ("density", "lb/cu yd", constants.lb / constants.yard**3),
    ("density", "t/m3", constants.metric_ton),
    ("density", "kg/L", 1 / constants.liter),
    ("slope", "%", constants.centi),
    ("slope", "‰", constants.milli),
    ("slope", "in/ft", constants.inch / constants.foot),
    ("slope", "mm/m", constants.milli),
    ("slope", "cm/m", constants.centi),
    ("slope", "ft/ft", 1.0),
    ("slope", "m/m", 1.0),
    ("share", "%", constants.centi),
    ("share", "‰", constants.milli),
    ("pressure", "psi", constants.psi),
    ("pressure", "bar", constants.bar),
    ("pressure", "mbar", constants.bar / 1000),
    ("pressure", "kPa", constants.kilo),
    ("pressure", "mH2O", constants.g * 1000),
    ("pressure", "ftH2O", constants.g * 1000 * constants.foot),
    ("power", "hp", constants.hp),
    ("power", "kW", constants.kilo),
    ("energy", "kWh", constants.kilo * constants.hour),
    ("energy", "Wh", constants.hour),
    ("energy", "MJ", constants.mega),
    ("angle", "deg", constants.degree),
    ("time", "min", constants.minute),
    ("time", "h", constants.hour),
    ("time", "d", constants.day),
]
SI_UNITS = {"m", "m2", "m3", "m3/s", "m/s", "kg", "kg/m2", "kg/m3", "Pa", "W", "J", "rad", "s"}


@pytest.mark.parametrize(("kind", "name", "size"), LIBRARY, ids=[f"{k} {n}" for k, n, _ in LIBRARY])
def test_every_unit_against_scipy(kind: str, name: str, size: float) -> None:
    assert parse(f"1 {name}", kind).si == pytest.approx(size, rel=1e-14)


def test_no_unit_is_left_out_of_the_sweep() -> None:
    swept = {(kind, name) for kind, name, _ in LIBRARY}
    for kind in set(KINDS) - {"temperature", "money"}:
        for name in unit_names(kind).split(", "):
            assert (kind, name) in swept or name in SI_UNITS, (kind, name)
            if name in SI_UNITS:
                assert parse(f"1 {name}", kind).si == 1.0


TEMPERATURES = [
    ("68 °F", constants.convert_temperature(68, "Fahrenheit", "Kelvin")),
    ("-4 F", constants.convert_temperature(-4, "Fahrenheit", "Kelvin")),
    ("20 °C", constants.convert_temperature(20, "Celsius", "Kelvin")),
    ("290 K", 290.0),
]


@pytest.mark.parametrize(("text", "kelvin"), TEMPERATURES, ids=[t for t, _ in TEMPERATURES])
def test_temperature_against_scipy(text: str, kelvin: float) -> None:
    assert parse(text, "temperature").si == pytest.approx(kelvin, rel=1e-14)
