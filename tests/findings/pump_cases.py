"""Runs for the rules on pumps, outlets, suction, cases and a measured flow: invented, limits are common practice."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from rillwright.assessment import (
    CaseFlow,
    MeasuredFlow,
    OutletFlow,
    PumpShare,
    PumpTried,
    SetCrest,
    SetReach,
    SetWater,
    Severity,
    Siphon,
    SummitWater,
)
from rillwright.units import Band
from tests.findings.sample import feature, metres

OK, WATCH, STOP = Severity.OK, Severity.WATCH, Severity.STOP
PUMP = "water.circuit.pumps.0"
ONE = PumpShare(
    pump="one",
    flow_m3s=Band(0.0015, 0.0014, 0.0016),
    head_m=Band.exact(2.0),
    shut=False,
    preferred_m3s=(0.001, 0.002),
    npsh_required_m=3.0,
    npsh_available_m=4.0,
)
NONE = Band.exact(0.0)
SHUT = replace(ONE, pump="two", flow_m3s=NONE, shut=True, preferred_m3s=None, npsh_required_m=None)


def pumps(*shares: PumpShare, arrangement: str = "parallel") -> dict[str, Any]:
    return {f"{PUMP}.pumps": shares, f"{PUMP}.arrangement": arrangement}


def side_by_side(*, check_valve: bool) -> dict[str, Any]:
    run = feature().runs[0]
    return {"feature.runs.0.more_pumps": run.pumps, "feature.runs.0.check_valve": check_valve}


def flow(value: float, spread: float = 0.0) -> Band:
    return Band(value, value * (1.0 - spread), value * (1.0 + spread))


def outlets(head: Band, stone: Band, *, share: float = 1.0) -> dict[str, Any]:
    """Two outlets that want 1.5 and 0.5 L/s."""
    first = OutletFlow(
        run="run",
        outlet="rill",
        level_m=0.5,
        flow_m3s=head,
        id="head",
        wanted_m3s=0.0015,
        keep_open=True,
        set_m3s=0.0015,
    )
    second = OutletFlow(
        run="run", outlet="pond", level_m=0.2, flow_m3s=stone, id="stone", wanted_m3s=0.0005, valve_k=12.0,
        valve_loss_m=0.4, set_m3s=0.0005,
    )  # fmt: skip
    return {"water.circuit.outlets": (first, second), f"{PUMP}.settings_share": share}


def summit(spare: str, prime: float = 0.3) -> dict[str, Any]:
    head = Band.exact(metres(spare))
    return {f"{PUMP}.summit": SummitWater(level_m=2.0, pressure_m=Band.exact(-1.0), spare_m=head, prime_m=prime)}


def outlet_summit(spare: str, prime: float = 0.3) -> dict[str, Any]:
    """The pipe to the stone goes over a high point."""
    head, stone = outlets(flow(0.0015), flow(0.0005))["water.circuit.outlets"]
    top = SummitWater(level_m=2.0, pressure_m=Band.exact(-1.0), spare_m=Band.exact(metres(spare)), prime_m=prime)
    return {"water.circuit.outlets": (head, replace(stone, summit=top))}


def cases(worn: float) -> dict[str, Any]:
    rows = (("clean", 0.0025), ("worn", worn), ("cold water", 0.0024))
    found = tuple(CaseFlow(case=case, flow_m3s=q, head_m=2.0, spare=q / 0.002 - 1.0) for case, q in rows)
    return {f"{PUMP}.cases": found}


def measured(verdict: str) -> dict[str, Any]:
    gap = {"as drawn": 0.0, "less": 0.8, "more": -0.4}[verdict]
    return {
        f"{PUMP}.measured": MeasuredFlow(
            flow_m3s=0.002,
            error=0.05,
            computed_m3s=Band(0.0025, 0.0024, 0.0026),
            pump_head_m=Band.exact(2.0 + gap),
            system_head_m=Band.exact(2.0),
            gap_m=Band.exact(gap),
            extra_k=12.0 if gap > 0.0 else None,
            pump_share=2.0 / (2.0 + gap),
            verdict=verdict,
        )
    }


def tried(*spares: float, within: bool | None = None) -> dict[str, Any]:
    return {
        f"{PUMP}.tried": tuple(
            PumpTried(
                pump=f"p{n}", flow_m3s=Band.exact(0.002 * (1.0 + spare)), head_m=Band.exact(2.0),
                power_w=Band.exact(100.0 + n), spare=spare, in_preferred=within,
            )
            for n, spare in enumerate(spares)
        )
    }  # fmt: skip


def pipe(
    lowest: str = "", *, check_valve: bool = False, drain: bool | None = None, frost: str = "", far: str = ""
) -> dict[str, Any]:
    """A pipe whose lowest point lies so far from the waterline, 0 in, with the pond's paving 4 in above that.

    `far` is how far the waterline lies under its usual place.
    """
    level = feature().bodies[0].waterline
    found: dict[str, Any] = {
        "feature.runs.0.lowest": replace(level, m=metres(lowest)) if lowest else None,
        "feature.runs.0.check_valve": check_valve,
        "feature.runs.0.drain": drain,
        "feature.climate.frost_m": metres(frost) if frost else None,
    }
    return found | ({"feature.bodies.0.waterline.m": -metres(far)} if far else {})


def so_set() -> dict[str, Any]:
    """All valves set: 1.5 L/s over every crest and down every bed."""
    drawn = feature()
    return {
        "water.as_set": SetWater(
            crests=tuple(
                SetCrest(fall=fall.id, path=f"falls/{fall.id}", flow_m3s=0.0015, depth_m=Band(0.02, 0.018, 0.022))
                for fall in drawn.falls
            ),
            reaches=tuple(
                SetReach(reach=reach.id, path=f"reaches/{reach.id}", flow_m3s=0.0015, depth_m=Band(0.06, 0.05, 0.07))
                for reach in drawn.reaches
            ),
        )
    }


PUMP_CASES: tuple[tuple[str, dict[str, Any], Severity], ...] = (
    ("pump.shut", pumps(ONE, ONE), OK),
    ("pump.shut", pumps(ONE, SHUT), STOP),
    ("pump.shut", pumps(ONE, replace(ONE, flow_m3s=Band(0.0005, 0.0, 0.001))), WATCH),
    ("pump.shut", pumps(ONE, replace(ONE, head_m=Band.exact(-0.2)), arrangement="series"), STOP),
    ("pump.back", side_by_side(check_valve=True), OK),
    ("pump.back", side_by_side(check_valve=False), WATCH),
    ("pump.range", pumps(ONE), OK),
    ("pump.range", pumps(replace(ONE, preferred_m3s=(0.0016, 0.003))), WATCH),
    ("pump.range", pumps(replace(ONE, preferred_m3s=(0.0005, 0.001))), WATCH),
    ("pump.npsh", pumps(ONE), OK),
    ("pump.npsh", pumps(replace(ONE, npsh_available_m=3.4)), WATCH),
    ("pump.npsh", pumps(replace(ONE, npsh_available_m=2.9)), WATCH),
    ("pipe.suction", {f"{PUMP}.suction_speed_ms": Band.exact(0.8)}, OK),
    ("pipe.suction", {f"{PUMP}.suction_speed_ms": Band.exact(1.1)}, WATCH),
    ("pipe.summit", summit("12 ft"), OK),
    ("pipe.summit", summit("5 ft"), WATCH),
    ("pipe.prime", summit("12 ft"), OK),
    ("pipe.prime", summit("12 ft", prime=-0.1), STOP),
    ("pipe.summit", outlet_summit("5 ft"), WATCH),
    ("pipe.summit", outlet_summit("12 ft"), OK),
    ("pipe.prime", outlet_summit("12 ft"), OK),
    ("pipe.prime", outlet_summit("12 ft", prime=-0.1), STOP),
    ("pipe.siphons", {"water.siphons": (Siphon(run="run", bed="b1", body="pond", back_m3=0.1),)}, WATCH),
    ("pipe.drains", pipe("1 in"), OK),
    ("pipe.drains", pipe("-1 in"), WATCH),
    ("pipe.drains", pipe("-1 in", drain=True), OK),
    ("pipe.drains", pipe("1 in", check_valve=True, frost="3 ft"), WATCH),
    ("pipe.drains", pipe("1 in", check_valve=True, drain=False), WATCH),
    ("pipe.drains", pipe("1 in", check_valve=True, drain=True, frost="3 ft"), OK),
    ("pipe.drains", pipe(check_valve=True, frost="0 in"), OK),
    ("pipe.drains", pipe(drain=False), WATCH),
    ("pipe.drains", pipe("-5 ft", frost="3 ft", far="4 ft"), OK),
    ("pipe.drains", pipe("-5 ft", frost="5 ft", far="4 ft"), WATCH),
    ("pipe.drains", pipe("-5 ft", check_valve=True, frost="3 ft", far="4 ft"), WATCH),
    ("pipe.frost", pipe(check_valve=True), WATCH),
    ("pipe.frost", pipe(), WATCH),
    ("outlet.short", outlets(flow(0.0015), flow(0.0005)), OK),
    ("outlet.short", outlets(flow(0.0014, 0.1), flow(0.0006)), WATCH),
    ("outlet.short", outlets(flow(0.001), flow(0.0006), share=0.8), WATCH),
    ("outlet.short", outlets(NONE, flow(0.0006)), STOP),
    ("outlet.short", outlets(flow(0.0010), NONE), STOP),
    ("outlet.over", outlets(flow(0.0015), flow(0.0007)), OK),
    ("outlet.over", outlets(flow(0.0015), flow(0.0010)), WATCH),
    ("outlet.over", outlets(flow(0.0025), flow(0.0005)), WATCH),
    ("valve.set", so_set(), OK),
    ("pump.cases", cases(0.0021), OK),
    ("pump.cases", cases(0.0019), WATCH),
    ("pump.measured", measured("as drawn"), OK),
    ("pump.measured", measured("less"), WATCH),
    ("pump.measured", measured("more"), WATCH),
    ("pump.list", tried(0.3, -0.2), OK),
    ("pump.list", tried(-0.1, -0.2), WATCH),
    ("pump.list", tried(0.3, within=False), WATCH),
)
