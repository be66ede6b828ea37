"""What goes through the liner."""

from __future__ import annotations

from msgspec import Struct

from rillwright.feature.levels import XY, Level


class Penetration(Struct, frozen=True, kw_only=True):
    """A pipe, a drain, a cable or a light that goes through the liner at a level, its lowest point there."""

    id: str
    kind: str  # pipe | drain | cable | light | other
    through: str  # path of the body or reach
    level: Level
    at: XY | None = None
    flange: bool | None = None  # sealed to the liner by a flange; None: nobody has said
