"""Pipe runs of a feature: pumps, pipes, outlets, suction. Frozen, in SI."""

from __future__ import annotations

from msgspec import Struct

from rillwright.feature.levels import XY, Level
from rillwright.units import Band


class Fitting(Struct, frozen=True, kw_only=True):
    """A loss in a pipe run: `count` pieces of loss coefficient `k` [-]."""

    kind: str
    count: int
    k: float
    source: str


class Pipe(Struct, frozen=True, kw_only=True):
    name: str  # as ordered
    inside_m: float
    length_m: float
    roughness_m: float
    source: str


class Pump(Struct, frozen=True, kw_only=True):
    """A pump by its curve, flow [m3/s] against head [m], falling. Two points are shut-off head and greatest flow."""

    id: str
    curve: tuple[tuple[float, float], ...]
    two_numbers: bool
    watts: float | None  # electrical, if said
    efficiency: Band  # overall, wire to water [-], for where watts are not said
    proposed: bool  # not the person's pump, but the duty that is asked for
    speed: float = 1.0  # of the speed for which the curve is given [-]
    spread: float = 0.0  # of the maker's curve, either way, as a share of its head [-]
    flow_spread: float = 0.0  # the same as a share of its flow [-]; at each point the further of the two counts
    preferred_m3s: tuple[float, float] | None = None  # flows in which the maker wants it to work, at that speed
    npsh_m: float | None = None  # net positive suction head that it asks for


class ValveSet(Struct, frozen=True, kw_only=True):
    """A valve's setting, by one of these: K on the speed in its pipe [-], Kv [m3/h at 1 bar], Cv [gal/min at 1 psi]."""

    k: float | None = None
    kv_m3h: float | None = None
    cv: float | None = None


class Suction(Struct, frozen=True, kw_only=True):
    """The pipe from the water to a pump that stands beside it."""

    pipe: Pipe
    fittings: tuple[Fitting, ...]
    pump_at: Level


class RunOutlet(Struct, frozen=True, kw_only=True):
    """One way out of a branching run, from the point where they part."""

    id: str
    outlet: str  # stream, reach or body in which it ends
    pipe: Pipe | None  # None: of the run's own size
    pipe_length_m: float
    fittings: tuple[Fitting, ...]
    wanted_m3s: float
    level: Level  # as `Run.outlet_level`
    under_water: bool
    valve: ValveSet | None = None  # as it is set, beside the fittings
    at: XY | None = None  # where the water comes out; None: at the head of its stream or bed, or nobody has said
    summit: Level | None = None  # highest point of its pipe, where it is above its end


class RunEnd(Struct, frozen=True, kw_only=True):
    """Where water leaves a run: `key` is the run's id, of a branching one with the outlet's after a stroke."""

    key: str
    outlet: str
    level: Level
    under_water: bool
    wanted_m3s: float
    at: XY | None = None


class Run(Struct, frozen=True, kw_only=True):
    """A pipe run from a body through a pump, or several, to an outlet, or several.

    Of a branching run `outlet`, `outlet_level` and `outlet_under_water` are those of its first outlet, `wanted_m3s` is
    the sum, and pipe and fittings are those of its main.
    """

    id: str
    source: str  # body id
    outlet: str  # stream id, or the id of a reach in which it ends
    pump: Pump | None  # None: only the duty is asked for
    pipe: Pipe | None  # None: the smallest listed one that keeps the speed is proposed
    pipe_length_m: float
    fittings: tuple[Fitting, ...]
    wanted_m3s: float  # flow wished for
    outlet_level: Level  # water or pipe end against which it lifts, before the water on the crest
    outlet_under_water: bool
    check_valve: bool
    more_pumps: tuple[Pump, ...] = ()  # beside `pump`
    arrangement: str = "parallel"  # or 'series'
    outlets: tuple[RunOutlet, ...] = ()  # of a branching run
    suction: Suction | None = None  # None: the pump stands in the water
    summit: Level | None = None  # highest point of the pipe, where it is above its end
    lowest: Level | None = None  # lowest point of the pipe outside the water; None: nobody has said
    drain: bool | None = None  # it can be emptied at its lowest point: a cock, a plug, a union; None: nobody has said
    valve: ValveSet | None = None  # as it is set, beside the fittings
    temperature_c: float | None = None  # None: that of the default
    measured_m3s: float | None = None
    measured_error: float = 0.0  # of that, either way [-]
    candidates: tuple[Pump, ...] = ()  # the person's own list, to be tried

    @property
    def pumps(self) -> tuple[Pump, ...]:
        """All its pumps, in the order of flow where they stand in a row."""
        return () if self.pump is None else (self.pump, *self.more_pumps)

    @property
    def ends(self) -> tuple[RunEnd, ...]:
        """Where its water leaves it, one or several."""
        if not self.outlets:
            return (
                RunEnd(
                    key=self.id,
                    outlet=self.outlet,
                    level=self.outlet_level,
                    under_water=self.outlet_under_water,
                    wanted_m3s=self.wanted_m3s,
                ),
            )
        return tuple(
            RunEnd(
                key=f"{self.id}/{each.id}",
                outlet=each.outlet,
                level=each.level,
                under_water=each.under_water,
                wanted_m3s=each.wanted_m3s,
                at=each.at,
            )
            for each in self.outlets
        )
