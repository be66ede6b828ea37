"""What changed between two states, as values; the order for a change; a table of alternatives."""

from __future__ import annotations

from decimal import Decimal
from enum import StrEnum

from msgspec import Struct

from rillwright.assessment import Severity

Parameters = tuple[tuple[str, float | str, str], ...]  # (name, SI value or words, SI unit; "" for words)


class Direction(StrEnum):
    """Which way something went from the first state to the second."""

    WORSE = "worse"
    NEW = "new"
    CHANGED = "changed"
    BETTER = "better"
    GONE = "gone"


class Change(Struct, frozen=True, kw_only=True):
    """One thing that changed: values before and after in SI `unit`, None where there is none.

    `severity` is how it stands now. `text` and `remedy` are templates, rendered in the reader's units at the edge.
    """

    code: str
    direction: Direction
    severity: Severity
    element: str
    before: float | None
    after: float | None
    unit: str
    text: str
    parameters: Parameters
    remedy: str = ""
    people: bool = False


class Changes(Struct, frozen=True, kw_only=True):
    """All that changed, worst first. `least_m` [m] is the smallest change of a level or a length that is told."""

    before: str  # digest of the state
    after: str
    system: str
    least_m: float
    sentences: tuple[Change, ...]

    @property
    def worse(self) -> tuple[Change, ...]:
        """What got worse, or is new and not ok."""
        return tuple(one for one in self.sentences if one.direction is Direction.WORSE or _new_ill(one))

    @property
    def stops(self) -> tuple[Change, ...]:
        """What must not be built so now, and was not so before, or got worse."""
        return tuple(one for one in self.worse if one.severity is Severity.STOP)


def _new_ill(change: Change) -> bool:
    return change.direction is Direction.NEW and change.severity is not Severity.OK


class QuantityChange(Struct, frozen=True, kw_only=True):
    """One item of the take-off: low and high before and after in SI `unit`; nought where it is not needed."""

    item: str
    text: str
    before: tuple[float, float]
    after: tuple[float, float]
    unit: str


class ChangeOrder(Struct, frozen=True, kw_only=True):
    """What a change takes: quantities, price range and days, with the date, who asked and why, as given."""

    date: str
    asked_by: str
    why: str
    revisions: tuple[str, str]
    what: tuple[Change, ...]
    quantities: tuple[QuantityChange, ...]
    currency: str
    invented: bool
    book: str
    price_before: tuple[Decimal, Decimal]
    price_after: tuple[Decimal, Decimal]
    days_before: tuple[float, float]
    days_after: tuple[float, float]
    no_price: str  # why there is none, else ""
    unpriced: tuple[str, ...]
    labour: tuple[Decimal, Decimal] | None = None  # an hour of one person, in the prices; None: hours are not

    @property
    def difference(self) -> tuple[Decimal, Decimal]:
        """What it adds to the price, from the low ends and from the high ends; less than nought where it saves."""
        low = self.price_after[0] - self.price_before[0]
        high = self.price_after[1] - self.price_before[1]
        return min(low, high), max(low, high)


class KeyRow(Struct, frozen=True, kw_only=True):
    """One key quantity of every alternative: low and high in SI `unit`, None where it was not worked out."""

    code: str
    text: str
    unit: str
    kind: str
    values: tuple[tuple[float, float] | None, ...]


class KeyTable(Struct, frozen=True, kw_only=True):
    """Alternatives side by side."""

    names: tuple[str, ...]
    systems: tuple[str, ...]
    rows: tuple[KeyRow, ...]
