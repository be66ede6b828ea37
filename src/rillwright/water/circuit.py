"""The circuit at its operating points: flows, heads, speeds, power, and the curves to draw."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rillwright.hydraulics import electrical_power, pipe_speed
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.result import Circuit, OutletFlow, PumpPoint
from rillwright.water.run import PipedRun, curve_of

_DRAWN = 12  # stretches of a drawn curve


def band_of(value: float, *others: float) -> Band:
    """The band that `value` and what it may be as well span [its unit]."""
    return Band(value, min(value, *others), max(value, *others))


def pump_point(run: PipedRun, static_m: float, *, duty_static_m: float) -> PumpPoint:
    """One run at its operating point against a lift [m], with its band, or at the flow wanted of a pump to be chosen.

    `duty_static_m` [m] is the lift once the run brings its duty flow: with the losses of that flow it makes the duty's
    head, so that a pump whose curve goes through the duty works just there.
    """
    usual, ends = run.point(static_m), run.ends(static_m)
    said, pump = run.run, run.run.pump
    duty_flow = run.duty_m3s
    duty_head = duty_static_m + run.loss_m(duty_flow)
    flow = band_of(usual.flow_m3s, *(end.flow_m3s for end in ends))
    head = band_of(usual.head_m, *(end.head_m for end in ends))
    most_m3s = duty_flow if pump is None else flow.value
    reach = 1.1 * max(flow.high, duty_flow)
    return PumpPoint(
        run=said.id,
        pump=pump.id if pump is not None else "",
        proposed=pump is None or pump.proposed,
        wanted_m3s=said.wanted_m3s,
        flow_m3s=flow,
        head_m=head,
        static_m=static_m,
        friction_m=run.loss_m(flow.value),
        power_w=_power(run, flow, head),
        speed_ms=pipe_speed(flow.value, run.pipe.inside_m),
        pipe=run.pipe.name,
        pipe_inside_m=run.pipe.inside_m,
        pipe_length_m=run.pipe.length_m,
        duty_flow_m3s=duty_flow,
        duty_head_m=duty_head,
        spare=most_m3s / said.wanted_m3s - 1.0 if said.wanted_m3s > 0.0 else 0.0,
        pump_curve=_pump_curve(run),
        system_curve=tuple((q, static_m + run.loss_m(q)) for q in (reach * i / _DRAWN for i in range(_DRAWN + 1))),
    )


def _power(run: PipedRun, flow: Band, head: Band) -> Band:
    pump = run.run.pump
    if pump is not None and pump.watts is not None:
        return Band.exact(pump.watts)
    if pump is not None:
        efficiency = pump.efficiency
    else:
        usual = default("pump.efficiency")
        efficiency = Band(usual.number, usual.low or usual.number, usual.high or usual.number)
    ends = [(flow.low, head.low, efficiency.high), (flow.high, head.high, efficiency.low)]
    value = electrical_power(flow.value, head.value, efficiency=efficiency.value)
    return band_of(value, *(electrical_power(q, h, efficiency=share) for q, h, share in ends))


def _pump_curve(run: PipedRun) -> tuple[tuple[float, float], ...]:
    if run.run.pump is None:
        return ()
    curve = curve_of(run.run.pump)
    flows = [curve.greatest_flow_m3s * i / _DRAWN for i in range(_DRAWN + 1)]
    return tuple((flow, max(curve.head(flow), 0.0)) for flow in flows)


def circuit(
    runs: Sequence[PipedRun],
    lifts_m: Mapping[str, float],
    outlets_m: Mapping[str, float],
    *,
    duty_lifts_m: Mapping[str, float],
) -> Circuit:
    """All runs together, from the lift [m], the outlet's level [m] and the lift at its duty flow [m] of each.

    Flow and power are sums, head is that of the largest flow.
    """
    pumps = tuple(pump_point(run, lifts_m[run.run.id], duty_static_m=duty_lifts_m[run.run.id]) for run in runs)
    nothing = Band.exact(0.0)
    return Circuit(
        flow_m3s=sum((pump.flow_m3s for pump in pumps), nothing),
        head_m=max(pumps, key=lambda pump: pump.flow_m3s.value).head_m if pumps else nothing,
        power_w=sum((pump.power_w for pump in pumps), nothing),
        pumps=pumps,
        outlets=tuple(
            OutletFlow(run=run.run.id, outlet=run.run.outlet, level_m=outlets_m[run.run.id], flow_m3s=pump.flow_m3s)
            for run, pump in zip(runs, pumps, strict=True)
        ),
    )
