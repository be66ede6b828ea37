"""Streams, gravel, pipes, pumps and bodies together, a short while at a time: what one gives the next takes."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.feature import Body, Feature, IntakeKind
from rillwright.hydraulics import IDEAL_BROAD_C, ChannelState, Prepared, prepare, run_prepared, seep, still_water
from rillwright.shape import PondShape, Shape, level_at, volume_at
from rillwright.sources import default, fitting
from rillwright.water.over_time_layout import Layout
from rillwright.water.run import AS_BUILT, Conditions, PipedRun

Floats = NDArray[np.float64]

WHILE_S = 1.0  # in which levels of bodies and flows of pumps are taken as they were at its beginning
_DROPS = 48  # at which a pump is asked; between them straight


class Basin(Struct, frozen=True, kw_only=True):
    """A body as the loop needs it."""

    body: Body
    pond: PondShape
    dry_m: float  # level at which its intake sucks air

    dry_m3: float  # water below it

    @property
    def held_m3(self) -> float:
        """Water below its waterline [m3]."""
        return volume_at(self.pond, self.body.waterline.m)


class End(Struct, frozen=True, kw_only=True):
    """Where water leaves a run: cells with their share, or a body; what comes out at each drop, clean and dirty."""

    cells: tuple[tuple[int, float], ...]
    body: str  # where it has no cells
    level_m: float
    under_water: bool
    clean_m3s: tuple[float, ...]
    dirty_m3s: tuple[float, ...]


class Delivery(Struct, frozen=True, kw_only=True):
    """A run: what comes out of its ends when it lifts farther by a drop [m] than from the waterline to them at rest."""

    id: str
    source: str
    wanted_m3s: float
    check_valve: bool
    drops_m: tuple[float, ...]
    ends: tuple[End, ...]
    pipe_m3: float

    def flows_m3s(self, drop_m: float, *, dirty: bool) -> list[float]:
        """Flow out of each end [m3/s] at a drop [m]."""
        return [float(np.interp(drop_m, self.drops_m, end.dirty_m3s if dirty else end.clean_m3s)) for end in self.ends]


class Moment(Struct, frozen=True, kw_only=True):
    """Everything that holds water, at one time [s] since the beginning; volumes [m3]."""

    time_s: float
    channel: ChannelState
    gravel_m3: Floats  # by cell
    bodies_m3: Mapping[str, float]
    pipes_m3: Mapping[str, float]
    lost_m3: float = 0.0  # out of the feature
    added_m3: float = 0.0  # from outside
    falling_m3: Mapping[int, float] = {}  # over the last fall of a stream that joins another, by the cell it comes to


class Passing(Struct, frozen=True, kw_only=True):
    """What went on in the while before a moment: flows [m3/s] over falls and of runs, runs that sucked air, and what
    left its liner over the bank of a reach [m3].
    """

    falls_m3s: Mapping[str, float]
    runs_m3s: Mapping[str, float]
    air: tuple[str, ...]
    banks_m3: Mapping[str, float] = {}


class How(Struct, frozen=True, kw_only=True):
    """How it is run: pumps on or off, their intakes dirty, held by topping up, leaking."""

    on: bool
    dirty: bool = False
    top_up: bool = False
    leak: bool = False  # what the pumps bring to streams leaves the feature
    still: bool = False  # streams and gravel stand as they are, and are left so


class Loop:
    """A feature's water in motion. It holds what does not change; moments are handed through.

    `deliveries` are those of another loop of the same feature: only of the streams something may then be different.
    """

    def __init__(
        self,
        feature: Feature,
        shape: Shape,
        *,
        runs: tuple[PipedRun, ...],
        laid: Layout,
        engine: str,
        deliveries: tuple[Delivery, ...] | None = None,
    ) -> None:
        self.laid, self.engine = laid, engine
        self.prepared: Prepared = prepare(laid.channel)
        self.basins = {body.id: _basin(body, shape) for body in feature.bodies}
        self.deliveries = deliveries or tuple(_delivery(run, self.basins[run.run.source], laid) for run in runs)
        self.plan = laid.channel.plan_m2
        self.nothing = np.zeros(len(laid.channel.bed) - 1)

    def dry(self) -> Moment:
        """Bodies filled to their waterlines, all else empty."""
        empty = np.zeros(len(self.laid.channel.bed))
        return Moment(
            time_s=0.0,
            channel=still_water(self.laid.channel, empty),
            gravel_m3=empty,
            bodies_m3={id: basin.held_m3 for id, basin in self.basins.items()},
            pipes_m3={each.id: 0.0 for each in self.deliveries},
        )

    def level_m(self, moment: Moment, body: str) -> float:
        """Level of a body [m]."""
        return level_at(self.basins[body].pond, moment.bodies_m3[body])

    def stream_m3(self, moment: Moment) -> float:
        """Water above the gravel of all streams [m3]."""
        return math.fsum(self.plan * moment.channel.depth) + math.fsum(self.plan * moment.channel.rest)

    def whole_m3(self, moment: Moment) -> float:
        """All the water there is, and what left less what came from outside [m3]: it never changes."""
        held = [*moment.bodies_m3.values(), *moment.pipes_m3.values(), math.fsum(moment.gravel_m3)]
        held += moment.falling_m3.values()
        return math.fsum([*held, self.stream_m3(moment), moment.lost_m3, -moment.added_m3])

    def after(self, moment: Moment, how: How, while_s: float = WHILE_S) -> tuple[Moment, Passing]:
        """The feature a while [s] later."""
        bodies, pipes = dict(moment.bodies_m3), dict(moment.pipes_m3)
        levels = {id: level_at(basin.pond, bodies[id]) for id, basin in self.basins.items()}
        sources, flows, air, lost = self._pumped(moment, bodies, pipes, levels, how, while_s)
        channel, gravel, through = moment.channel, moment.gravel_m3, self.nothing
        banks: dict[str, float] = {}
        falling = dict(moment.falling_m3)
        if not how.still:
            falling = self._landed(falling, sources, while_s)
            channel, through = self._run(moment, sources, levels, while_s)
            channel, gravel = self._seeped(moment, channel, bodies, falling, while_s)
            channel, banks = self._over_banks(channel, while_s)
            channel = self._siphoned(channel, bodies, levels, how, while_s)
        for gate in self.laid.gates:
            if gate.cell is None:
                bodies[gate.body] += gate.sign * float(through[gate.face])
            else:
                falling[gate.cell] = falling.get(gate.cell, 0.0) + float(through[gate.face])
        channel, falling = self._taken_back(channel, falling)
        added = self._topped_up(bodies) if how.top_up else 0.0
        later = Moment(
            time_s=moment.time_s + while_s,
            channel=channel,
            gravel_m3=gravel,
            bodies_m3=bodies,
            pipes_m3=pipes,
            lost_m3=moment.lost_m3 + lost + sum(banks.values()),
            added_m3=moment.added_m3 + added,
            falling_m3=falling,
        )
        over = {id: float(through[face]) / while_s for id, face in self.laid.falls.items()}
        return later, Passing(falls_m3s=over, runs_m3s=flows, air=air, banks_m3=banks)

    def _run(
        self, moment: Moment, sources: Floats, levels: Mapping[str, float], while_s: float
    ) -> tuple[ChannelState, Floats]:
        """The streams against the levels of the bodies, and what went through each face [m3]."""
        beds = self.laid.channel.bed.copy()
        for gate in self.laid.gates:
            cell = gate.cell
            beds[gate.outside] = levels[gate.body] if cell is None else beds[cell] + moment.channel.depth[cell]
        run = run_prepared(self.prepared, moment.channel, while_s, sources_m3s=sources, bed_m=beds, engine=self.engine)
        return run.state, run.through_m3

    def _landed(self, falling: dict[int, float], sources: Floats, while_s: float) -> dict[int, float]:
        """What falls into the bed of another stream enters it in the while after: nothing of it is left falling."""
        for cell, volume in falling.items():
            sources[cell] += max(volume, 0.0) / while_s
        return {cell: volume for cell, volume in falling.items() if volume < 0.0}

    def _taken_back(self, state: ChannelState, falling: dict[int, float]) -> tuple[ChannelState, dict[int, float]]:
        """What ran the other way, over the drowned crest of a stream that joins, is taken from the cell of the bed that
        it ran out of, and what that has not is owed.
        """
        if not any(volume < 0.0 for volume in falling.values()):
            return state, falling
        depth, left = state.depth.copy(), dict(falling)
        for cell, volume in falling.items():
            taken = min(max(-volume, 0.0), float(depth[cell] * self.plan[cell]))
            depth[cell] -= taken / self.plan[cell]
            left[cell] = volume + taken
        return replace(state, depth=depth), left

    def _siphoned(
        self, state: ChannelState, bodies: dict[str, float], levels: Mapping[str, float], how: How, while_s: float
    ) -> ChannelState:
        """Stopped, a pipe that nothing shuts draws its bed down to its end, at most as fast as the pump brought it."""
        depth = state.depth.copy()
        for each in self.deliveries if not how.on else ():
            for end in (end for end in each.ends if end.under_water and not each.check_valve):
                usual = float(np.interp(0.0, each.drops_m, end.clean_m3s))
                for cell, share in end.cells:
                    down = max(end.level_m, levels[each.source])
                    over = float(self.laid.channel.bed[cell] + depth[cell]) - down
                    there = max(min(over, float(depth[cell])), 0.0) * float(self.plan[cell])
                    taken = min(there, usual * share * while_s)
                    depth[cell] -= taken / max(self.plan[cell], 1e-12)
                    bodies[each.source] += taken
        return replace(state, depth=depth)

    def _over_banks(self, state: ChannelState, while_s: float) -> tuple[ChannelState, dict[str, float]]:
        """What runs over one bank of each cell leaves the liner, as over a broad crest as long as the cell."""
        channel = self.laid.channel
        over = np.maximum(channel.bed + state.depth - self.laid.banks_m, 0.0)
        if not over.any():
            return state, {}
        leaving = IDEAL_BROAD_C * channel.length * over * np.sqrt(over) * while_s / np.maximum(self.plan, 1e-12)
        depth = np.where(over > 0.0, state.depth - np.minimum(leaving, over), state.depth)
        lost = self.plan * (state.depth - depth)
        reaches = {id: float(lost[first:beyond].sum()) for id, (first, beyond) in self.laid.reaches.items()}
        return replace(state, depth=depth), {id: volume for id, volume in reaches.items() if volume > 0.0}

    def _pumped(
        self, moment: Moment, bodies: dict[str, float], pipes: dict[str, float], levels: Mapping[str, float], how: How,
        while_s: float,
    ) -> tuple[Floats, dict[str, float], tuple[str, ...], float]:  # fmt: skip
        """Take from the bodies what the pumps draw, fill or empty the pipes; what is left enters the streams."""
        sources, flows, air, lost = np.zeros(len(self.plan)), {}, [], 0.0
        for each in self.deliveries:
            basin, out = self.basins[each.source], [0.0] * len(each.ends)
            if not how.on:
                if not each.check_valve:
                    bodies[each.source] += pipes[each.id]
                    pipes[each.id] = 0.0
            else:
                drop = basin.body.waterline.m - levels[each.source] + self._over_end_m(moment, each.ends[0])
                out = each.flows_m3s(drop, dirty=how.dirty)
            flow = sum(out)
            drawn = min(flow * while_s, max(bodies[each.source] - basin.dry_m3, 0.0))
            if drawn < flow * while_s:
                air.append(each.id)
            bodies[each.source] -= drawn
            filling = min(drawn, each.pipe_m3 - pipes[each.id])
            pipes[each.id] += filling
            coming = drawn - filling
            flows[each.id] = drawn / while_s
            if coming > 0.0:
                parts = [q / flow * coming for q in out]
                lost += _enter(each.ends, parts, sources, bodies, while_s=while_s, leak=how.leak)
        return sources, flows, tuple(air), lost

    def _over_end_m(self, moment: Moment, end: End) -> float:
        """Water over an end that lies under it [m], beyond the level said of it."""
        if not end.cells:
            return 0.0
        cell = end.cells[0][0]
        return max(float(self.laid.channel.bed[cell] + moment.channel.depth[cell]) - end.level_m, 0.0)

    def _seeped(
        self, moment: Moment, state: ChannelState, bodies: dict[str, float], falling: dict[int, float], while_s: float
    ) -> tuple[ChannelState, Floats]:
        """Water traded with the gravel; what seeps out of the last of it goes to the bodies, or the beds joined."""
        store = self.laid.gravel
        seeped = seep(store, moment.gravel_m3, self.plan * state.depth, time_s=while_s)
        gravel, surface = seeped.gravel_m3, seeped.surface_m3
        for gate in self.laid.gates:
            out = float(gravel[gate.outside] + surface[gate.outside])
            if gate.cell is None:
                bodies[gate.body] += out
            else:
                falling[gate.cell] = falling.get(gate.cell, 0.0) + out
            gravel[gate.outside] = surface[gate.outside] = 0.0
        depth = np.where(self.plan > 0.0, surface / np.maximum(self.plan, 1e-12), state.depth)
        return replace(state, depth=depth), gravel

    def _topped_up(self, bodies: dict[str, float]) -> float:
        """Fill up to the waterline, at once; what that took [m3]."""
        added = 0.0
        for id, basin in self.basins.items():
            more = max(basin.held_m3 - bodies[id], 0.0)
            bodies[id] += more
            added += more
        return added


def _basin(body: Body, shape: Shape) -> Basin:
    """A body, and the level at which its intake sucks air: as for what is left if a stream leaks."""
    pond = shape.pond(body.id)
    dry_m = pond.floor_m if body.intake.kind is IntakeKind.PIT else max(body.intake.low.m, pond.floor_m)
    return Basin(body=body, pond=pond, dry_m=dry_m, dry_m3=volume_at(pond, dry_m))


def _enter(
    ends: tuple[End, ...],
    coming_m3: list[float],
    sources: Floats,
    bodies: dict[str, float],
    *,
    while_s: float,
    leak: bool,
) -> float:
    """What came out of each end [m3], into its cells as a flow, into its body at once; what a leaking stream loses."""
    lost = 0.0
    for end, volume in zip(ends, coming_m3, strict=True):
        if not end.cells:
            bodies[end.body] += volume
        elif leak:
            lost += volume
        else:
            for cell, share in end.cells:
                sources[cell] += share * volume / while_s
    return lost


def _dirt() -> Conditions:
    """A dirty intake: a part of its openings free, so that water enters so much faster."""
    return Conditions(intake_k=fitting("entrance").k * (default("intake.dirty_open").number ** -2.0 - 1.0))


def _delivery(run: PipedRun, basin: Basin, laid: Layout) -> Delivery:
    said, waterline = run.run, basin.body.waterline.m
    low, high = -1.0, max(waterline - basin.pond.floor_m, 0.0) + 1.0
    drops = [low + (high - low) * i / (_DROPS - 1) for i in range(_DROPS)]
    at_rest = {end.key: end.level.m - waterline for end in said.ends}

    def out(drop: float, conditions: Conditions) -> Mapping[str, float]:
        lifts = {key: lift + drop for key, lift in at_rest.items()}
        return run.flow(lifts, conditions=conditions).ends_m3s

    clean = [out(drop, AS_BUILT) for drop in drops]
    dirty = clean if said.pump is None else [out(drop, _dirt()) for drop in drops]
    return Delivery(
        id=said.id,
        source=said.source,
        wanted_m3s=said.wanted_m3s,
        check_valve=said.check_valve,
        drops_m=tuple(drops),
        ends=tuple(
            End(
                cells=laid.entries[end.key],
                body=end.outlet,
                level_m=end.level.m,
                under_water=end.under_water,
                clean_m3s=tuple(flows[end.key] for flows in clean),
                dirty_m3s=tuple(flows[end.key] for flows in dirty),
            )
            for end in said.ends
        ),
        pipe_m3=sum(0.25 * math.pi * pipe.inside_m**2 * pipe.length_m for pipe in (run.pipe, *run.outlet_pipes)),
    )
