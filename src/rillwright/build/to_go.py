"""What is left to cut or to fill at each stake, and whether a shot meets the level that is wanted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rillwright.build.result import FoundLevel, SiteDay, Stake, ToGo
from rillwright.feature import Feature, Surface
from rillwright.sources import limit

STAKED = (Surface.DIG, Surface.LINER, Surface.BED, Surface.STONE_TOP, Surface.WATER)
AS_READ_M = 0.0005  # closer than any rod reads
_LIMITS = {surface: "stake." + surface.value.replace(" ", "_") for surface in STAKED}


def tolerance_m(feature: Feature, surface: Surface, path: str = "") -> float:
    """How far a shot may lie off [m]: the limit for that surface, or the figure that the feature sets instead.

    The liner's edge at a rim, and the upturn at a lap, have limits of their own.
    """
    name = {"rims": "stake.rim", "laps": "stake.upturn"}.get(path.partition("/")[0], _LIMITS.get(surface, "stake.dig"))
    said = feature.override_of(name)
    return limit(name).good if said is None else said.value


def to_go(
    feature: Feature, stakes: Iterable[Stake], found: Iterable[FoundLevel] = (), *, site_day: SiteDay | None = None
) -> tuple[ToGo, ...]:
    """Every surface wanted at every stake: the rod's reading today, what was found, and what is to cut or to fill.

    Where a surface was not shot yet, the dig is measured from the ground as it was read there.
    """
    shot = {(one.at, one.surface): one for one in found}
    rows = []
    for stake in stakes:
        for surface in STAKED:
            wanted = stake.level_m(surface)
            if wanted is not None:
                rows.append(_row(stake, surface, wanted, shot=shot, site_day=site_day, feature=feature))
    return tuple(rows)


def _row(
    stake: Stake,
    surface: Surface,
    wanted_m: float,
    *,
    shot: Mapping[tuple[str, Surface], FoundLevel],
    site_day: SiteDay | None,
    feature: Feature,
) -> ToGo:
    tolerance = tolerance_m(feature, surface, stake.path)
    level, of, planned_m = _found(stake, surface, shot)
    wanted_m = wanted_m if planned_m is None else planned_m
    return ToGo(
        stake=stake,
        surface=surface,
        wanted_m=wanted_m,
        tolerance_m=tolerance,
        reading_m=None if site_day is None else site_day.height_of_instrument_m - wanted_m,
        found_m=level,
        found_of=of,
        to_go_m=None if level is None else level - wanted_m,
        met=None if level is None or of is not surface else abs(level - wanted_m) <= tolerance + AS_READ_M,
    )


def _found(
    stake: Stake, surface: Surface, shot: Mapping[tuple[str, Surface], FoundLevel]
) -> tuple[float | None, Surface | None, float | None]:
    """What was found there, of which surface, and what the plan wanted: for a dig, or a rim's edge, else the ground."""
    own = _shot_at(stake, surface, shot)
    rim = stake.path.startswith("rims/") and surface is Surface.LINER
    if own is None and rim:
        own = _shot_at(stake, Surface.GROUND, shot)  # the top of the fill that carries the liner's edge
    if own is not None:
        return own.level_m, surface, own.planned_m
    if surface is Surface.DIG or rim:
        ground = _shot_at(stake, Surface.GROUND, shot)
        level = stake.ground_m if ground is None else ground.level_m
        return level, None if level is None else Surface.GROUND, None
    return None, None, None


def _shot_at(stake: Stake, surface: Surface, shot: Mapping[tuple[str, Surface], FoundLevel]) -> FoundLevel | None:
    return next((shot[at, surface] for at in (stake.id, stake.shot_at) if (at, surface) in shot), None)
