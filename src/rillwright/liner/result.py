"""Pieces of liner and underlay, and the numbers they come from."""

from __future__ import annotations

from msgspec import Struct

from rillwright.units import Term


class Sheet(Struct, frozen=True, kw_only=True):
    """One rectangle [m] as it is cut, and as it is ordered, a side up to the next step.

    `kind` is liner, underlay or pad. Its mass [kg] is that of the sheet as ordered.
    """

    id: str
    kind: str
    name: str
    path: str
    length_m: float
    width_m: float
    mass_kg: float
    because: tuple[Term, ...]
    order_m: tuple[float, float] | None = None  # None: as it is cut

    @property
    def ordered_m(self) -> tuple[float, float]:
        """Length and width to order [m]."""
        return self.order_m or (self.length_m, self.width_m)

    @property
    def area_m2(self) -> float:
        """Area to order [m2]."""
        length, width = self.ordered_m
        return length * width


class Liner(Struct, frozen=True, kw_only=True):
    sheets: tuple[Sheet, ...]

    @property
    def pieces(self) -> tuple[Sheet, ...]:
        """The waterproof pieces alone."""
        return tuple(sheet for sheet in self.sheets if sheet.kind == "liner")
