"""What histories come to: the highest water of bodies and reaches, and what is left when a stream leaks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set

from msgspec import Struct

from rillwright.feature import Holding
from rillwright.shape import volume_at
from rillwright.units import Band
from rillwright.water.balance import levels, transit_band
from rillwright.water.over_time_loop import Basin, Loop
from rillwright.water.over_time_play import Played
from rillwright.water.over_time_result import Leak
from rillwright.water.result import HighWater, Water

METHOD = "shallow water over time"


class Ending(Struct, frozen=True, kw_only=True):
    """The stops, in both ways of holding the level, that a case of the highest water is read from."""

    case: str
    stops: list[Played]


class Leaking(Struct, frozen=True, kw_only=True):
    """A leak as it was followed; level [m] of a cut-off and when it would have stopped the pump [s], by body, and at
    which bodies it would, or may, stop the pump at the first start from dry as well, or may at any start.
    """

    played: Played
    cut_off_m: Mapping[str, float]
    cut_off_s: Mapping[str, float]
    trips_first: Set[str] = frozenset()
    may_trip_first: Set[str] = frozenset()
    may_trip: Set[str] = frozenset()


def highest_over_time(
    water: Water,
    basins: Mapping[str, Basin],
    *,
    reaches: Mapping[str, Mapping[str, float]],
    endings: Sequence[Ending],
) -> tuple[HighWater, ...]:
    """Highest water of bodies from their stops, of reaches [m] by case; the bands of the quick tier about it."""
    found = [
        _of_body(basin, ending.case, played)
        for basin in basins.values()
        for ending in endings
        for played in ending.stops
    ]
    for case, by_reach in reaches.items():
        for reach, level in by_reach.items():
            found += _of_reach(water, f"reaches/{reach}", case, level)
    return tuple(found)


def _of_body(basin: Basin, case: str, played: Played) -> HighWater:
    """What came back moves the level; how much it may be in truth is as unsure as in the quick tier."""
    body, history = basin.body, played.history
    reached = next(each.highest_m for each in history.bodies if each.body == body.id)
    transit = transit_band(max(-history.taken_up_m3, 0.0))
    holding = Holding(history.holding)
    usual = levels(basin.pond, body.waterline.m, holding=holding, transit=transit).stopped
    level = Band(
        reached, min(reached + usual.low - usual.value, reached), max(reached + usual.high - usual.value, reached)
    )
    return HighWater(path=f"ponds/{body.id}", case=case, holding=holding.value, level_m=level, method=METHOD)


def _of_reach(water: Water, path: str, case: str, level_m: float) -> list[HighWater]:
    """None where it stayed dry."""
    usual = {high.case: high for high in water.highest if high.path == path}
    about = usual.get(case) or usual.get("running")
    if about is None or level_m == float("-inf"):
        return []
    down, up = about.level_m.low - about.level_m.value, about.level_m.high - about.level_m.value
    level = Band(level_m, level_m + down, level_m + up)
    return [HighWater(path=path, case=case, holding=about.holding, level_m=level, method=METHOD)]


def leaks_of(loop: Loop, leaking: Leaking) -> tuple[Leak, ...]:
    """What is left [m3] in each body that a pump drew from, and what a cut-off would have saved."""
    return tuple(_leak(loop, leaking, body) for body in leaking.cut_off_m)


def _leak(loop: Loop, leaking: Leaking, body: str) -> Leak:
    basin, end, history = loop.basins[body], leaking.played.end, leaking.played.history
    level, left = loop.level_m(end, body), end.bodies_m3[body]
    cut_m = max(leaking.cut_off_m[body], basin.dry_m)
    return Leak(
        body=body,
        air_s=history.air_s,
        level_m=level,
        depth_left_m=level - basin.pond.floor_m,
        left_m3=left,
        lost_m3=history.lost_m3,
        cut_off_m=cut_m,
        cut_off_s=leaking.cut_off_s.get(body, history.air_s),
        saved_m3=max(volume_at(basin.pond, cut_m) - left, 0.0),
        filled_while=basin.body.holding is Holding.WHILE_RUNNING,
        trips_first=body in leaking.trips_first,
        may_trip_first=body in leaking.may_trip_first,
        may_trip=body in leaking.may_trip,
    )
