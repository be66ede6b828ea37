"""Starts, stops and faults of a feature followed over time: from dry, from rest, half blocked, out of its liner."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Set

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import Cancelled, NoAnswer
from rillwright.feature import Feature, Holding
from rillwright.hydraulics import engine_of
from rillwright.progress import Progress, silent
from rillwright.shape import Shape
from rillwright.sources import default
from rillwright.water.over_time_answers import Ending, Leaking, highest_over_time, leaks_of
from rillwright.water.over_time_layout import Ways, layout
from rillwright.water.over_time_loop import Delivery, How, Loop, Moment, Passing
from rillwright.water.over_time_play import Bounds, Played, Told, play
from rillwright.water.over_time_range import ends_of_flows, ends_of_ways, reached
from rillwright.water.over_time_result import History, OverTime
from rillwright.water.result import Water
from rillwright.water.settled import settle

FIRST_START, START, STOP, POWER_CUT, RESTART = "first start", "start", "stop", "power cut", "restart"
BLOCKED, BLOCKED_STOP, DIRTY, LEAK = "half blocked", "stop, half blocked", "dirty intake", "leak"
LEAVES = "leaf dam"
_PLAYS = 24
_READY = "over time: made ready, the first time on a machine for some ten seconds"
_SLOW = "numba is not installed: the same steps were taken in NumPy, some thirty times slower"


def over_time(
    feature: Feature, shape: Shape, water: Water, *, progress: Progress = silent, engine: str = ""
) -> OverTime:
    """What the water of a feature does from dry, at start and stop, and when something goes wrong.

    `water` is that of the quick tier: its bands [m] are put about what is found here. `engine` is numba or numpy;
    nothing takes numba where it is there.

    Raises
    ------
    NoAnswer
        If no pump brings water to a stream; Cancelled, if `progress` says so.
    InputError
        If there is no such engine.
    """
    for reach in feature.reaches:
        if reach.side_up_per_across not in (None, math.inf):
            raise NoAnswer(f"banks of bed {reach.id} lean back: over time only upright ones are followed")
        if reach.dish_m > 0.0:
            raise NoAnswer(f"bed {reach.id} is dished: over time only beds that are level across are followed")
    usual = Ways.usual(water)
    laid = layout(feature, usual) if feature.streams else None
    if laid is None or not any(laid.entries.values()):
        raise NoAnswer("no pump brings water to a stream: there is nothing to follow")
    loop = Loop(feature, shape, runs=settle(feature, shape).runs, laid=laid, engine=engine)

    def other(ways: Ways, deliveries: tuple[Delivery, ...] = loop.deliveries) -> Loop:
        return Loop(feature, shape, runs=(), laid=layout(feature, ways), engine=engine, deliveries=deliveries)

    choked = other(replace(usual, open_share=default("blocked.width_share").number))
    dammed = other(replace(usual, dam_m=default("blocked.leaf_dam").number))
    ends = [
        other(ways, flows)
        for ways, flows in zip(ends_of_ways(water), ends_of_flows(water, loop.deliveries), strict=True)
    ]
    stage = _Stage(feature, progress)
    if not progress(0.0, _READY):
        raise Cancelled("over time: stopped by hand before it began")
    loop.after(loop.dry(), How(on=False))  # compiled here, where that was said
    first, start = _starts(stage, loop)
    stops = _stops(stage, loop, start, STOP)
    ran = _filled_again(loop, start)
    cut = _power_cut(stage, loop, ran)
    blocked = stage.play(choked, ran.end, How(on=True), BLOCKED)
    blocked_stops = _stops(stage, choked, blocked, BLOCKED_STOP)
    leaves = stage.play(dammed, ran.end, How(on=True), LEAVES)
    dirty = stage.play(loop, ran.end, How(on=True, dirty=True), DIRTY)
    leaking = _leaking(stage, loop, first, ran)
    steady = first.history.settled and start.history.settled  # else its ends would be no ends of anything
    others = [_end(stage, each) for each in ends] if steady else []
    progress(1.0, "over time")
    told = (first, start, *stops, *cut, blocked, *blocked_stops, leaves, dirty, leaking.played)
    taken = engine_of(engine)
    return OverTime(
        histories=tuple(each.history for each in told),
        highest=highest_over_time(
            water,
            loop.basins,
            reaches={
                "first start": first.reaches_m,
                "running": start.reaches_m,
                "half blocked": blocked.reaches_m,
                "leaf dam": leaves.reaches_m,
            },
            endings=[Ending(case="stopped", stops=stops), Ending(case="half blocked", stops=blocked_stops)],
        ),
        leaks=leaks_of(loop, leaking),
        cells=len(laid.channel.bed),
        engine=taken,
        note=_SLOW if taken == "numpy" and not engine else "",
        ranges=reached([each.history for each in (first, start, *stops)], others),
    )


def _filled_again(loop: Loop, start: Played) -> Played:
    """What runs, for what may go wrong then; a start whose water left its liner is topped up again first."""
    return replace(start, end=filled(loop, start.end)) if start.history.over_banks else start


def _end(stage: _Stage, loop: Loop) -> list[History]:
    """Both starts and both stops at one end of what is not known."""
    first, start = _starts(stage, loop)
    return [each.history for each in (first, start, *_stops(stage, loop, start, STOP))]


class _Stage:
    """Where histories are played one after the other, and who is told how far they are."""

    def __init__(self, feature: Feature, progress: Progress) -> None:
        self.progress, self.count = progress, 0
        self.holding = feature.bodies[0].holding
        self.bounds = Bounds.usual()

    def play(
        self,
        loop: Loop,
        begin: Moment,
        how: How,
        case: str,
        *,
        holding: Holding | None = None,
        most_s: float = 0.0,
        over: Callable[[Moment, Passing], str] | None = None,
    ) -> Played:
        told = Told(progress=self.progress, number=self.count, of=_PLAYS)
        self.count += 1
        held = (holding or self.holding).value
        return play(
            loop,
            begin,
            how,
            case=case,
            holding=held,
            most_s=most_s or self.bounds.longest_s,
            told=told,
            bounds=self.bounds,
            starting=case in (FIRST_START, START),
            over=over,
        )


def _starts(stage: _Stage, loop: Loop) -> tuple[Played, Played]:
    """From dry, and from rest: with every pool full, and every body at its waterline again.

    Where the first filling takes more than there is above an intake, it is topped up until it runs, as people do.
    """
    first = stage.play(loop, loop.dry(), How(on=True), FIRST_START)
    ran = first.end
    if first.history.air_s is not None:
        ran = stage.play(loop, ran, How(on=True, top_up=True), FIRST_START).end
    rested = at_waterlines(loop, stage.play(loop, ran, How(on=False), STOP).end)
    return first, stage.play(loop, rested, How(on=True), START)


def _stops(stage: _Stage, loop: Loop, ran: Played, case: str) -> list[Played]:
    """A stop of what ran untouched, and of what was topped up while it ran."""
    off = How(on=False)
    return [
        stage.play(loop, ran.end, off, case, holding=Holding.AT_REST),
        stage.play(loop, filled(loop, ran.end), off, case, holding=Holding.WHILE_RUNNING),
    ]


def _power_cut(stage: _Stage, loop: Loop, start: Played) -> tuple[Played, Played]:
    """Off for a short while, and on again before all has run back."""
    begin = filled(loop, start.end) if stage.holding is Holding.WHILE_RUNNING else start.end
    off_s = stage.bounds.power_cut_s

    def back(moment: Moment, _: Passing) -> str:
        return "the power comes back" if moment.time_s - begin.time_s >= off_s else ""

    cut = stage.play(loop, begin, How(on=False), POWER_CUT, over=back)
    return cut, stage.play(loop, cut.end, How(on=True), RESTART)


def _leaking(stage: _Stage, loop: Loop, first: Played, start: Played) -> Leaking:
    """The pumps go on, nothing that they bring comes back, and nobody tops up."""
    drawn = sorted({each.source for each in loop.deliveries})
    begin = filled(loop, start.end) if stage.holding is Holding.WHILE_RUNNING else start.end
    ran_m = {body: loop.level_m(begin, body) for body in drawn}
    cut_offs = _cut_offs(stage, loop, first, start, ran_m=ran_m)
    cut_at: dict[str, float] = {}

    def over(moment: Moment, passing: Passing) -> str:
        for body in drawn:
            if loop.level_m(moment, body) <= cut_offs.at_m[body]:
                cut_at.setdefault(body, moment.time_s - begin.time_s)
        return "the pump sucks air" if len(passing.air) == len(loop.deliveries) else ""

    played = stage.play(loop, begin, How(on=True, leak=True), LEAK, most_s=stage.bounds.leak_s, over=over)
    return Leaking(
        played=played,
        cut_off_m=cut_offs.at_m,
        cut_off_s=cut_at,
        trips_first=cut_offs.trips_first,
        may_trip_first=cut_offs.may_trip_first,
        may_trip=cut_offs.may_trip,
    )


class _CutOffs(Struct, frozen=True):
    """Levels [m] of low-water cut-offs by body, and at which bodies which start would trip or may trip them."""

    at_m: Mapping[str, float]
    trips_first: Set[str]
    may_trip_first: Set[str]
    may_trip: Set[str]


def _cut_offs(stage: _Stage, loop: Loop, first: Played, start: Played, *, ran_m: Mapping[str, float]) -> _CutOffs:
    """Level [m] of a low-water cut-off by body, below the lowest that any start may come down to; of a start from dry
    only where that leaves it above the level at which the pump sucks air.

    A start may draw down as much more as the water in transit may be more. Where the cut-off then has no room over that
    level it is set below the likeliest lowest, and may trip.
    """
    below, cut_off = stage.bounds.cut_off_m, dict[str, float]()
    trips, may_first, may = set[str](), set[str](), set[str]()
    dry, rest = (_lowest(each, ran_m) for each in (first, start))
    for body, ran in ran_m.items():
        (dry_m, dry_low), (rest_m, rest_low), air_m = dry[body], rest[body], loop.basins[body].dry_m
        fits = first.history.air_s is None
        tried = [min(rest_low, ran) - below, min(rest_m, ran) - below]
        tried = [min(tried[0], dry_low - below), *tried] if fits else tried
        cut_off[body] = next((each for each in tried[:-1] if each > air_m), tried[-1])
        if dry_m <= cut_off[body] or not fits:
            trips.add(body)
        elif dry_low <= cut_off[body]:
            may_first.add(body)
        if min(rest_low, ran) <= cut_off[body]:
            may.add(body)
    return _CutOffs(cut_off, trips, may_first, may)


def _lowest(played: Played, ran_m: Mapping[str, float]) -> dict[str, tuple[float, float]]:
    """By body the lowest level of a start [m]: as followed, and drawn down by what transit may be more."""
    share = default("transit.band").number
    found = {
        each.body: (each.lowest_m, each.lowest_m - share * max(each.begin_m - each.lowest_m, 0.0))
        for each in played.history.bodies
    }
    return {body: found.get(body, (ran, ran)) for body, ran in ran_m.items()}


def filled(loop: Loop, moment: Moment) -> Moment:
    """The same moment with every body topped up to its waterline [m3 added]."""
    return _with_bodies(moment, {id: max(basin.held_m3, moment.bodies_m3[id]) for id, basin in loop.basins.items()})


def at_waterlines(loop: Loop, moment: Moment) -> Moment:
    """The same moment with every body at its waterline: topped up, or what is over it let off."""
    return _with_bodies(moment, {id: basin.held_m3 for id, basin in loop.basins.items()})


def _with_bodies(moment: Moment, held_m3: dict[str, float]) -> Moment:
    added = sum(held_m3.values()) - sum(moment.bodies_m3.values())
    return replace(moment, bodies_m3=held_m3, added_m3=moment.added_m3 + added)
