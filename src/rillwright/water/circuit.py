"""The circuit at its operating points: flows, heads, speeds, power, and the curves to draw."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from rillwright.feature import Body
from rillwright.hydraulics import (
    ValveSettings,
    greatest_station_flow,
    pipe_speed,
    station_head,
    throttle,
)
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.result import Circuit, OutletFlow, PumpPoint
from rillwright.water.run import AS_BUILT, LEAST, MOST, USUAL, Lifts, PipedRun, RunFlow
from rillwright.water.run_extras import (
    cases,
    measured,
    npsh_available,
    power,
    sizes,
    static_of,
    tried_pumps,
)
from rillwright.water.run_result import MainValve, PumpShare
from rillwright.water.summits import outlet_summit, summit_water

_DRAWN = 12  # stretches of a drawn curve


class RunPlace(Struct, frozen=True, kw_only=True):
    """What a run works between: the body that it draws from and its running level [m], the height above the sea [m]."""

    body: Body
    running_m: float
    elevation_m: float
    system: str  # 'us' for pipes in inches


def pump_point(
    run: PipedRun, lifts: Lifts, *, duty_lifts: Lifts, place: RunPlace, settings: ValveSettings | None
) -> PumpPoint:
    """One run at its operating point against its lifts [m], with its band; at the flow wanted of a pump to be chosen.

    `settings` are those of its valves at the flows wanted. `duty_lifts` [m] are the lifts once the run brings its duty
    flow: with the losses of that flow they make the duty's head, so that a pump whose curve goes through the duty works
    just there.
    """
    usual, ends = run.flow(lifts), run.ends(lifts)
    said, pump = run.run, run.run.pump
    duty_flow = run.duty_m3s
    duty_head = run.duty(duty_lifts, run.duty_share).head_m
    flow = band_of(usual.flow_m3s, *(end.flow_m3s for end in ends))
    head = band_of(usual.head_m, *(end.head_m for end in ends))
    most_m3s = duty_flow if pump is None else flow.value
    reach = 1.1 * max(flow.high, duty_flow)
    suction = said.suction
    served = max((lifts[key] for key, flow in usual.ends_m3s.items() if flow > 0.0), default=static_of(lifts))
    drawn = [reach * i / _DRAWN for i in range(_DRAWN + 1)]
    least, asked, most = (tuple((q, _asked(run, lifts, q, loss=loss)) for q in drawn) for loss in (LEAST, USUAL, MOST))
    lowest, given, highest = (_pump_curve(run, bend) for bend in (LEAST, USUAL, MOST))
    return PumpPoint(
        run=said.id,
        pump=" and ".join(each.id for each in said.pumps),
        proposed=pump is None or pump.proposed,
        wanted_m3s=said.wanted_m3s,
        flow_m3s=flow,
        head_m=head,
        static_m=served,
        friction_m=(usual.head_m - served) if said.outlets else run.loss_m(flow.value),
        power_w=power(said.pumps, usual, ends),
        speed_ms=pipe_speed(flow.value, run.pipe.inside_m),
        pipe=run.pipe.name,
        pipe_inside_m=run.pipe.inside_m,
        pipe_length_m=run.pipe.length_m,
        duty_flow_m3s=duty_flow,
        duty_head_m=duty_head,
        spare=most_m3s / said.wanted_m3s - 1.0 if said.wanted_m3s > 0.0 else 0.0,
        pump_curve=given,
        system_curve=asked,
        pump_band=(lowest, highest),
        system_band=(least, most),
        arrangement=said.arrangement,
        pumps=_pumps(run, usual, ends, place=place),
        main_valve=_main_valve(run, settings),
        settings_share=None if settings is None else settings.share,
        settings_note="" if settings is None else settings.outside,
        cases=cases(run, lifts, place.body, running_m=place.running_m),
        sizes=sizes(run, lifts, system=place.system),
        tried=tried_pumps(run, lifts),
        suction_speed_ms=None
        if suction is None
        else band_of(*(pipe_speed(each.flow_m3s, suction.pipe.inside_m) for each in (usual, *ends))),
        suction_pipe="" if suction is None else suction.pipe.name,
        summit=summit_water(run, lifts, (usual, *ends), water_m=place.running_m, elevation_m=place.elevation_m),
        measured=measured(run, lifts, flow),
    )


def _asked(run: PipedRun, lifts: Lifts, flow_m3s: float, *, loss: int) -> float:
    """Head [m] that a flow [m3/s] asks of the pumps, all valves as they are set; least, usual or most loss."""
    lost = run.loss_at(loss)(flow_m3s)
    if not run.run.outlets:
        return static_of(lifts) + lost
    from rillwright.water.run_network import parting_head_m

    return lost + parting_head_m(run, lifts, flow_m3s, loss=loss, conditions=AS_BUILT)


def _pump_curve(run: PipedRun, bend: int) -> tuple[tuple[float, float], ...]:
    if run.run.pump is None:
        return ()
    curves, arrangement = run.curves(bend), run.run.arrangement
    most = greatest_station_flow(curves, arrangement=arrangement)
    flows = [most * i / _DRAWN for i in range(_DRAWN + 1)]
    return tuple((flow, max(station_head(curves, flow, arrangement=arrangement), 0.0)) for flow in flows)


def _pumps(run: PipedRun, usual: RunFlow, ends: Sequence[RunFlow], *, place: RunPlace) -> tuple[PumpShare, ...]:
    """Each pump of the run at its own point; pumps side by side share one suction pipe."""
    found = []
    for n, pump in enumerate(run.run.pumps):
        flow = band_of(usual.pumps[n][0], *(end.pumps[n][0] for end in ends))
        drawn = max(end.flow_m3s for end in (usual, *ends))
        available = None
        if pump.npsh_m is not None:
            available = npsh_available(run, drawn, water_m=place.running_m, elevation_m=place.elevation_m)
        preferred = pump.preferred_m3s
        found.append(
            PumpShare(
                pump=pump.id,
                flow_m3s=flow,
                head_m=band_of(usual.pumps[n][1], *(end.pumps[n][1] for end in ends)),
                shut=flow.value <= 0.0 < usual.flow_m3s,
                preferred_m3s=None if preferred is None else (pump.speed * preferred[0], pump.speed * preferred[1]),
                npsh_required_m=pump.npsh_m,
                npsh_available_m=available,
            )
        )
    return tuple(found)


def _main_valve(run: PipedRun, settings: ValveSettings | None) -> MainValve | None:
    """What a valve on the main takes away so that the flow wanted runs; None where it is not reached."""
    if settings is None or settings.share < 1.0:
        return None
    spare = settings.common_m
    k = throttle(spare, flow_m3s=run.run.wanted_m3s, inside_m=run.pipe.inside_m)
    return MainValve(spare_m=spare, valve_k=k)


def circuit(
    runs: Sequence[PipedRun],
    lifts_m: Mapping[str, Lifts],
    outlets_m: Mapping[str, float],
    *,
    duty_lifts_m: Mapping[str, Lifts],
    places: Mapping[str, RunPlace],
    settings: Mapping[str, ValveSettings | None],
) -> Circuit:
    """All runs together, from the lifts [m] of each, the level [m] of each end, the lifts at its duty flow [m], and the
    settings of its valves.

    Flow and power are sums, head is that of the largest flow.
    """
    pumps = tuple(
        pump_point(
            run,
            lifts_m[run.run.id],
            duty_lifts=duty_lifts_m[run.run.id],
            place=places[run.run.id],
            settings=settings[run.run.id],
        )
        for run in runs
    )
    nothing = Band.exact(0.0)
    return Circuit(
        flow_m3s=sum((pump.flow_m3s for pump in pumps), nothing),
        head_m=max(pumps, key=lambda pump: pump.flow_m3s.value).head_m if pumps else nothing,
        power_w=sum((pump.power_w for pump in pumps), nothing),
        pumps=pumps,
        outlets=tuple(
            out
            for run in runs
            for out in _outlets(run, lifts_m[run.run.id], outlets_m, settings[run.run.id], place=places[run.run.id])
        ),
    )


def _outlets(
    run: PipedRun, lifts: Lifts, levels_m: Mapping[str, float], settings: ValveSettings | None, *, place: RunPlace
) -> list[OutletFlow]:
    """What comes out of each end; of a run to one outlet all that it brings."""
    said, usual, ends = run.run, run.flow(lifts), run.ends(lifts)
    found = []
    for n, end in enumerate(said.ends):
        flow = band_of(usual.ends_m3s[end.key], *(other.ends_m3s[end.key] for other in ends))
        pipe = run.outlet_pipes[n] if said.outlets else run.pipe
        setting = settings.branches[end.key] if settings is not None and said.outlets else None
        common = settings.common_m if settings is not None and setting is not None else 0.0
        spare = 0.0 if setting is None else max(setting.spare_m - common, 0.0)
        reached = 0.0 if settings is None else settings.share * end.wanted_m3s
        found.append(
            OutletFlow(
                run=said.id,
                outlet=end.outlet,
                level_m=levels_m[end.key],
                flow_m3s=flow,
                id=said.outlets[n].id if said.outlets else "",
                wanted_m3s=end.wanted_m3s,
                speed_ms=pipe_speed(flow.value, pipe.inside_m),
                pipe=pipe.name,
                valve_k=throttle(spare, flow_m3s=reached, inside_m=pipe.inside_m) if spare and reached else 0.0,
                valve_loss_m=spare,
                keep_open=settings is not None and bool(said.outlets) and settings.open_branch == end.key,
                set_m3s=reached,
                summit=outlet_summit(
                    run, n, lifts, (usual, *ends), water_m=place.running_m, elevation_m=place.elevation_m
                )
                if said.outlets
                else None,
            )
        )
    return found
