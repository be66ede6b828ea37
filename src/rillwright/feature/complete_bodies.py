"""Ponds and reservoirs, completed."""

from __future__ import annotations

import math

from rillwright.feature.complete_climate import catchments, overflow
from rillwright.feature.complete_edges import penetrations, rim
from rillwright.feature.complete_outlines import islands, outline
from rillwright.feature.filling import Filling
from rillwright.feature.levels import XY, Level, Origin, Surface
from rillwright.feature.model import Body, BodyKind, Holding, Intake, IntakeKind
from rillwright.feature.references import LevelRef
from rillwright.feature.resolve import Levels
from rillwright.feature.schema import IntakeSaid, OutlineSaid, PondSaid, ShelfSaid
from rillwright.feature.yaml_text import Location
from rillwright.sources import default

DEEPEST_M = 30.0  # of a pond; what is deeper was meant in another unit


def waterline(said: PondSaid, id: str, location: Location, *, levels: Levels, paving: str | None) -> Level | None:
    """The level at which the body is held: as typed, or so far below the paving."""
    filling = levels.filling
    if said.waterline is not None:
        return levels.resolve(said.waterline, Surface.WATER, (*location, "waterline"), origin=Origin.PLANNED)
    if paving is None:
        filling.wrong(
            (*location, "waterline"),
            "is missing, and there is no mark with 'role: paving' to hang it from",
            allowed="such as '4 in below terrace'",
        )
        return None
    base = levels.named(paving, (*location, "waterline"))
    if base is None:
        return None
    below = filling.number("pond.waterline_below_paving", f"ponds/{id}.waterline")
    return Level(base.m - below, Surface.WATER, Origin.DEFAULT, f"below {paving}", base.sigma_m)


def body(said: PondSaid, id: str, location: Location, *, levels: Levels, water: Level) -> Body | None:
    """One pond or reservoir with everything decided; None (and problems noted) if it cannot be."""
    filling = levels.filling
    path = f"ponds/{id}"
    kind = BodyKind(said.kind or "pond")
    drawn = outline(said.outline, (*location, "outline"), filling)
    if drawn is None:
        return None
    corners, length, width = drawn
    kind_name = "reservoir" if kind is BodyKind.RESERVOIR else "pond"
    depth = filling.value(said.depth, f"{kind_name}.depth", f"{path}.depth")
    if said.depth is not None and depth > DEEPEST_M:
        filling.wrong(
            (*location, "depth"), "deeper than anything that is built so", found=said.depth.text,
            allowed=f"up to {DEEPEST_M:g} m",
        )  # fmt: skip
        return None
    shelf_width, shelf_depth = _shelf(said, kind, location, filling=filling, path=path, depth=depth)
    stone, share = _shares(said, kind_name, location, filling=filling, path=path)
    return Body(
        id=id,
        kind=kind,
        outline=corners,
        length_m=length,
        width_m=width,
        depth_m=depth,
        side_up_per_across=_side(said, kind_name, filling, path),
        shelf_width_m=shelf_width,
        shelf_depth_m=shelf_depth,
        waterline=water,
        holding=Holding(filling.word(said.held, "pond.holding", f"{path}.held")),
        intake=_intake(said.intake, kind, location, path=path, water=water, depth=depth, levels=levels),
        rims=tuple(
            made
            for index, row in enumerate(said.rims)
            if (made := rim(row, index, id, (*location, "rims", index), levels)) is not None
        ),
        stone_share=stone,
        water_share=share,
        cover_share=_cover(said, kind, location, filling=filling, path=path),
        cover_top=_cover_top(said, kind, location, levels=levels, water=water),
        gravel_m=said.gravel.si if said.gravel else 0.0,
        catchments=catchments(said),
        overflow=overflow(said, location, levels),
        penetrations=penetrations(said.penetrations, path, (*location, "penetrations"), levels),
        islands=islands(said.islands, path, (*location, "islands"), filling, height="island.in_pond", inside=corners),
        axis=_axis(said.outline),
    )


def _axis(said: OutlineSaid) -> XY | None:
    """Along the length of an oval or a rectangle."""
    if said.points is not None:
        return None
    turn = said.turn.si if said.turn else 0.0
    return math.cos(turn), math.sin(turn)


def _side(said: PondSaid, kind_name: str, filling: Filling, path: str) -> float:
    """Sides as up to one across [-]; infinite where they are vertical."""
    if said.side == "vertical":
        return math.inf
    return said.side if said.side is not None else filling.number(f"{kind_name}.side", f"{path}.side")


def _shelf(
    said: PondSaid, kind: BodyKind, location: Location, *, filling: Filling, path: str, depth: float
) -> tuple[float, float]:
    """Width and depth of the shelf [m]; a default shelf that would not fit is left out, a typed one is refused."""
    if said.shelf == "none" or kind is BodyKind.RESERVOIR:
        return 0.0, 0.0
    shelf = said.shelf if isinstance(said.shelf, ShelfSaid) else ShelfSaid()
    below = shelf.depth.si if shelf.depth else default("pond.shelf_depth").number
    if below >= depth:
        if shelf.depth is not None or shelf.width is not None:
            allowed = "shallower than the depth"
            filling.wrong((*location, "shelf"), "the shelf lies at or below the floor", allowed=allowed)
        return 0.0, 0.0
    width = filling.value(shelf.width, "pond.shelf_width", f"{path}.shelf.width")
    return width, filling.value(shelf.depth, "pond.shelf_depth", f"{path}.shelf.depth")


def _shares(said: PondSaid, kind_name: str, location: Location, *, filling: Filling, path: str) -> tuple[float, float]:
    """Share of the volume taken by stone, and share that water can fill before stone is counted [-]."""
    share = filling.value(said.water_share, f"{kind_name}.water_share", f"{path}.water_share")
    stone = 0.0
    if said.stone_share is not None or kind_name == "pond":
        stone = filling.value(said.stone_share, "pond.stone_share", f"{path}.stone_share")
    for name, value, most in (("water_share", share, "up to 100 %"), ("stone_share", stone, "less than 100 %")):
        if value > 1 or (name == "stone_share" and value == 1) or value == share == 0:
            filling.wrong((*location, name), "leaves no room for water", allowed=most)
    return stone, share


def _cover(said: PondSaid, kind: BodyKind, location: Location, *, filling: Filling, path: str) -> float | None:
    """Share of the cobbles or gravel over a reservoir's waterline that water can fill [-]; None of a pond."""
    if kind is not BodyKind.RESERVOIR:
        if said.cover_share is not None:
            filling.wrong((*location, "cover_share"), "nothing covers an open pond", allowed="of a 'reservoir' only")
        return None
    share = filling.value(said.cover_share, "reservoir.cover_share", f"{path}.cover_share")
    if not 0.0 < share <= 1.0:
        filling.wrong((*location, "cover_share"), "leaves no room for water", allowed="above none, up to 100 %")
    return share


def _cover_top(said: PondSaid, kind: BodyKind, location: Location, *, levels: Levels, water: Level) -> Level | None:
    """The top of what covers a reservoir as said; never under its waterline."""
    if said.cover_top is None:
        return None
    where = (*location, "cover_top")
    if kind is not BodyKind.RESERVOIR:
        levels.filling.wrong(where, "nothing covers an open pond", allowed="of a 'reservoir' only")
        return None
    top = levels.resolve(said.cover_top, Surface.STONE_TOP, where, origin=Origin.PLANNED)
    if top is not None and top.m < water.m:
        levels.filling.wrong(where, "lies under the waterline that it covers", allowed="at the waterline or above it")
    return top


def _intake(
    said: IntakeSaid | None,
    body_kind: BodyKind,
    location: Location,
    *,
    path: str,
    water: Level,
    depth: float,
    levels: Levels,
) -> Intake:
    """The intake; a skimmer's band hangs from the waterline, that of a pit or a reservoir from the floor."""
    filling = levels.filling
    said = said or IntakeSaid()
    kind = IntakeKind(said.kind or ("reservoir" if body_kind is BodyKind.RESERVOIR else "skimmer"))
    low = _said(said.low, (*location, "intake", "low"), levels)
    high = _said(said.high, (*location, "intake", "high"), levels)
    if low is None:
        if kind is IntakeKind.SKIMMER:
            below = filling.number("intake.skimmer_low", f"{path}.intake.low")
            low = water.moved(-below, source="skimmer below the waterline")
        else:
            above = filling.number("intake.pit_low", f"{path}.intake.low")
            low = water.moved(min(above, depth) - depth, source="above the floor")
    if high is None:
        above = filling.number("intake.skimmer_high", f"{path}.intake.high")
        high = water.moved(above, source="above the waterline")
    if low.m >= high.m:
        filling.wrong(
            (*location, "intake"), "the intake's lowest level is not below its highest", allowed="low below high"
        )
    return Intake(
        id=said.id or "intake",
        kind=kind,
        low=low,
        high=high,
        greatest_flow_m3s=said.greatest_flow.si if said.greatest_flow else None,
    )


def _said(said: LevelRef | None, location: Location, levels: Levels) -> Level | None:
    if said is None:
        return None
    return levels.resolve(said, Surface.WATER, location, origin=Origin.PLANNED)
