"""Pieces of liner and underlay, and the numbers they come from."""

from __future__ import annotations

from msgspec import Struct

from rillwright.units import Term


class Sheet(Struct, frozen=True, kw_only=True):
    """One rectangle to order [m]. `kind` is liner, underlay or pad."""

    id: str
    kind: str
    name: str
    path: str
    length_m: float
    width_m: float
    mass_kg: float
    because: tuple[Term, ...]

    @property
    def area_m2(self) -> float:
        return self.length_m * self.width_m


class Liner(Struct, frozen=True, kw_only=True):
    sheets: tuple[Sheet, ...]

    @property
    def pieces(self) -> tuple[Sheet, ...]:
        """The waterproof pieces alone."""
        return tuple(sheet for sheet in self.sheets if sheet.kind == "liner")
