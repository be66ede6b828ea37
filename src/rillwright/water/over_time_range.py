"""The main answers over time at both ends of what is not known: flow, crests, roughness and voids of the gravel."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from msgspec.structs import replace

from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.over_time_layout import Ways
from rillwright.water.over_time_loop import Delivery, End
from rillwright.water.over_time_result import History, Reached
from rillwright.water.result import Water

LOWEST, HIGHEST, RUNS = "lowest", "highest", "runs"
_SEEN_M = 1e-4  # a move of a level that is no more than this is none


def ends_of_ways(water: Water) -> tuple[Ways, Ways]:
    """The streams as they hold least, and as they hold most: sharp crests over smooth beds and tight gravel, rough
    crests over rough beds and loose gravel. A bed's law may be off as far as in the quick tier.
    """
    c, voids = default("crest.c").band, default("gravel.porosity").band
    off = {wet.reach: wet.profile.roughness for wet in water.reaches if wet.profile is not None}
    rough = {reach: 1.0 / factor for reach, factor in off.items()}
    lips = {crest.fall: crest.coefficient for crest in water.crests if crest.coefficient is not None}
    sharp, blunt = ({fall: of(lip) for fall, lip in lips.items()} for of in (_high, _low))
    return (
        Ways(crest_c=c.high, porosity=voids.low, falls_c=sharp, smooth=off),
        Ways(crest_c=c.low, porosity=voids.high, falls_c=blunt, smooth=rough),
    )


def ends_of_flows(water: Water, deliveries: Sequence[Delivery]) -> tuple[tuple[Delivery, ...], tuple[Delivery, ...]]:
    """What the runs bring at the low and the high end of their flows [m3/s]."""
    flows = {point.run: point.flow_m3s for point in water.circuit.pumps}

    def scaled(which: Callable[[Band], float]) -> tuple[Delivery, ...]:
        return tuple(_times(each, _share(flows.get(each.id), which)) for each in deliveries)

    return scaled(_low), scaled(_high)


def _low(band: Band) -> float:
    return band.low


def _high(band: Band) -> float:
    return band.high


def _share(flow: Band | None, which: Callable[[Band], float]) -> float:
    return 1.0 if flow is None or flow.value <= 0.0 else max(which(flow), 0.0) / flow.value


def _times(delivery: Delivery, share: float) -> Delivery:
    def more(end: End) -> End:
        clean, dirty = (tuple(flow * share for flow in flows) for flows in (end.clean_m3s, end.dirty_m3s))
        return replace(end, clean_m3s=clean, dirty_m3s=dirty)

    return replace(delivery, ends=tuple(more(end) for end in delivery.ends))


def reached(usual: Sequence[History], others: Sequence[Sequence[History]]) -> tuple[Reached, ...]:
    """What each of the usual histories comes to, with what it comes to in the others of its case and holding."""
    found: list[Reached] = []
    for history in usual:
        ends = [each for end in others for each in end if (each.case, each.holding) == (history.case, history.holding)]
        if ends:
            found += _of_history(history, ends)
    return tuple(found)


def _of_history(history: History, ends: Sequence[History]) -> Iterator[Reached]:
    for fall in history.falls:
        times = [each.first_s for end in ends for each in end.falls if each.fall == fall.fall]
        if fall.first_s is not None:
            yield _reached(history, fall.path, RUNS, time_s=_hull(fall.first_s, times))
    for body in history.bodies:
        runs = [each for end in ends for each in end.bodies if each.body == body.body]
        path = f"ponds/{body.body}"
        if body.lowest_m < body.begin_m - _SEEN_M:
            level = _hull(body.lowest_m, [each.lowest_m for each in runs])
            time = _hull(body.lowest_s, [each.lowest_s for each in runs])
            yield _reached(history, path, LOWEST, time_s=time, level_m=level)
        if body.highest_m > body.begin_m + _SEEN_M:
            level = _hull(body.highest_m, [each.highest_m for each in runs])
            time = _hull(body.highest_s, [each.highest_s for each in runs])
            yield _reached(history, path, HIGHEST, time_s=time, level_m=level)


def _reached(history: History, path: str, what: str, *, time_s: Band, level_m: Band | None = None) -> Reached:
    return Reached(case=history.case, holding=history.holding, path=path, what=what, time_s=time_s, level_m=level_m)


def _hull(value: float, others: Sequence[float | None]) -> Band:
    """The value between the least and the most; without bound where it does not come about at an end."""
    ends = [value, *(math.inf if each is None else each for each in others)]
    return Band(value, min(ends), max(ends))
