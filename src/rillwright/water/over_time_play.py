"""A feature's water followed from one moment until nothing changes any more, and what is kept of it."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.errors import Cancelled
from rillwright.progress import Progress
from rillwright.sources import default
from rillwright.water.over_time_loop import WHILE_S, How, Loop, Moment, Passing
from rillwright.water.over_time_result import (
    BodyRun,
    FallRun,
    Film,
    FlowTrace,
    History,
    LevelTrace,
    OverBank,
    Station,
    StoredTrace,
)

DRAINED_S, FED_S, LEFT_S = 600, 1800, 7200  # after which a stream is followed in longer strides: see _while_s
LONG_WHILE_S, LONGEST_WHILE_S = 5, 20
LOOK_S = 20  # between two looks at whether anything still changes
TELL_S = 10  # between two words to whoever waits
MOST_SAMPLES = 480  # of a trace
MOST_FRAMES, MOST_STATIONS = 60, 80  # of a film: fewer values than are written out in full
LEAST_FRAMES = 12  # however many beds there are
WET_M = 1e-4  # a film of water that nobody sees


_HOUR_S = 3600.0

Ints = NDArray[np.int64]


class Bounds(Struct, frozen=True, kw_only=True):
    """How long things are followed [s], and what counts as steady and as running [-]."""

    longest_s: float
    leak_s: float
    power_cut_s: float
    cut_off_m: float  # below the lowest ordinary level
    steady: float
    runs: float

    @classmethod
    def usual(cls) -> Bounds:
        """Those of the defaults."""
        return cls(
            longest_s=_HOUR_S * default("over_time.longest").number,
            leak_s=_HOUR_S * default("over_time.leak").number,
            power_cut_s=_HOUR_S * default("over_time.power_cut").number,
            cut_off_m=default("over_time.cut_off").number,
            steady=default("over_time.steady").number,
            runs=default("over_time.runs").number,
        )


class Played(Struct, frozen=True, kw_only=True):
    """A history, the moment at its end, the highest water of each reach [m]."""

    history: History
    end: Moment
    reaches_m: dict[str, float]


class Told(Struct, frozen=True, kw_only=True):
    """Whom to tell how far it is: this is play number so many, from 0, of so many."""

    progress: Progress
    number: int
    of: int

    def tell(self, share: float, doing: str) -> bool:
        """Say what share of this play is done [-]; False to stop."""
        return self.progress(min((self.number + min(share, 1.0)) / self.of, 1.0), doing)


def play(
    loop: Loop,
    begin: Moment,
    how: How,
    *,
    case: str,
    holding: str,
    most_s: float,
    told: Told,
    bounds: Bounds,
    starting: bool = False,
    over: Callable[[Moment, Passing], str] | None = None,
) -> Played:
    """Follow the water from `begin` until streams and gravel hold what they held 20 s before, or `over` says why.

    While water leaves its liner over a bank it is followed on, until the pumps have nothing left to bring.

    Raises
    ------
    Cancelled
        If whoever waits says so.
    """
    usual = sum(max(each.wanted_m3s, sum(each.flows_m3s(0.0, dirty=False))) for each in loop.deliveries)
    kept = _Kept(loop, begin, least=bounds.runs * usual if starting else np.inf)
    still = bounds.steady * usual * LOOK_S
    moment, held, why, settled = begin, _stored(loop, begin), "", False
    wanted = max(usual, 1e-9)
    while not why:
        moment, passing = loop.after(moment, how, _while_s(how, moment.time_s - begin.time_s))
        since = moment.time_s - begin.time_s
        kept.add(moment, passing, since)
        if since % TELL_S < WHILE_S and not told.tell(since / most_s, case):
            raise Cancelled(f"{case}: stopped by hand after {since:.0f} s of it")
        if over is not None:
            why = over(moment, passing)
            settled = bool(why)
        elif passing.banks_m3 and len(passing.air) == len(loop.deliveries):
            settled, why = True, "water left its liner over a bank until the pump sucked air"
        if not why and since % LOOK_S < WHILE_S:
            before, held = held, _stored(loop, moment)
            stands = since > 2 * LOOK_S and abs(held - before) + kept.losing() < still
            if stands and over is None:
                settled, why = True, "nothing changes any more"
            elif stands and how.leak and since >= LEFT_S:
                how = replace(how, still=True)
        if not why and since >= most_s:
            why = f"followed for {most_s / 60:.0f} min, the longest allowed; {_moving(passing, held - before, wanted)}"
    history = kept.history(moment, case=case, holding=holding, settled=settled, why=why)
    return Played(history=history, end=moment, reaches_m=kept.reaches_m)


def _while_s(how: How, since_s: float) -> float:
    """How long [s] levels and flows are taken as they are: longer when all has been slow for long."""
    if since_s >= LEFT_S:
        return LONGEST_WHILE_S
    return LONG_WHILE_S if since_s >= (FED_S if how.on and not how.leak else DRAINED_S) else WHILE_S


def _moving(passing: Passing, change_m3: float, wanted_m3s: float) -> str:
    if passing.banks_m3:
        reach = max(passing.banks_m3, key=lambda id: passing.banks_m3[id])
        return f"water still leaves its liner over the bank of {reach}"
    most = max(passing.falls_m3s, key=lambda id: passing.falls_m3s[id], default="")
    where = f"falls/{most} runs most" if most else "no fall runs"
    return f"what the streams hold still changes by {abs(change_m3) / LOOK_S / wanted_m3s:.1%} of the flow, {where}"


def _stored(loop: Loop, moment: Moment) -> float:
    return loop.stream_m3(moment) + float(moment.gravel_m3.sum()) + sum(moment.pipes_m3.values())


def _shown(loop: Loop) -> Ints:
    """The cells that a film shows: the ends of every bed, and others evenly between them."""
    beds = [np.arange(first, beyond) for first, beyond in loop.laid.reaches.values()]
    inner = np.sort(np.concatenate(beds)) if beds else np.zeros(0, np.int64)
    ends = [end for cells in beds for end in (cells[0], cells[-1])]
    spread = np.linspace(0, len(inner) - 1, max(min(MOST_STATIONS - len(ends), len(inner)), 0)).round().astype(int)
    return np.union1d(inner[spread], np.array(ends, np.int64))


class _Kept:
    """What is kept of a play: extremes at every moment; traces as fine as is drawn, fewer as it grows long."""

    def __init__(self, loop: Loop, begin: Moment, *, least: float) -> None:
        self.loop, self.begin, self.least = loop, begin, least  # [m3/s] with which a fall is said to run
        self.whole = loop.whole_m3(begin)
        levels = {body: loop.level_m(begin, body) for body in loop.basins}
        self.lowest = {body: (level, 0.0) for body, level in levels.items()}
        self.highest = dict(self.lowest)
        self.begin_m = levels
        self.first: dict[str, float] = {}
        self.banks: dict[str, tuple[float, float]] = {}  # when water first went over it, and how much since
        self.lost_m3 = 0.0  # over banks, at the last look
        self.air: float | None = None
        self.bounds_of_reaches = np.array(list(loop.laid.reaches.values()), np.int64).reshape(-1)
        self.tops_m = np.full(len(loop.laid.reaches), -np.inf)
        self.rows: list[tuple[float, ...]] = []
        self.every_s = WHILE_S
        self.frames: list[tuple[float, np.ndarray]] = []
        self.frame_s = WHILE_S
        self.shown = _shown(loop)
        self.most_frames = max(MOST_FRAMES * MOST_STATIONS // max(len(self.shown), MOST_STATIONS), LEAST_FRAMES)
        self._frame(begin, 0.0)
        runs = {each.id: 0.0 for each in loop.deliveries}
        self.last = Passing(falls_m3s=dict.fromkeys(loop.laid.falls, 0.0), runs_m3s=runs, air=())

    def add(self, moment: Moment, passing: Passing, since: float) -> None:
        self.last = passing
        levels = {body: self.loop.level_m(moment, body) for body in self.loop.basins}
        for body, level in levels.items():
            self.lowest[body] = min(self.lowest[body], (level, since))
            if level > self.highest[body][0]:
                self.highest[body] = (level, since)
        for fall, flow in passing.falls_m3s.items():
            if flow >= self.least:
                self.first.setdefault(fall, since)
        for reach, volume in passing.banks_m3.items():
            first, so_far = self.banks.get(reach, (since, 0.0))
            self.banks[reach] = first, so_far + volume
        if passing.air and self.air is None:
            self.air = since
        self._reaches(moment)
        if since % self.every_s < WHILE_S:
            self._sample(moment, passing, levels, since)
        if since % self.frame_s < WHILE_S:
            self._frame(moment, since)

    def losing(self) -> float:
        """What went over banks since this was last asked [m3]."""
        before, self.lost_m3 = self.lost_m3, sum(volume for _, volume in self.banks.values())
        return self.lost_m3 - before

    def _reaches(self, moment: Moment) -> None:
        depth = moment.channel.depth
        surface = np.where(depth > WET_M, self.loop.laid.channel.bed + depth, -np.inf)
        if len(self.tops_m):
            tops = np.maximum.reduceat(surface, self.bounds_of_reaches)[::2]
            self.tops_m = np.maximum(self.tops_m, tops)

    @property
    def reaches_m(self) -> dict[str, float]:
        return dict(zip(self.loop.laid.reaches, self.tops_m.tolist(), strict=True))

    def _sample(self, moment: Moment, passing: Passing, levels: dict[str, float], since: float) -> None:
        stored = (self.loop.stream_m3(moment), float(moment.gravel_m3.sum()), sum(moment.pipes_m3.values()))
        flows = (*passing.falls_m3s.values(), *passing.runs_m3s.values())
        drawn = [round(level, 5) for level in levels.values()], [round(flow, 8) for flow in flows]
        self.rows.append((since, *drawn[0], *drawn[1], *(round(volume, 6) for volume in stored)))
        if len(self.rows) > MOST_SAMPLES:
            self.rows, self.every_s = self.rows[1::2], 2.0 * self.every_s

    def _frame(self, moment: Moment, since: float) -> None:
        level = self.loop.laid.channel.bed + moment.channel.depth
        self.frames.append((since, level[self.shown]))
        if len(self.frames) > self.most_frames:
            self.frames, self.frame_s = self.frames[::2], 2.0 * self.frame_s

    def history(self, end: Moment, *, case: str, holding: str, settled: bool, why: str) -> History:
        loop, passing = self.loop, self.last
        columns = iter([tuple(column) for column in zip(*self.rows, strict=True)])
        times = next(columns)
        return History(
            case=case,
            holding=holding,
            settled=settled,
            why=why,
            lasted_s=end.time_s - self.begin.time_s,
            falls=tuple(
                FallRun(fall=fall, path=f"falls/{fall}", first_s=self.first.get(fall), end_m3s=flow)
                for fall, flow in passing.falls_m3s.items()
            ),
            bodies=tuple(self._body(body, end) for body in loop.basins),
            air_s=self.air,
            taken_up_m3=_stored(loop, end) - _stored(loop, self.begin),
            lost_m3=end.lost_m3 - self.begin.lost_m3,
            drift=abs(loop.whole_m3(end) - self.whole) / self.whole if self.whole > 0.0 else 0.0,
            times_s=times,
            levels=tuple(LevelTrace(path=f"ponds/{body}", level_m=next(columns)) for body in loop.basins),
            crests=tuple(FlowTrace(path=f"falls/{fall}", flow_m3s=next(columns)) for fall in passing.falls_m3s),
            pumped=tuple(FlowTrace(path=f"runs/{run}", flow_m3s=next(columns)) for run in passing.runs_m3s),
            stored=tuple(StoredTrace(what=what, volume_m3=next(columns)) for what in ("streams", "gravel", "pipes")),
            film=self._film(),
            over_banks=tuple(
                OverBank(reach=reach, path=f"reaches/{reach}", first_s=first, lost_m3=volume)
                for reach, (first, volume) in self.banks.items()
            ),
        )

    def _body(self, body: str, end: Moment) -> BodyRun:
        (lowest, lowest_s), (highest, highest_s) = self.lowest[body], self.highest[body]
        return BodyRun(
            body=body,
            begin_m=self.begin_m[body],
            lowest_m=lowest,
            lowest_s=lowest_s,
            highest_m=highest,
            highest_s=highest_s,
            end_m=self.loop.level_m(end, body),
        )

    def _film(self) -> Film:
        laid = self.loop.laid
        return Film(
            times_s=tuple(since for since, _ in self.frames),
            stations=tuple(
                Station(
                    stream=laid.stations[i][0],
                    station_m=round(laid.stations[i][1], 4),
                    bed_m=round(float(laid.channel.bed[i]), 4),
                )
                for i in self.shown
            ),
            levels_m=tuple(tuple(round(float(level), 4) for level in levels) for _, levels in self.frames),
        )
