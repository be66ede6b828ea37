"""One pipe run: its losses, the pipe that is proposed for it, and the flow at which pump and pipe meet."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct
from msgspec.structs import replace

from rillwright.feature import Pipe, Pump, Run
from rillwright.hydraulics import (
    OperatingPoint,
    PumpCurve,
    box_curve,
    darcy_weisbach,
    operating_point,
    pipe_speed,
    pump_curve,
)
from rillwright.sources import PipeSize, default, pipes_inch, pipes_metric

LEAST, USUAL, MOST = 0, 1, 2


class PipedRun(Struct, frozen=True, kw_only=True):
    """A run with its pipe decided."""

    run: Run
    pipe: Pipe

    def loss_m(self, flow_m3s: float, *, k_share: float = 1.0, roughness_share: float = 1.0) -> float:
        """Head lost [m] at a flow [m3/s]; the fittings' K and the roughness times their shares [-]."""
        return darcy_weisbach(
            flow_m3s,
            inside_m=self.pipe.inside_m,
            length_m=self.pipe.length_m,
            roughness_m=self.pipe.roughness_m * roughness_share,
            loss_k=k_share * sum(fitting.count * fitting.k for fitting in self.run.fittings),
        ).loss_m

    @property
    def duty_m3s(self) -> float:
        """The flow [m3/s] that a pump is chosen for: the flow wanted with its spare."""
        return self.run.wanted_m3s * default("pump.duty_factor").number

    def point(self, static_m: float) -> OperatingPoint:
        """Flow and head against a lift [m]; the flow wanted where only the duty is asked for."""
        return self._point(static_m, loss=USUAL, bend=USUAL)

    @property
    def most_m3s(self) -> float:
        """The greatest flow [m3/s] that can be answered."""
        return self.run.wanted_m3s if self.run.pump is None else curve_of(self.run.pump).greatest_flow_m3s

    def ends(self, static_m: float) -> list[OperatingPoint]:
        """Against a lift [m] with least and most loss, each with the straightest and the roundest curve of a box.

        Where only the duty is asked for, the valve is open somewhere between the flow wanted and the duty.
        """
        if self.run.pump is None:
            flows = (self.run.wanted_m3s, self.duty_m3s)
            return [self._duty(static_m, flow, loss=loss) for loss in (LEAST, MOST) for flow in flows]
        return [self._point(static_m, loss=loss, bend=bend) for loss in (LEAST, MOST) for bend in (LEAST, MOST)]

    def _point(self, static_m: float, *, loss: int, bend: int) -> OperatingPoint:
        if self.run.pump is None:
            return self._duty(static_m, self.run.wanted_m3s, loss=loss)
        return operating_point(curve_of(self.run.pump, bend), static_m, self._loss(loss))

    def _duty(self, static_m: float, flow_m3s: float, *, loss: int) -> OperatingPoint:
        head_m = static_m + self._loss(loss)(flow_m3s)
        return OperatingPoint(flow_m3s=flow_m3s, head_m=head_m, runs=True, outside="")

    def _loss(self, which: int) -> Callable[[float], float]:
        k_share, roughness_share = _ends("pipe.fittings_k")[which], _ends("pipe.roughness_in_use")[which]
        return lambda flow: self.loss_m(flow, k_share=k_share, roughness_share=roughness_share)


def curve_of(pump: Pump, bend: int = USUAL) -> PumpCurve:
    """The pump's curve; of the two numbers on a box the straightest (0), usual (1) or roundest (2)."""
    if not pump.two_numbers:
        return pump_curve(pump.curve)
    (_, shut_off_m), (greatest_m3s, _) = pump.curve
    return box_curve(shut_off_m, greatest_m3s, exponent=_ends("pump.exponent")[bend])


def _ends(name: str) -> tuple[float, float, float]:
    """Least, usual and most of a default with a band, in its SI unit."""
    found = default(name)
    low = found.number if found.low is None else found.low
    return low, found.number, found.number if found.high is None else found.high


def piped(run: Run, *, system: str, static_m: float, most_ms: float) -> PipedRun:
    """The run with its own pipe, or with the smallest listed one that keeps a speed of `most_ms` [m/s] at its flow.

    `system` is 'us' for inch sizes or 'metric'; `static_m` [m] is the lift at which a given pump is tried. It is wide
    enough for the duty in any case, so that the pipe stays what it is once a pump is chosen for that duty.
    """
    if run.pipe is not None:
        return PipedRun(run=run, pipe=run.pipe)
    sizes = pipes_inch() if system == "us" else pipes_metric()
    tried = PipedRun(run=run, pipe=_of_size(run, sizes[0]))
    for size in sizes:
        tried = replace(tried, pipe=_of_size(run, size))
        flow = max(tried.point(static_m).flow_m3s, tried.duty_m3s)
        if pipe_speed(flow, size.inside_m) <= most_ms:
            break
    return tried


def _of_size(run: Run, size: PipeSize) -> Pipe:
    return Pipe(
        name=size.text,
        inside_m=size.inside_m,
        length_m=run.pipe_length_m,
        roughness_m=default("pipe.roughness").number,
        source=size.source,
    )
