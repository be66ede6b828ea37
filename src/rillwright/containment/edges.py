"""What lies under and over an edge of liner, and what goes through it, against the water there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rillwright.containment.places import at_end, top_band, worst
from rillwright.containment.result import Freeboard
from rillwright.containment.rim_result import Settles, Through, Wick
from rillwright.feature import Feature, Penetration
from rillwright.sources import cover, fill
from rillwright.units import Band
from rillwright.water import HighWater, Water

_FILLS_UP = {"gravel": "silt"}  # gravel over a lap fills with silt in time: its ceiling counts


def wicks(feature: Feature, tops: Iterable[Freeboard]) -> tuple[Wick, ...]:
    """Rims and unsealed laps of which somebody said what lies over their edge, with the ceiling of its capillary rise.

    Gravel over a lap counts as silt: what the water carries settles in it.
    """
    by_path = {top.path: top for top in tops}
    said = [(f"rims/{rim.id}", rim.cover, rim.cover) for body in feature.bodies for rim in body.rims]
    said += [(f"laps/{lap.id}", lap.cover, _FILLS_UP.get(lap.cover, lap.cover)) for lap in feature.laps]
    found = []
    for path, key, fills_with in said:
        if key and path in by_path:
            lifts = cover(fills_with)
            found.append(
                Wick(
                    path=path,
                    cover=cover(key).text if key == fills_with else f"{cover(key).text}, full of {lifts.text} in time",
                    rise_m=lifts.rise_m,
                    spare_m=by_path[path].freeboard_m,
                    source=lifts.source,
                )
            )
    return tuple(found)


def throughs(feature: Feature, water: Water) -> tuple[Through, ...]:
    """What goes through the liner, against the highest water of its body, or of either end of its reach."""
    by_path: dict[str, HighWater] = {}
    for body in feature.bodies:
        highs = [high for high in water.highest if high.path == f"ponds/{body.id}"]
        if highs:
            by_path[f"ponds/{body.id}"] = worst(highs)
    for reach in feature.reaches:
        if reach.penetrations:
            path = f"reaches/{reach.id}"
            wet = next(one for one in water.reaches if one.reach == reach.id)
            highs = [high for high in water.highest if high.path == path]
            by_path[path] = worst(at_end(high, wet, upper=upper) for high in highs for upper in (True, False))
    all_of_them = [each for body in feature.bodies for each in body.penetrations]
    all_of_them += [each for reach in feature.reaches for each in reach.penetrations]
    return tuple(_through(each, by_path) for each in all_of_them if each.through in by_path)


def _through(each: Penetration, by_path: Mapping[str, HighWater]) -> Through:
    against = by_path[each.through]
    return Through(
        path=f"penetrations/{each.id}",
        kind=each.kind,
        flange=each.flange,
        against=against,
        above_m=top_band(each.level.m, each.level) - against.level_m,
    )


def settled(feature: Feature, tops: Iterable[Freeboard]) -> tuple[Settles, ...]:
    """Berms of a named kind of fill, with what they have to spare once settled, by the band of that kind.

    A settlement that was typed stays the likeliest; the band goes out to that of the kind.
    """
    by_path = {top.path: top for top in tops}
    found = []
    for body in feature.bodies:
        for rim in body.rims:
            top = by_path.get(f"rims/{rim.id}")
            if top is None or not rim.fill or rim.berm_m <= 0.0:
                continue
            kind = fill(rim.fill)
            ends = (rim.settlement, kind.settles.low, kind.settles.high)
            share = Band(rim.settlement, min(ends), max(ends))
            spare = top.freeboard_m
            low = spare.low - rim.berm_m * (share.high - share.value)
            high = spare.high + rim.berm_m * (share.value - share.low)
            found.append(
                Settles(
                    path=top.path, fill=kind.text, share=share, spare_m=Band(spare.value, low, high), source=kind.source
                )
            )
    return tuple(found)
