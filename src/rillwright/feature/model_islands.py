"""Dry ground in the middle of water."""

from __future__ import annotations

from msgspec import Struct

from rillwright.feature.levels import XY


class Island(Struct, frozen=True, kw_only=True):
    """Dry ground with an edge of liner of its own; `outline` counter-clockwise where water stands against it.

    In a body that is at the waterline, in a stream at the bed; `top_m` [m] is the liner's edge above that.
    """

    id: str
    of: str  # path of the body or reach that it lies in
    outline: tuple[XY, ...]
    top_m: float

    @property
    def area_m2(self) -> float:
        """Area inside its outline [m2]."""
        twice = sum(
            a[0] * b[1] - b[0] * a[1] for a, b in zip(self.outline, (*self.outline[1:], self.outline[0]), strict=True)
        )
        return 0.5 * twice
