"""What changed as sentences in the reader's own units."""

from __future__ import annotations

from rillwright.compare.ordered import MONEY, span
from rillwright.compare.result import Change, KeyRow, Parameters
from rillwright.judge import render
from rillwright.units import Style, show, show_money_range, show_range, significant


def sentence(change: Change, style: Style) -> str:
    """What changed."""
    return render(change.text, _plain(change.parameters, style), style)


def advice(change: Change, style: Style) -> str:
    """What to do about it; nothing where all is well."""
    return render(change.remedy, _plain(change.parameters, style), style)


def _plain(parameters: Parameters, style: Style) -> Parameters:
    """Soil in the unit in which it is carted, ranges of money by one name; everything else is left to the templates."""
    known = {name: value for name, value, _ in parameters}
    money = tuple(
        (name.removesuffix("_low"), _money(value, known[f"{name.removesuffix('low')}high"], unit, style), "")
        for name, value, unit in parameters
        if unit.startswith(MONEY) and name.endswith("_low")
    )
    return money + tuple(
        (name, show(value, "earth", style), "")
        if unit == "soil" and not isinstance(value, str)
        else (name, value, unit)
        for name, value, unit in parameters
    )


def _money(low: float | str, high: float | str, unit: str, style: Style) -> str:
    return show_money_range(float(low), float(high), unit.removeprefix(MONEY), system=style.system)


def key_value(row: KeyRow, at: int, style: Style) -> str:
    """One cell of a table of alternatives; a dash where it was not worked out."""
    value = row.values[at]
    if value is None:
        return "–"
    low, high = value
    if row.kind == "count":
        return span(low, high)
    if row.kind == "money":
        return show_money_range(low, high, row.unit, system=style.system)
    if row.kind:
        return show_range(low, high, row.kind, style=style)
    return f"{significant(low, 3)} to {significant(high, 3)} {row.unit}"
