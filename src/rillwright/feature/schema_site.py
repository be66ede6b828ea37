"""The site as it is typed: soil, ways in, what stands and lies about."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Struct

from rillwright.feature.fields import (
    Angle,
    AnyLength,
    Day,
    Id,
    Length,
    LengthOrZero,
    LevelSaid,
    Many,
    Mass,
    Words,
    YesNo,
    whole,
)

Point = Annotated[list[AnyLength], Many(2, 2)]
Points = Annotated[list[Point], Many(2, 5000)]
Outline = Annotated[list[Point], Many(3, 5000)]


class MachineSaid(Struct, frozen=True, kw_only=True):
    name: Words
    width: Length
    reach: Length
    lift: Mass
    lift_at: Length


class AccessSaid(Struct, frozen=True, kw_only=True):
    id: Id | None = None
    width: Length
    at: Point | None = None
    machine: Words | MachineSaid | None = None


class FootingSaid(Struct, frozen=True, kw_only=True):
    id: Id | None = None
    line: Points
    base: LevelSaid


class PavingSaid(Struct, frozen=True, kw_only=True):
    """A paved area by its edge; `base` is the foot of what it is laid on."""

    id: Id | None = None
    outline: Outline
    base: LevelSaid


class BuildingSaid(Struct, frozen=True, kw_only=True):
    """A building by its edge; `base` is the foot of its footings, where somebody knows it."""

    id: Id | None = None
    outline: Outline
    base: LevelSaid | None = None


class TreeSaid(Struct, frozen=True, kw_only=True):
    """A tree that stays: its trunk at breast height, across or round."""

    id: Id | None = None
    at: Point
    trunk: Length | None = None
    girth: Length | None = None
    note: Words | None = None

    def __post_init__(self) -> None:
        if (self.trunk is None) == (self.girth is None):
            raise ValueError("a tree is measured once: 'trunk' across or 'girth' round, at breast height")


class ServiceLineSaid(Struct, frozen=True, kw_only=True):
    """A buried service as it was marked, with the `depth` of its top under the ground, or the level of its `top`."""

    id: Id | None = None
    kind: Literal["water", "gas", "power", "drain", "telephone", "other"]
    line: Points
    depth: LengthOrZero | None = None
    top: LevelSaid | None = None

    def __post_init__(self) -> None:
        if self.depth is not None and self.top is not None:
            raise ValueError(
                "a service's top is given once: by its 'depth' under the ground or by the level of its 'top'"
            )


class PowerSaid(Struct, frozen=True, kw_only=True):
    distance: LengthOrZero | None = None
    residual_current_device: YesNo | None = None


class ServicesSaid(Struct, frozen=True, kw_only=True):
    """Whether buried services were located: by whom it was asked is the `ticket`, when they were marked `on`."""

    located: YesNo | None = None
    on: Day | None = None
    ticket: Words | None = None
    note: Words | None = None


class BarrierSaid(Struct, frozen=True, kw_only=True):
    """A barrier against drowning: whether the authority that was `asked` wants one, and whether it is planned."""

    asked: Words | None = None
    wanted: YesNo | None = None
    planned: YesNo | None = None
    note: Words | None = None


class SiteSaid(Struct, frozen=True, kw_only=True):
    north: Angle | None = None
    soil: Words | None = None
    groundwater: LevelSaid | None = None
    access: list[AccessSaid] = []
    footings: list[FootingSaid] = []
    paving: list[PavingSaid] = []
    buildings: list[BuildingSaid] = []
    trees: list[TreeSaid] = []
    service_lines: list[ServiceLineSaid] = []
    services: Words | ServicesSaid | None = None
    spoil: Words | None = None
    note: Words | None = None
    crew: Annotated[int, whole(1, 100)] | None = None
    stake_offset: Length | None = None
    power: PowerSaid | None = None
    barrier: Words | BarrierSaid | None = None
