"""What is typed of an edge of liner: what lies under and over it, and what goes through the liner."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Struct

from rillwright.feature.fields import AnyLength, Id, LevelSaid, Many, YesNo

Point = Annotated[list[AnyLength], Many(2, 2)]
FillSaid = Literal["compacted", "trodden", "loose", "solid"]  # keys of the table of fills
CoverSaid = Literal["bare", "stone", "gravel", "coarse sand", "sand", "fine sand", "soil", "silt", "felt"]  # of covers


class PenetrationSaid(Struct, frozen=True, kw_only=True):
    """Something that goes through the liner at `level`; `flange`: sealed to it by a flange."""

    id: Id | None = None
    kind: Literal["pipe", "drain", "cable", "light", "other"]
    level: LevelSaid
    at: Point | None = None
    flange: YesNo | None = None
