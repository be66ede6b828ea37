"""What is answered: how many arrangements fit, the best of them drop by drop, or what is short and what would fit."""

from __future__ import annotations

from typing import Any, Literal

from msgspec import Struct

from rillwright.fit.problem import Kind, Unit


class Drop(Struct, frozen=True, kw_only=True):
    """One drop, bed to bed (the last: bed to held water), and its height as seen over the water below it."""

    kind: Kind
    drop: int
    height_seen: int


class Arrangement(Struct, frozen=True, kw_only=True):
    """One staircase from the head down: bed i pitches `pitches[i]`, then comes `drops[i]`. Least cost is best."""

    drops: tuple[Drop, ...]
    pitches: tuple[int, ...]
    left_over: int
    last_height: int
    cost: tuple[int, ...]

    def to_json(self) -> dict[str, Any]:
        """The arrangement as a JSON object."""
        return {
            "drops": [{"kind": d.kind, "drop": d.drop, "height_seen": d.height_seen} for d in self.drops],
            "pitches": list(self.pitches),
            "left_over": self.left_over,
            "last_height": self.last_height,
            "cost": list(self.cost),
        }


class GiveUp(Struct, frozen=True, kw_only=True):
    """One thing to give up: `amount` drops fewer or more, wish `index`, a last fall `amount` lower, the least pitch."""

    what: Literal["fewer drops", "more drops", "wish", "least last", "least pitch"]
    index: int | None = None
    amount: int | None = None
    kind: Kind | None = None

    def to_json(self) -> dict[str, Any]:
        """What is given up as a JSON object."""
        return {"what": self.what, "index": self.index, "amount": self.amount, "kind": self.kind}


class WouldFit(Struct, frozen=True, kw_only=True):
    """What fits once these are given up: the least height it needs, and what is to spare above that."""

    give_up: tuple[GiveUp, ...]
    least_height: int
    to_spare: int

    def to_json(self) -> dict[str, Any]:
        """The way out as a JSON object."""
        return {
            "give_up": [part.to_json() for part in self.give_up],
            "least_height": self.least_height,
            "to_spare": self.to_spare,
        }


class FitResult(Struct, frozen=True, kw_only=True):
    """The exact count and the best; or `short_by`, or `over_by` (left over more than allowed), and ways out."""

    unit: Unit
    count: int
    arrangements: tuple[Arrangement, ...]
    cost_names: tuple[str, ...]
    least_height: int
    short_by: int
    over_by: int
    would_fit: tuple[WouldFit, ...]

    def to_json(self) -> dict[str, Any]:
        """The answer as a JSON object; the count is decimal text, since it may pass what a double holds."""
        return {
            "unit": self.unit,
            "count": str(self.count),
            "arrangements": [arrangement.to_json() for arrangement in self.arrangements],
            "cost_names": list(self.cost_names),
            "least_height": self.least_height,
            "short_by": self.short_by,
            "over_by": self.over_by,
            "would_fit": [way.to_json() for way in self.would_fit],
        }
