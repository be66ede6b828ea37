"""One pipe run: its pipes decided, its losses, its pumps as they turn, and the flow at which they meet."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec import Struct
from msgspec.structs import replace

from rillwright.feature import Fitting, Pipe, Pump, Run, RunOutlet, ValveSet
from rillwright.hydraulics import (
    HeadCurve,
    OperatingPoint,
    PumpCurve,
    accepted,
    at_speed,
    box_curve,
    darcy_weisbach,
    greatest_station_flow,
    kv_of_cv,
    loss_coefficient_of_kv,
    minor_loss,
    operating_point,
    pipe_speed,
    pump_curve,
    scaled,
)
from rillwright.sources import PipeSize, default, pipes_inch, pipes_metric, water_viscosity

LEAST, USUAL, MOST = 0, 1, 2
Lifts = Mapping[str, float]  # of each end of a run: its level less that of the water drawn from [m]


class Conditions(Struct, frozen=True, kw_only=True):
    """What differs from a clean run: `pump_share` of each flow and head [-], K more at the intake, viscosity [m2/s]."""

    pump_share: float = 1.0
    intake_k: float = 0.0
    viscosity_m2s: float | None = None  # None: that of the run's own temperature


AS_BUILT = Conditions()


class RunFlow(Struct, frozen=True, kw_only=True):
    """A run at work: flow in its main [m3/s], head of its pumps together [m], flow out of each end, by its key."""

    flow_m3s: float
    head_m: float
    ends_m3s: Mapping[str, float]
    pumps: tuple[tuple[float, float], ...]  # flow and head of each pump, in their order
    runs: bool
    outside: str


class PipedRun(Struct, frozen=True, kw_only=True):
    """A run with its pipes decided: of the main, and of each outlet of a branching one."""

    run: Run
    pipe: Pipe
    outlet_pipes: tuple[Pipe, ...] = ()

    @property
    def viscosity_m2s(self) -> float:
        """Kinematic viscosity [m2/s] of the water at the temperature said, or at the usual one."""
        said = self.run.temperature_c
        return water_viscosity(default("water.temperature").number if said is None else said)

    @property
    def temperature_c(self) -> float:
        """Temperature of the water [degC]."""
        said = self.run.temperature_c
        return default("water.temperature").number if said is None else said

    def main_k(self) -> float:
        """Sum of K [-] of the main's fittings, and of its valve as it is set."""
        return fittings_k(self.run.fittings) + valve_k(self.run.valve, self.pipe.inside_m)

    def outlet_k(self, n: int) -> float:
        """Sum of K [-] of one outlet's fittings, and of its valve as it is set."""
        outlet = self.run.outlets[n]
        return fittings_k(outlet.fittings) + valve_k(outlet.valve, self.outlet_pipes[n].inside_m)

    def loss_m(
        self,
        flow_m3s: float,
        *,
        k_share: float = 1.0,
        roughness_share: float = 1.0,
        conditions: Conditions = AS_BUILT,
    ) -> float:
        """Head lost [m] in suction pipe and main at a flow [m3/s]; fittings' K and roughness times their shares."""
        main = self._lost(self.pipe, flow_m3s, self.main_k(), k_share, roughness_share, conditions)
        return main + self.suction_loss_m(
            flow_m3s, k_share=k_share, roughness_share=roughness_share, conditions=conditions
        )

    def suction_loss_m(
        self,
        flow_m3s: float,
        *,
        k_share: float = 1.0,
        roughness_share: float = 1.0,
        conditions: Conditions = AS_BUILT,
    ) -> float:
        """Head lost [m] ahead of the pump: in a suction pipe, and at the intake what is added there."""
        suction = self.run.suction
        inside = self.pipe.inside_m if suction is None else suction.pipe.inside_m
        dirt = minor_loss(pipe_speed(flow_m3s, inside), conditions.intake_k) if conditions.intake_k else 0.0
        if suction is None:
            return dirt
        return dirt + self._lost(
            suction.pipe, flow_m3s, fittings_k(suction.fittings), k_share, roughness_share, conditions
        )

    def outlet_loss_m(
        self,
        n: int,
        flow_m3s: float,
        *,
        k_share: float = 1.0,
        roughness_share: float = 1.0,
        conditions: Conditions = AS_BUILT,
    ) -> float:
        """Head lost [m] in the pipe of one outlet of a branching run at its flow [m3/s]."""
        return self._lost(self.outlet_pipes[n], flow_m3s, self.outlet_k(n), k_share, roughness_share, conditions)

    def _lost(
        self, pipe: Pipe, flow: float, loss_k: float, k_share: float, roughness_share: float, conditions: Conditions
    ) -> float:
        return darcy_weisbach(
            flow,
            inside_m=pipe.inside_m,
            length_m=pipe.length_m,
            roughness_m=pipe.roughness_m * roughness_share,
            loss_k=k_share * loss_k,
            viscosity_m2s=conditions.viscosity_m2s or self.viscosity_m2s,
        ).loss_m

    @property
    def duty_share(self) -> float:
        """The duty's flows over those wanted [-]."""
        return default("pump.duty_factor").number

    @property
    def duty_m3s(self) -> float:
        """The flow [m3/s] that a pump is chosen for: the flow wanted with its spare."""
        return self.run.wanted_m3s * self.duty_share

    @property
    def most_m3s(self) -> float:
        """The greatest flow [m3/s] that can be answered."""
        if self.run.pump is None:
            return self.run.wanted_m3s
        return greatest_station_flow(self.curves(), arrangement=self.run.arrangement)

    def curves(self, bend: int = USUAL, conditions: Conditions = AS_BUILT) -> list[HeadCurve]:
        """The curve of each pump as it turns, by the maker's spread below it at the low bend, above it at the high."""
        return [curve_of(pump, bend, share=conditions.pump_share) for pump in self.run.pumps]

    def flow(self, lifts: Lifts, *, loss: int = USUAL, bend: int = USUAL, conditions: Conditions = AS_BUILT) -> RunFlow:
        """Flow and head against the lifts [m] of its ends; the flow wanted where only the duty is asked for."""
        if self.run.pump is None:
            return self.duty(lifts, 1.0, loss=loss)
        if self.run.more_pumps or self.run.outlets:
            from rillwright.water.run_network import solved

            return solved(self, lifts, loss=loss, bend=bend, conditions=conditions)
        static = lifts[self.run.id]
        point = operating_point(self.curves(bend, conditions)[0], static, self.loss_at(loss, conditions))
        return self._alone(point)

    def duty(self, lifts: Lifts, share: float, *, loss: int = USUAL) -> RunFlow:
        """The flows wanted times a share [-], and the head that they ask for."""
        flow = share * self.run.wanted_m3s
        ends = {end.key: share * end.wanted_m3s for end in self.run.ends}
        head = self.loss_at(loss)(flow) + self.needed_m(lifts, ends, loss=loss)
        return RunFlow(flow_m3s=flow, head_m=head, ends_m3s=ends, pumps=(), runs=True, outside="")

    def needed_m(self, lifts: Lifts, ends_m3s: Mapping[str, float], *, loss: int = USUAL) -> float:
        """Head [m] that the ends ask for where the main ends, at their flows [m3/s]: the most that one of them does."""
        ends = self.run.ends
        if not self.run.outlets:
            return lifts[ends[0].key]
        k, roughness = ends_of("pipe.fittings_k")[loss], ends_of("pipe.roughness_in_use")[loss]
        return max(
            lifts[end.key] + self.outlet_loss_m(n, ends_m3s[end.key], k_share=k, roughness_share=roughness)
            for n, end in enumerate(ends)
        )

    def ends(self, lifts: Lifts) -> list[RunFlow]:
        """Against lifts [m] with least and most loss, each with the straightest and the roundest curve of a box.

        Where only the duty is asked for, the valve is open somewhere between the flow wanted and the duty.
        """
        if self.run.pump is None:
            return [self.duty(lifts, share, loss=loss) for loss in (LEAST, MOST) for share in (1.0, self.duty_share)]
        return [self.flow(lifts, loss=loss, bend=bend) for loss in (LEAST, MOST) for bend in (LEAST, MOST)]

    def _alone(self, point: OperatingPoint) -> RunFlow:
        return RunFlow(
            flow_m3s=point.flow_m3s,
            head_m=point.head_m,
            ends_m3s={self.run.id: point.flow_m3s},
            pumps=((point.flow_m3s, point.head_m),),
            runs=point.runs,
            outside=point.outside,
        )

    def loss_at(self, which: int, conditions: Conditions = AS_BUILT) -> Callable[[float], float]:
        """Flow [m3/s] -> head lost [m] in suction pipe and main: least, usual or most."""
        k, roughness = ends_of("pipe.fittings_k")[which], ends_of("pipe.roughness_in_use")[which]
        return lambda flow: self.loss_m(flow, k_share=k, roughness_share=roughness, conditions=conditions)


def fittings_k(fittings: tuple[Fitting, ...]) -> float:
    """Sum of K [-] of fittings."""
    return sum(fitting.count * fitting.k for fitting in fittings)


def valve_k(said: ValveSet | None, inside_m: float) -> float:
    """K [-] of a valve as it is set in a pipe of inside diameter [m]."""
    if said is None:
        return 0.0
    if said.k is not None:
        return said.k
    kv = said.kv_m3h if said.cv is None else kv_of_cv(said.cv)
    return 0.0 if kv is None else loss_coefficient_of_kv(kv, inside_m=inside_m)


def curve_of(pump: Pump, bend: int = USUAL, *, share: float = 1.0) -> HeadCurve:
    """The pump's curve at its speed: the straightest (0), usual (1) or roundest (2) of the two numbers on a box.

    The maker's spread lies round it, its low end at 0 and its high one at 2. Every flow and head times `share` [-].
    """
    curve = _middle(pump, bend)
    if share != 1.0:
        curve = scaled(curve, flow_share=share, head_share=share)
    if bend == USUAL or not (pump.spread or pump.flow_spread):
        return curve
    return accepted(curve, head_share=pump.spread, flow_share=pump.flow_spread, lowest=bend == LEAST)


def _middle(pump: Pump, bend: int) -> PumpCurve:
    if pump.two_numbers:
        (_, shut_off_m), (greatest_m3s, _) = pump.curve
        curve = box_curve(shut_off_m, greatest_m3s, exponent=ends_of("pump.exponent")[bend])
    else:
        curve = pump_curve(pump.curve)
    return curve if pump.speed == 1.0 else at_speed(curve, pump.speed)


def ends_of(name: str) -> tuple[float, float, float]:
    """Least, usual and most of a default with a band, in its SI unit."""
    band = default(name).band
    return band.low, band.value, band.high


def piped(run: Run, *, system: str, static_m: float, most_ms: float) -> PipedRun:
    """The run with its own pipe, or with the smallest listed one that keeps a speed of `most_ms` [m/s] at its flow.

    `system` is 'us' for inch sizes or 'metric'; `static_m` [m] is the lift at which a given pump is tried. It is wide
    enough for the duty in any case, so that the pipe stays what it is once a pump is chosen for that duty. An outlet of
    a branching run has its own pipe, or one of the main's size.
    """
    if run.pipe is not None:
        return with_pipe(run, run.pipe)
    lifts = {end.key: static_m for end in run.ends}
    sizes = listed_sizes(system)
    tried = with_pipe(run, of_size(run, sizes[0]))
    for size in sizes:
        tried = with_pipe(run, of_size(run, size))
        flow = max(tried.flow(lifts).flow_m3s, tried.duty_m3s)
        if pipe_speed(flow, size.inside_m) <= most_ms:
            break
    return tried


def listed_sizes(system: str) -> tuple[PipeSize, ...]:
    """Pipes as they are sold, smallest first: in inches for 'us', else in millimetres."""
    return pipes_inch() if system == "us" else pipes_metric()


def with_pipe(run: Run, pipe: Pipe) -> PipedRun:
    """The run with that pipe as its main."""
    return PipedRun(run=run, pipe=pipe, outlet_pipes=tuple(_outlet_pipe(outlet, pipe) for outlet in run.outlets))


def _outlet_pipe(outlet: RunOutlet, main: Pipe) -> Pipe:
    return outlet.pipe if outlet.pipe is not None else replace(main, length_m=outlet.pipe_length_m)


def of_size(run: Run, size: PipeSize) -> Pipe:
    """A listed pipe as long as the run's main."""
    return Pipe(
        name=size.text,
        inside_m=size.inside_m,
        length_m=run.pipe_length_m,
        roughness_m=default("pipe.roughness").number,
        source=size.source,
    )
