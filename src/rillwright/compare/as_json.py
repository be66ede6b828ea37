"""Changes, orders for a change and tables of alternatives as JSON: SI values with their unit, and the sentences."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

from rillwright.assessment import Judged
from rillwright.compare.ordered import MONEY
from rillwright.compare.rendering import advice, key_value, sentence
from rillwright.compare.result import Change, ChangeOrder, Changes, KeyTable
from rillwright.units import Style, style_for

FORMAT = 1


def changes_json(changes: Changes, before: Judged, after: Judged) -> dict[str, Any]:
    """What `compare --json` prints of two states."""
    style = style_for(changes.system)
    return {
        "format": FORMAT,
        "before": _state(before),
        "after": _state(after),
        "least_m": changes.least_m,
        "stops": len(changes.stops),
        "changes": [_change(one, style) for one in changes.sentences],
    }


def _state(judged: Judged) -> dict[str, Any]:
    feature = judged.assessment.feature
    return {"name": feature.name, "revision": feature.revision, "digest": judged.assessment.digest}


def _change(change: Change, style: Style) -> dict[str, Any]:
    return {
        "code": change.code,
        "direction": change.direction.value,
        "severity": change.severity.value,
        "element": change.element,
        "before": _number(change.before),
        "after": _number(change.after),
        "unit": change.unit,
        "people": change.people,
        "text": sentence(change, style),
        "remedy": advice(change, style),
        "parameters": [
            {"name": name, "value": value if isinstance(value, str) else _number(value), "unit": _unit(unit)}
            for name, value, unit in change.parameters
        ],
    }


def _unit(unit: str) -> str:
    return "m3" if unit == "soil" else unit.removeprefix(MONEY)


def _number(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else value


def order_json(order: ChangeOrder, system: str) -> dict[str, Any]:
    """A change order: money as decimal text, so that nothing of it is rounded."""

    def money(pair: tuple[Decimal, Decimal]) -> list[str]:
        return [str(amount) for amount in pair]

    style = style_for(system)
    return {
        "format": FORMAT,
        "date": order.date,
        "asked_by": order.asked_by,
        "why": order.why,
        "revisions": list(order.revisions),
        "what": [_change(one, style) for one in order.what],
        "quantities": [
            {
                "item": one.item,
                "text": one.text,
                "before": list(one.before),
                "after": list(one.after),
                "unit": one.unit,
            }
            for one in order.quantities
        ],
        "currency": order.currency,
        "invented": order.invented,
        "price_before": money(order.price_before),
        "price_after": money(order.price_after),
        "difference": money(order.difference),
        "days_before": list(order.days_before),
        "days_after": list(order.days_after),
        "no_price": order.no_price,
        "unpriced": list(order.unpriced),
    }


def table_json(table: KeyTable) -> dict[str, Any]:
    """Alternatives side by side: each row its SI values low and high, and how they are said."""
    styles = [style_for(system) for system in table.systems]
    return {
        "format": FORMAT,
        "names": list(table.names),
        "rows": [
            {
                "code": row.code,
                "text": row.text,
                "unit": row.unit,
                "low": [None if value is None else value[0] for value in row.values],
                "high": [None if value is None else value[1] for value in row.values],
                "said": [key_value(row, at, style) for at, style in enumerate(styles)],
            }
            for row in table.rows
        ],
    }
