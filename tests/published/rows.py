"""Printed values against ours: the last printed digit sets the tolerance."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import NamedTuple

import pytest


class Row(NamedTuple):
    """One printed value. `seen` is True only where somebody opened the page; else the source is from memory."""

    call: Callable[[], float]
    printed: str  # as the page prints it; the last digit sets the tolerance
    source: str  # author, year, table or equation
    seen: bool = False


def tolerance(printed: str) -> float:
    """Half a unit of the last printed digit, and a little for the rounding itself."""
    exponent = Decimal(printed).as_tuple().exponent
    assert isinstance(exponent, int)
    return 0.5 * 10.0**exponent * (1 + 1e-9)


def check(row: Row) -> None:
    """Fail unless our value rounds to what is printed."""
    ours = row.call()
    if abs(ours - float(row.printed)) > tolerance(row.printed):
        pytest.fail(f"{row.source}: prints {row.printed}, we have {ours!r}")
