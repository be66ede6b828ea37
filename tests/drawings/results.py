"""Shape, water and stakes of a sample, by hand. The figures are plausible, not computed."""

from __future__ import annotations

import math

from msgspec.structs import replace

from rillwright.build import Build, Stake
from rillwright.feature import (
    XY,
    Body,
    BodyKind,
    FallKind,
    Reach,
    Stream,
)
from rillwright.shape import LongSection, PondShape, StoneOutline
from rillwright.units import Band
from rillwright.water import (
    Balance,
    BodyRun,
    CaseFlow,
    Circuit,
    CrestWater,
    FallRun,
    Film,
    FlowTrace,
    HighWater,
    History,
    Leak,
    LevelTrace,
    OutletFlow,
    OverTime,
    PondWater,
    PumpPoint,
    PumpShare,
    ReachWater,
    Station,
    StoredTrace,
    StreamProfile,
    Water,
)
from tests.drawings.spec import Spec, oval


def section(spec: Spec, stream: Stream, total: float) -> LongSection:
    bed: list[XY] = []
    stones: list[StoneOutline] = []
    for reach, fall in zip(stream.reaches, stream.falls, strict=True):
        bed += [(reach.station_m, reach.bed_start.m), (fall.station_m, reach.bed_end.m)]
        s, top, foot = fall.station_m, fall.crest.m, fall.foot.m
        under = top - fall.stone_m
        last = fall is stream.falls[-1]
        base = -spec.shelf if last and spec.shelf else foot - 0.08
        stones.append(
            StoneOutline(
                fall=fall.id,
                kind="face",
                corners=(
                    (s - 0.38, under - 0.02),
                    (s - 0.02, under),
                    (s + 0.02, base + 0.1),
                    (s - 0.03, base),
                    (s - 0.40, base + 0.03),
                ),
            )
        )
        stones.append(
            StoneOutline(
                fall=fall.id,
                kind="spill",
                corners=(
                    (s - 0.34, top - 0.01),
                    (s - 0.2, top + 0.004),
                    (s + 0.05, top),
                    (s + 0.06, under + 0.01),
                    (s - 0.1, under),
                    (s - 0.35, under + 0.005),
                ),
            )
        )
    length, depth, shelf = stream.length_m, spec.depth, spec.shelf
    run = (depth - shelf) / 2.0
    far = length + spec.pond_length
    floor: list[XY] = [
        (length, -shelf),
        (length + shelf, -shelf),
        (length + shelf + run, -depth),
        (far - shelf - run, -depth),
        (far - shelf, -shelf),
        (far - 0.02, -shelf),
        (far, 0.08),
    ]
    if spec.kind is BodyKind.RESERVOIR:
        floor = [(length, -depth), (far, -depth), (far, 0.05)]
    bed += floor
    stream_points = 2 * len(stream.reaches)
    liner = [
        (x, z - (spec.gravel if i < stream_points else 0.05 if z < -0.01 else 0.0)) for i, (x, z) in enumerate(bed)
    ]
    liner = [(x - 0.42 if z != liner[0][1] and 0 < x <= length else x, z) for x, z in liner]
    dig = [(x, z - 0.0061) for x, z in liner]
    back = liner[0][1] + 0.2
    liner = [(-0.12, back), (-0.12, liner[0][1]), *liner, (far + 0.25, 0.1)]
    dig = [(-0.13, back - 0.02), (-0.13, dig[0][1]), *dig, (far + 0.25, 0.094)]
    ground = (
        (-0.6, total - spec.build_up + 0.03),
        (0.0, total - spec.build_up),
        (length * 0.55, total * 0.36),
        (length, 0.10),
        (far + 0.6, 0.12),
    )
    return LongSection(
        stream="s1",
        length_m=length,
        ground=ground,
        ground_guessed=True,
        dig=tuple(dig),
        liner=tuple(liner),
        bed=tuple(bed),
        stones=tuple(stones),
    )


def pond_shape(spec: Spec, centre: XY, body: Body) -> PondShape:
    run = (spec.depth - spec.shelf) / 2.0
    rings = [(0.0, body.outline)]
    for inset, level in ((0.0, -spec.shelf), (spec.shelf, -spec.shelf), (spec.shelf + run, -spec.depth)):
        if inset > 0 or not spec.shelf:
            rings.append((level, oval(centre, spec.pond_length - 2 * inset, spec.pond_width - 2 * inset)))
    area = math.pi / 4 * spec.pond_length * spec.pond_width
    return PondShape(
        body=body.id,
        area_m2=area,
        perimeter_m=11.0,
        floor_m=-spec.depth,
        storage=((-spec.depth, 0.6 * area, 0.0), (0.0, area, 0.7 * area * spec.depth)),
        gross_m3=area * spec.depth * 0.75,
        volume_m3=area * spec.depth * 0.7,
        dig_m3=area * spec.depth * 0.8,
        rings=tuple(rings),
        profile_along=((-2.0, 0.0), (0.0, -0.8), (2.0, 0.0)),
        profile_across=((-1.5, 0.0), (0.0, -0.8), (1.5, 0.0)),
        lined_m2=1.4 * area,
    )


def _profile(reach: Reach, end_m: float) -> StreamProfile:
    """Five stations, the surface falling 4 mm to a level [m] at the lower end."""
    parts = [i / 4 for i in range(5)]
    beds = [reach.bed_start.m + (reach.bed_end.m - reach.bed_start.m) * part for part in parts]
    levels = [Band(z, z - 0.005, z + 0.006) for z in (end_m + 0.004 * (1.0 - part) for part in parts)]
    depths = tuple(
        Band(level.value - bed, level.low - bed, level.high - bed) for level, bed in zip(levels, beds, strict=True)
    )
    return StreamProfile(
        stations_m=tuple(reach.station_m + reach.length_m * part for part in parts),
        beds_m=tuple(beds),
        levels_m=tuple(levels),
        depths_m=depths,
        speeds_ms=(Band(0.05, 0.04, 0.06),) * 5,
        froudes=(0.05, 0.06, 0.9, 0.06, 0.05),
        energies_m=tuple(level.value + 1e-4 for level in levels),
        hidden=(0.03,) * 5,
        jumps_m=(),
        control="level at the lower end",
        roughness=1.4,
        out_of_range="",
    )


def over_time(stream: Stream, body: Body) -> OverTime:
    """A first start, a start and two stops of made-up curves: the body falls and rises, fall after fall runs."""
    times = tuple(float(t) for t in range(4, 204, 4))
    held = body.waterline.m

    def history(case: str, holding: str, to_m: float, *, starting: bool) -> History:
        levels = tuple(held + to_m * min(t / 120.0, 1.0) for t in times)
        flows = [
            tuple(0.002 * min(max(t - 20.0 * n, 0.0) / 30.0, 1.0) if starting else 0.002 * 0.97**t for t in times)
            for n, _ in enumerate(stream.falls)
        ]
        stations = tuple(
            Station(stream=stream.id, station_m=reach.station_m + reach.length_m * share, bed_m=reach.bed_start.m)
            for reach in stream.reaches
            for share in (0.1, 0.5, 0.9)
        )
        return History(
            case=case,
            holding=holding,
            settled=True,
            why="nothing changes any more",
            lasted_s=200.0,
            falls=tuple(
                FallRun(
                    fall=fall.id, path=f"falls/{fall.id}", first_s=20.0 * n + 4.0 if starting else None, end_m3s=0.002
                )
                for n, fall in enumerate(stream.falls)
            ),
            bodies=(
                BodyRun(
                    body=body.id,
                    begin_m=held,
                    lowest_m=held + min(to_m, 0.0),
                    lowest_s=120.0 if to_m < 0 else 0.0,
                    highest_m=held + max(to_m, 0.0),
                    highest_s=120.0 if to_m > 0 else 0.0,
                    end_m=held + to_m,
                ),
            ),
            air_s=None,
            taken_up_m3=-3.0 * to_m,
            lost_m3=0.0,
            drift=0.0,
            times_s=times,
            levels=(LevelTrace(path=f"ponds/{body.id}", level_m=levels),),
            crests=tuple(
                FlowTrace(path=f"falls/{fall.id}", flow_m3s=flow)
                for fall, flow in zip(stream.falls, flows, strict=True)
            ),
            pumped=(FlowTrace(path="runs/run1", flow_m3s=(0.002 if starting else 0.0,) * len(times)),),
            stored=(StoredTrace(what="streams", volume_m3=(0.2,) * len(times)),),
            film=Film(
                times_s=times[::10],
                stations=stations,
                levels_m=tuple(
                    tuple(station.bed_m + 0.02 * min(t / 60.0, 1.0) for station in stations) for t in times[::10]
                ),
            ),
        )

    return OverTime(
        histories=(
            history("first start", body.holding.value, -0.09, starting=True),
            history("start", body.holding.value, -0.02, starting=True),
            history("stop", "at rest", 0.001, starting=False),
            history("stop", "while running", 0.024, starting=False),
        ),
        highest=(),
        leaks=(
            Leak(
                body=body.id, air_s=240.0, level_m=held - 0.12, depth_left_m=0.3, left_m3=3.4, lost_m3=1.3,
                cut_off_m=held - 0.05, cut_off_s=130.0, saved_m3=0.6, filled_while=True,
            ),
        ),
        cells=100,
        engine="numpy",
        note="",
    )  # fmt: skip


def water(spec: Spec, stream: Stream, body: Body) -> Water:
    flow = Band(0.0019, 0.0016, 0.0022)
    reaches, crests = [], []
    for reach, fall in zip(stream.reaches, stream.falls, strict=True):
        top = fall.crest.m + 0.021
        reaches.append(
            ReachWater(
                reach=reach.id,
                path=f"reaches/{reach.id}",
                pool_like=True,
                flow_m3s=flow,
                rest_level_m=fall.crest.m - 0.002,
                running_start_m=Band(top + 0.004, top - 0.002, top + 0.01),
                running_end_m=Band(top, top - 0.004, top + 0.005),
                depth_m=Band(0.09, 0.08, 0.1),
                speed_ms=Band(0.05, 0.04, 0.06),
                hidden=Band(0.03, 0.01, 0.08),
                above_rest_m3=0.03,
                gravel_m3=0.0,
                method="backwater of the crest",
                profile=_profile(reach, top),
            )
        )
        crests.append(
            CrestWater(
                fall=fall.id,
                path=f"falls/{fall.id}",
                kind=fall.kind.value,
                flow_m3s=flow,
                width_m=fall.crest_width_m,
                depth_m=Band(0.021, 0.017, 0.025),
                fall_height_m=Band.exact(fall.drop_m),
                throw_m=Band(0.11, 0.09, 0.13) if fall.kind is FallKind.FREE else None,
                impact_ms=None,
                in_range=True,
                range_note="",
                tilt_ratio=None,
            )
        )
    pumps = (
        PumpPoint(
            run="run1",
            pump="p1",
            proposed=False,
            wanted_m3s=0.0018,
            flow_m3s=Band(0.0021, 0.0018, 0.00245),
            head_m=Band(3.4, 3.1, 3.8),
            static_m=2.75 - 1.0,
            friction_m=0.5,
            power_w=Band(190, 180, 200),
            speed_ms=0.8,
            pipe="63 mm",
            pipe_inside_m=0.057,
            pipe_length_m=13.0,
            duty_flow_m3s=0.00225,
            duty_head_m=3.3,
            spare=0.17,
            pump_curve=tuple((q * 1e-4, 4.2 * (1 - (q / 47) ** 2)) for q in range(48)),
            system_curve=tuple((q * 1e-4, 1.75 + 0.0033 * q**2 / 1.0 * 1.0) for q in range(40)),
            pump_band=tuple(tuple((q * 1e-4, k * (1 - (q / 47) ** 2)) for q in range(48)) for k in (4.0, 4.4)),
            system_band=tuple(tuple((q * 1e-4, 1.75 + k * q**2) for q in range(40)) for k in (0.003, 0.0036)),
            pumps=(
                PumpShare(
                    pump="p1",
                    flow_m3s=Band(0.0021, 0.0018, 0.00245),
                    head_m=Band(3.4, 3.1, 3.8),
                    shut=False,
                    preferred_m3s=(0.0012, 0.0026),
                    npsh_required_m=None,
                    npsh_available_m=None,
                ),
            ),
            cases=tuple(
                CaseFlow(case=case, flow_m3s=flow, head_m=head, spare=flow / 0.0018 - 1.0)
                for case, flow, head in (
                    ("clean", 0.0021, 3.2),
                    ("worn", 0.0017, 2.7),
                    ("dirty intake", 0.0019, 3.5),
                    ("cold water", 0.00209, 3.21),
                    ("pond low", 0.00202, 3.3),
                )
            ),
        ),
    )
    pumps = (replace(pumps[0], head_m=Band(3.2, 3.0, 3.5), flow_m3s=Band(0.00211, 0.0018, 0.00245)),)
    balance = Balance(
        body=body.id,
        holding=body.holding.value,
        held_m=0.0,
        transit_m3=Band(0.25, 0.18, 0.33),
        drop_at_start_m=Band(0.025, 0.018, 0.033),
        running_level_m=Band.exact(0.0),
        stop_level_m=Band(0.025, 0.018, 0.033),
        topped_up_stop_level_m=Band(0.025, 0.018, 0.033),
        left_if_stream_leaks_m=-0.12,
        intake_low_m=-0.12,
        intake_high_m=0.03,
    )
    pond = PondWater(body=body.id, volume_m3=6.0, area_m2=9.9, turnover_h=0.8)
    return Water(
        circuit=Circuit(
            flow_m3s=flow,
            head_m=Band(3.2, 3.0, 3.5),
            power_w=Band(190, 180, 200),
            pumps=pumps,
            outlets=(OutletFlow(run="run1", outlet="s1", level_m=stream.head.m, flow_m3s=flow),),
        ),
        crests=tuple(crests),
        reaches=tuple(reaches),
        pond=pond,
        balance=balance,
        ponds=(pond,),
        balances=(balance,),
        highest=(
            HighWater(
                path=f"ponds/{body.id}",
                case="stopped",
                holding=body.holding.value,
                level_m=Band(0.025, 0.018, 0.033),
                method="transit over area",
            ),
        ),
        cases_not_run=(),
        out_of_range=(),
    )


def build(stream: Stream, body: Body) -> Build:
    stakes = []
    for number, fall in enumerate(stream.falls, start=1):
        x, y = stream.path[min(number, len(stream.path) - 1)]
        stakes.append(
            Stake(
                id=f"S{number}",
                path=f"falls/{fall.id}",
                text=f"crest {fall.id}",
                at=(x + 0.1, y + 0.45),
                station_m=fall.station_m,
                dig_m=fall.foot.m - 0.09,
                liner_m=fall.foot.m - 0.08,
                stone_top_m=fall.crest.m,
                water_m=fall.crest.m + 0.02,
            )
        )
    return Build(stakes=tuple(stakes), lifts=(), accesses=())
