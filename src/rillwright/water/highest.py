"""Highest water of every body and reach, case by case and for both ways of holding the level."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from rillwright.feature import Body, Feature, Holding
from rillwright.shape import PondShape, Shape
from rillwright.units import Band
from rillwright.water.balance import levels, transit_band
from rillwright.water.rain import level_after
from rillwright.water.reaches import ReachBand
from rillwright.water.result import HighWater, Rain

STORAGE = "storage by depth and water in transit"


def highest_waters(
    feature: Feature,
    shape: Shape,
    *,
    transit_m3: Mapping[str, float],
    blocked_transit_m3: Mapping[str, float],
    reaches: Mapping[str, ReachBand],
    blocked: Mapping[str, ReachBand],
    dammed: Mapping[str, ReachBand],
    rains: Mapping[str, Rain],
) -> tuple[HighWater, ...]:
    """All cases that this depth computes, from the water in transit [m3] by body, open and half blocked.

    `blocked` and `dammed` are the reaches half blocked and with leaves caught on their crests.
    """
    found: list[HighWater] = []
    for body in feature.bodies:
        for holding in Holding:
            pond = shape.pond(body.id)
            found += _of_body(body, pond, holding, transit_m3[body.id], blocked_transit_m3[body.id])
            if body.id in rains:
                found.append(_in_rain(body, pond, holding, transit_m3[body.id], rains[body.id]))
    holdings = {body.id: body.holding for body in feature.bodies}
    for id, band in reaches.items():
        found += _of_reach(band, blocked[id], dammed[id], holding=holdings[band.place.into])
    return tuple(_backed_up(feature, found))


def _backed_up(feature: Feature, found: list[HighWater]) -> list[HighWater]:
    """The same, but no bed of a stream that joins another has less water than the bed into which it runs."""
    rows = {(high.path, high.case): at for at, high in enumerate(found) if high.path.startswith("reaches/")}
    for stream in feature.downstream_first:
        if stream.joins is None:
            continue
        for (path, case), at in list(rows.items()):
            below = rows.get((f"reaches/{stream.joins.reach}", case))
            if below is None or path not in {f"reaches/{reach.id}" for reach in stream.reaches}:
                continue
            high = found[below].level_m
            if high.value > found[at].level_m.value:
                method = f"{found[at].method}, backed up from bed {stream.joins.reach}"
                found[at] = replace(found[at], level_m=high, method=method)
    return found


def _of_body(body: Body, pond: PondShape, holding: Holding, transit_m3: float, blocked_m3: float) -> list[HighWater]:
    """Half blocked is the stop after it: the fuller stream has then come back as well."""
    held = body.waterline.m
    usual = levels(pond, held, holding=holding, transit=transit_band(transit_m3))
    fuller = levels(pond, held, holding=holding, transit=transit_band(blocked_m3))
    cases = {
        "rest": Band.exact(held) if holding is Holding.AT_REST else usual.stopped,
        "running": usual.running,
        "stopped": usual.stopped,
        "first start": Band.exact(held),
        "half blocked": fuller.stopped,
    }
    return [
        HighWater(path=f"ponds/{body.id}", case=case, holding=holding.value, level_m=level, method=STORAGE)
        for case, level in cases.items()
    ]


def _in_rain(body: Body, pond: PondShape, holding: Holding, transit_m3: float, rain: Rain) -> HighWater:
    """The heaviest rain on a body that stands stopped, the stream back in it."""
    before = levels(pond, body.waterline.m, holding=holding, transit=transit_band(transit_m3)).stopped
    return HighWater(
        path=f"ponds/{body.id}",
        case="design rain",
        holding=holding.value,
        level_m=level_after(body, pond, rain, before),
        method=STORAGE + ", rain caught",
    )


def _of_reach(band: ReachBand, blocked: ReachBand, dammed: ReachBand, *, holding: Holding) -> list[HighWater]:
    rest = band.place.rest_m
    running, choked = _top(band), _top(blocked)
    cases = {"running": (running, band.usual.method), "first start": (running, band.usual.method)}
    cases["half blocked"] = (choked, blocked.usual.method + ", half the width")
    cases["leaf dam"] = (_top(dammed), dammed.usual.method + ", leaves caught on the crest")
    if rest is not None:
        cases = {"rest": (Band.exact(rest), "crest"), "stopped": (Band.exact(rest), "crest")} | cases
    return [
        HighWater(path=f"reaches/{band.place.reach.id}", case=case, holding=holding.value, level_m=level, method=method)
        for case, (level, method) in cases.items()
    ]


def _top(band: ReachBand) -> Band:
    ends = (band.level_m(0), band.level_m(-1))
    return max(ends, key=lambda level: level.value)
