"""Rims, banks and upturns against the highest water."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np
from msgspec.structs import replace

from rillwright.containment.bank_ends import bank_settled
from rillwright.containment.edges import settled, throughs, wicks
from rillwright.containment.elsewhere import may_spill
from rillwright.containment.fills import rim_fills
from rillwright.containment.overflowing import led, outs
from rillwright.containment.places import at_end, ends_of, top_band, worst
from rillwright.containment.profiles import Readings, low_places, rim_profiles
from rillwright.containment.raising import raises
from rillwright.containment.result import Containment, Freeboard
from rillwright.containment.spilling import on_ground, spill_path
from rillwright.containment.uphill import uphill
from rillwright.feature import Feature, Lap, Reach, Rim
from rillwright.shape import Surface, natural_tin, placed_levels
from rillwright.sources import default, limit_as_met
from rillwright.units import Band
from rillwright.water import HighWater, Water

if TYPE_CHECKING:
    from rillwright.ground import GroundData, Tin


def contain(
    feature: Feature, water: Water, *, surface: Surface | None = None, ground: GroundData | None = None
) -> Containment:
    """Freeboard of every rim, bank and unsealed upturn over the worst of all cases and ways of holding the level.

    A sealed lap holds by its seam and is not counted among the tops. With the `surface` every rim is followed as it
    runs, and `ground`, with the feature's own levels, is where its water would go.
    """
    tops = [_rim(rim, worst(_of(water, f"ponds/{body.id}"))) for body in feature.bodies for rim in body.rims]
    tops += [_bank(reach, water) for reach in feature.reaches]
    tops += [upturn(lap, water) for lap in feature.laps if not lap.sealed]
    found = Containment(
        tops=tuple(tops),
        spills_first=_first(tops),
        wicks=wicks(feature, tops),
        throughs=throughs(feature, water),
        settles=settled(feature, tops),
    )
    return found if surface is None else _followed(found, feature, water, surface=surface, ground=ground)


def _first(tops: Iterable[Freeboard]) -> str | None:
    """Path of the top with the least freeboard."""
    first = min(tops, key=lambda top: top.freeboard_m.value, default=None)
    return first.path if first is not None else None


def _followed(
    found: Containment, feature: Feature, water: Water, *, surface: Surface, ground: GroundData | None
) -> Containment:
    """The same with what is to be said of the rims as they run."""
    shared = default("level.sigma_setup").number
    profiles = rim_profiles(surface.rims, water, setups=_setups(feature), shared_m=shared)
    tin = natural_tin(feature, ground)
    readings = _readings(feature, tin)
    lows = low_places(profiles, readings)
    over = on_ground(feature, surface, tin)
    spills = tuple(spill_path(low, over) for low in lows)
    tops = tuple(bank_settled(top, feature, profiles) if top.kind == "bank" else top for top in found.tops)
    settles = {f"rims/{rim.id}": rim.settlement for body in feature.bodies for rim in body.rims if rim.berm_m > 0.0}
    usual = default("pond.settlement").number
    shares = {point.path: settles.get(point.path, usual) for profile in profiles for point in profile.points}
    return replace(
        found,
        tops=tops,
        spills_first=_first(tops),
        profiles=profiles,
        lows=lows,
        unsure=low_places(profiles, readings, at_worst=True),
        spills=spills,
        may=may_spill(lows, spills, profiles, over),
        led=led(feature, water, over),
        outs=outs(feature, water, lows),
        raises=raises(profiles, _wanted(feature), settles=shares),
        uphill=uphill(feature, surface, tin),
        fills=rim_fills(surface, profiles, tin, crest_m=default("earth.berm_crest").number),
    )


def _setups(feature: Feature) -> dict[str, str]:
    """The set-up from which the level of each body's and each reach's water hangs, by path."""
    found = {f"ponds/{body.id}": body.waterline.setup for body in feature.bodies}
    return found | {f"reaches/{reach.id}": reach.bed_start.setup for reach in feature.reaches}


def _wanted(feature: Feature) -> dict[str, float]:
    """What is wanted to spare [m] by path of body or reach: the limit, or the feature's own figure."""
    rim, bank = (_good(feature, name) for name in ("rim.freeboard", "bank.freeboard"))
    bodies = {f"ponds/{body.id}": rim for body in feature.bodies}
    return bodies | {f"reaches/{reach.id}": bank for reach in feature.reaches}


def _good(feature: Feature, name: str) -> float:
    said = feature.override_of(name)
    return limit_as_met(name, feature.system).good if said is None else said.value


def _readings(feature: Feature, tin: Tin | None) -> Readings:
    """Places and paths or names of all levels of the ground that somebody read or gave."""
    if tin is None:
        placed = placed_levels(feature)
        return Readings(places=np.array([each.at for each in placed]), called=lambda row: placed[row].path)
    rows = np.flatnonzero(tin.shots)
    return Readings(places=tin.xyz[rows, :2], called=lambda row: _reading(tin.named(int(rows[row]))))


def berm_needed_m(rim: Rim, highest_m: float) -> float:
    """What to build up on the ground [m], so that it stands its spare above `highest_m` [m] once settled.

    The ground counts as low as its level may be. Pass the highest that the water may stand, so that the berm that is
    built meets its limit over the whole band.
    """
    settlement = rim.settlement if rim.berm_m > 0.0 else default("pond.settlement").number
    ground_m = top_band(rim.ground.m, rim.ground).low
    return max(0.0, highest_m + default("rim.berm_spare").number - ground_m) / (1.0 - settlement)


def _reading(name: str) -> str:
    """The path of an element that is a point of the ground, or what the point is called."""
    return name.removeprefix("point ") if "/" in name else name


def _of(water: Water, path: str) -> tuple[HighWater, ...]:
    return tuple(high for high in water.highest if high.path == path)


def _freeboard(
    path: str,
    kind: str,
    *,
    top: Band,
    against: HighWater,
    berm_needed_m: float | None = None,
    run_m: float | None = None,
) -> Freeboard:
    return Freeboard(
        path=path,
        kind=kind,
        top_m=top,
        against=against,
        freeboard_m=top - against.level_m,
        berm_needed_m=berm_needed_m,
        run_m=run_m,
    )


def _rim(rim: Rim, against: HighWater) -> Freeboard:
    top, berm = top_band(rim.finished_m, rim.ground), berm_needed_m(rim, against.level_m.high)
    return _freeboard(f"rims/{rim.id}", "rim", top=top, against=against, berm_needed_m=berm)


def _bank(reach: Reach, water: Water) -> Freeboard:
    """The end of the reach at which its bank stands least above the water."""
    wet = next(one for one in water.reaches if one.reach == reach.id)
    path = f"reaches/{reach.id}"
    boards = [
        _freeboard(
            f"{path}.bank", "bank", top=top_band(bed.m + reach.bank_m, bed), against=at_end(high, wet, upper=upper)
        )
        for upper, bed in ends_of(reach)
        for high in _of(water, path)
    ]
    return min(boards, key=lambda board: board.freeboard_m.value)


def upturn(lap: Lap, water: Water) -> Freeboard:
    """Against its body's water; or against that at the upper end of the reach below, where the fall comes down."""
    if lap.reach is None:
        against = worst(_of(water, f"ponds/{lap.body}"))
    else:
        wet = next(one for one in water.reaches if one.reach == lap.reach)
        against = worst(at_end(high, wet, upper=True) for high in _of(water, f"reaches/{lap.reach}"))
    return _freeboard(
        f"laps/{lap.id}", "upturn", top=top_band(lap.upturn.m, lap.upturn), against=against, run_m=lap.run_m
    )
