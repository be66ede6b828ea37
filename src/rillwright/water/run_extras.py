"""Of a pipe run: its cases, pipe sizes, the person's own pumps, suction, a measured flow."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec.structs import replace

from rillwright.feature import Body, Pump
from rillwright.hydraulics import (
    electrical_power,
    measured_run,
    pipe_speed,
    station_head,
    suction_head_available,
)
from rillwright.sources import atmosphere, default, fitting, water_density, water_vapour_pressure, water_viscosity
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.run import (
    AS_BUILT,
    LEAST,
    MOST,
    USUAL,
    Conditions,
    Lifts,
    PipedRun,
    RunFlow,
    listed_sizes,
    of_size,
    with_pipe,
)
from rillwright.water.run_result import CaseFlow, MeasuredFlow, PumpTried, SizeTried


def static_of(lifts: Lifts) -> float:
    """The lift [m] that is there at no flow: of several ends the lowest."""
    return min(lifts.values())


def cases(run: PipedRun, lifts: Lifts, body: Body, *, running_m: float) -> tuple[CaseFlow, ...]:
    """Clean, worn, with a dirty intake, in cold water, with the pond low: one after the other, the rest usual."""
    if run.run.pump is None:
        return ()
    worn = 1.0 - default("pump.worn").number
    dirt = fitting("entrance").k * (default("intake.dirty_open").number ** -2.0 - 1.0)
    cold = water_viscosity(min(default("water.cold").number, run.temperature_c))
    lower = max(running_m - body.intake.low.m, 0.0)
    low = {key: lift + lower for key, lift in lifts.items()}
    rows = (
        ("clean", lifts, AS_BUILT),
        ("worn", lifts, Conditions(pump_share=worn)),
        ("dirty intake", lifts, Conditions(intake_k=dirt)),
        ("cold water", lifts, Conditions(viscosity_m2s=cold)),
        ("pond low", low, AS_BUILT),
    )
    found = []
    for case, against, conditions in rows:
        flow = run.flow(against, conditions=conditions)
        spare = flow.flow_m3s / run.run.wanted_m3s - 1.0 if run.run.wanted_m3s > 0.0 else 0.0
        found.append(CaseFlow(case=case, flow_m3s=flow.flow_m3s, head_m=flow.head_m, spare=spare))
    return tuple(found)


def sizes(run: PipedRun, lifts: Lifts, *, system: str) -> tuple[SizeTried, ...]:
    """The listed pipes round that of the main, two smaller and two wider, and what the run does with each."""
    listed = listed_sizes(system)
    at = min(range(len(listed)), key=lambda n: abs(listed[n].inside_m - run.pipe.inside_m))
    found = []
    for size in listed[max(at - 2, 0) : at + 3]:
        tried = with_pipe(run.run, of_size(run.run, size))
        flow, wished = tried.flow(lifts), tried.duty(lifts, 1.0)
        found.append(
            SizeTried(
                pipe=size.text,
                inside_m=size.inside_m,
                flow_m3s=flow.flow_m3s,
                head_m=flow.head_m,
                speed_ms=pipe_speed(flow.flow_m3s, size.inside_m),
                power_w=power((), wished, [wished]).value,
            )
        )
    return tuple(found)


def tried_pumps(run: PipedRun, lifts: Lifts) -> tuple[PumpTried, ...]:
    """Each pump of the person's own list, alone in the place of the run's own."""
    return tuple(_tried(run, pump, lifts) for pump in run.run.candidates)


def _tried(run: PipedRun, pump: Pump, lifts: Lifts) -> PumpTried:
    alone = replace(run, run=replace(run.run, pump=pump, more_pumps=(), arrangement="parallel"))
    flow, ends = alone.flow(lifts), alone.ends(lifts)
    within = None
    if pump.preferred_m3s is not None:
        low, high = pump.preferred_m3s
        within = pump.speed * low <= flow.flow_m3s <= pump.speed * high
    return PumpTried(
        pump=pump.id,
        flow_m3s=band_of(flow.flow_m3s, *(end.flow_m3s for end in ends)),
        head_m=band_of(flow.head_m, *(end.head_m for end in ends)),
        power_w=power((pump,), flow, ends),
        spare=flow.flow_m3s / run.run.wanted_m3s - 1.0 if run.run.wanted_m3s > 0.0 else 0.0,
        in_preferred=within,
    )


def power(pumps: Sequence[Pump], usual: RunFlow, ends: Sequence[RunFlow]) -> Band:
    """Electrical power [W] of a run's pumps: as said, by the cube of its speed, or from flow, head and efficiency."""
    if not pumps:
        return _drawn(
            (usual.flow_m3s, usual.head_m),
            [(end.flow_m3s, end.head_m) for end in ends],
            efficiency=default("pump.efficiency").band,
        )
    total = Band.exact(0.0)
    for n, pump in enumerate(pumps):
        if pump.watts is not None:
            total = total + Band.exact(pump.watts * pump.speed**3)
        else:
            total = total + _drawn(usual.pumps[n], [end.pumps[n] for end in ends], efficiency=pump.efficiency)
    return total


def _drawn(usual: tuple[float, float], ends: Sequence[tuple[float, float]], *, efficiency: Band) -> Band:
    flow = band_of(usual[0], *(flow for flow, _ in ends))
    head = band_of(usual[1], *(head for _, head in ends))
    least, most = (flow.low, head.low, efficiency.high), (flow.high, head.high, efficiency.low)
    value = electrical_power(flow.value, max(head.value, 0.0), efficiency=efficiency.value)
    return band_of(value, *(electrical_power(q, max(h, 0.0), efficiency=share) for q, h, share in (least, most)))


def npsh_available(run: PipedRun, flow_m3s: float, *, water_m: float, elevation_m: float) -> float:
    """Net positive suction head [m] at the pump with a flow [m3/s] drawn from water at a level [m].

    A pump that stands in the water is taken at its surface, which is the least that it has.
    """
    suction = run.run.suction
    return suction_head_available(
        flooded_m=0.0 if suction is None else water_m - suction.pump_at.m,
        loss_m=run.suction_loss_m(flow_m3s, k_share=1.0),
        air_pa=atmosphere(elevation_m),
        vapour_pa=water_vapour_pressure(run.temperature_c),
        density_kgm3=water_density(run.temperature_c),
    )


def measured(run: PipedRun, lifts: Lifts, computed: Band) -> MeasuredFlow | None:
    """What a flow read with a bucket or a meter says of pumps and pipes, with the bands of both."""
    flow = run.run.measured_m3s
    if flow is None or run.run.pump is None:
        return None
    found = measured_run(
        flow,
        heads=[_station(run, bend) for bend in (LEAST, USUAL, MOST)],
        static_m=static_of(lifts),
        losses=[_lost(run, lifts, which) for which in (LEAST, USUAL, MOST)],
        inside_m=run.pipe.inside_m,
        flow_error=run.run.measured_error,
    )
    return MeasuredFlow(
        flow_m3s=flow,
        error=run.run.measured_error,
        computed_m3s=computed,
        pump_head_m=found.pump_head_m,
        system_head_m=found.system_head_m,
        gap_m=found.gap_m,
        extra_k=found.extra_k,
        pump_share=found.pump_share,
        verdict=found.verdict,
    )


def _lost(run: PipedRun, lifts: Lifts, which: int) -> Callable[[float], float]:
    """Flow [m3/s] -> head lost [m] over the lift: of a branching run with the loss of its outlets."""
    loss, static = run.loss_at(which), static_of(lifts)
    if not run.run.outlets:
        return loss
    from rillwright.water.run_network import parting_head_m

    return lambda flow: loss(flow) + parting_head_m(run, lifts, flow, loss=which, conditions=AS_BUILT) - static


def _station(run: PipedRun, bend: int) -> Callable[[float], float]:
    curves, arrangement = run.curves(bend), run.run.arrangement
    return lambda flow: station_head(curves, flow, arrangement=arrangement)
