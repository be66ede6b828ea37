"""Assessments made by hand for looking at drawings. Places, people and pumps are invented."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from rillwright.assessment import Assessment, NotRun
from rillwright.build import Build, Stake
from rillwright.feature import (
    Access, Body, BodyKind, Fall, FallKind, Feature, Footing, Holding, Intake, IntakeKind, Lap, Level, LinerSpec, Look,
    Machine, Mark, Origin, Pipe, Pump, Reach, Rim, Run, Site, Stream, Surface, XY,
)  # fmt: skip
from rillwright.shape import HeightBudget, LongSection, PondShape, Shape, Step, StoneOutline
from rillwright.units import Band
from rillwright.water import Balance, Circuit, CrestWater, HighWater, OutletFlow, PondWater, PumpPoint, ReachWater, Water

SHOWN = NotRun("not needed for a drawing")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec:
    """What a sample is made of; lengths in metres."""

    name: str
    system: str
    reaches: tuple[tuple[float, float], ...]  # (length, pitch)
    drops: tuple[float, ...]
    stone: float = 0.06
    gravel: float = 0.075
    width: float = 0.7
    pond_length: float = 4.2
    pond_width: float = 3.0
    depth: float = 0.8
    shelf: float = 0.3
    kind: BodyKind = BodyKind.POND
    path: tuple[XY, ...] = ()
    build_up: float = 0.0
    left_over: float = 0.0
    north_rad: float = 0.35


METRIC = Spec(
    name="Courtyard of the two limes (invented)",
    system="metric",
    reaches=((2.2, 0.02), (2.6, 0.02), (1.9, 0.01), (2.4, 0.02)),
    drops=(0.20, 0.12, 0.21, 0.27),
    path=((0.0, 5.6), (1.6, 5.9), (3.2, 5.2), (4.4, 3.9), (5.2, 2.6), (6.1, 1.5), (7.0, 0.8)),
)
FEET = Spec(
    name="Gully behind the workshop (invented)",
    system="us",
    reaches=((6 * 0.3048, 0.0254), (8 * 0.3048, 0.0254)),
    drops=(0.1143, 0.3048),
    width=0.6096,
    pond_length=10 * 0.3048,
    pond_width=8 * 0.3048,
    depth=2 * 0.3048,
    path=((1.0, 5.2), (2.2, 4.4), (3.0, 3.2), (4.1, 2.2), (4.9, 1.1)),
    left_over=0.0127,
)
RESERVOIR = Spec(
    name="Steps by the station gate (invented)",
    system="metric",
    reaches=((1.4, 0.01), (1.6, 0.01), (1.2, 0.01)),
    drops=(0.16, 0.16, 0.24),
    pond_length=2.4,
    pond_width=1.8,
    depth=0.6,
    shelf=0.0,
    kind=BodyKind.RESERVOIR,
    path=((0.0, 3.4), (1.6, 3.0), (2.8, 2.0), (4.0, 1.2)),
)


def _level(m: float, surface: Surface, origin: Origin = Origin.PLANNED) -> Level:
    return Level(m, surface, origin, "sample")


def _oval(centre: XY, length: float, width: float, *, wobble: float = 0.06, count: int = 28) -> tuple[XY, ...]:
    points = []
    for index in range(count):
        angle = math.tau * index / count
        r = 1.0 + wobble * math.sin(3 * angle + 0.7)
        points.append((centre[0] + r * length / 2 * math.cos(angle), centre[1] + r * width / 2 * math.sin(angle)))
    return tuple(points)


def make(spec: Spec) -> Assessment:
    """An assessment with a feature, a shape, water and stakes that belong together."""
    total = sum(pitch for _, pitch in spec.reaches) + sum(spec.drops) + spec.left_over
    links, steps, levels = _links(spec, total)
    centre = (spec.path[-1][0] + 0.42 * spec.pond_length, spec.path[-1][1] - 0.30 * spec.pond_width)
    body = _body(spec, centre)
    stream = Stream(
        id="s1", into=body.id, path=spec.path, head=_level(total, Surface.BED), head_ground=_level(
            total - spec.build_up, Surface.GROUND, Origin.MEASURED), width_m=spec.width, links=tuple(links),
        look=Look.LIVELY, splash_m=0.2,
    )  # fmt: skip
    feature = _feature(spec, stream, body)
    shape = Shape(
        sections=(_section(spec, stream, total),),
        budgets=(HeightBudget(stream="s1", height_m=total, steps=tuple(steps), left_over_m=spec.left_over),),
        ponds=(_pond_shape(spec, centre, body),),
    )
    return Assessment(
        feature=feature, survey=SHOWN, shape=shape, water=_water(spec, stream, body), liner=SHOWN, containment=SHOWN,
        stone=SHOWN, earth=SHOWN, takeoff=SHOWN, build=_build(stream, body), price=SHOWN, defaults_used=(),
        limits_used=(), out_of_range=(), digest="sample", steps=(),
    )  # fmt: skip


def _links(spec: Spec, total: float) -> tuple[list[Reach | Fall], list[Step], list[float]]:
    links: list[Reach | Fall] = []
    steps: list[Step] = []
    levels: list[float] = []
    z, station = total, 0.0
    for index, ((length, pitch), drop) in enumerate(zip(spec.reaches, spec.drops, strict=True), start=1):
        last = index == len(spec.drops)
        below = 0.0 if last else z - pitch - drop
        reach = Reach(
            id=f"r{index}", stream="s1", upstream=f"n{2 * index - 2}", downstream=f"n{2 * index - 1}",
            station_m=station, length_m=length, pitch_m=pitch, width_m=spec.width, bed_start=_level(z, Surface.BED),
            bed_end=_level(z - pitch, Surface.BED), gravel_m=spec.gravel, grain_m=0.02, bank_m=0.2,
        )  # fmt: skip
        station += length
        z -= pitch
        ripple = drop < 0.13
        fall = Fall(
            id=f"f{index}", stream="s1", upstream=reach.downstream, downstream=spec.kind.value if last else f"n{2 * index}",
            kind=FallKind.STACKED if ripple else FallKind.FREE, station_m=station, drop_m=z - below,
            crest=_level(z + spec.stone, Surface.STONE_TOP), foot=_level(below, Surface.WATER if last else Surface.BED),
            crest_width_m=0.6 * spec.width, stone_m=spec.stone, stone_depth_m=0.4, sealed=True, wished_ripple=ripple,
            tilt_m=None,
        )  # fmt: skip
        links += [reach, fall]
        levels.append(z)
        steps.append(Step(path=f"reaches/{reach.id}", kind="bed", spent_m=pitch, fall_height_m=None))
        steps.append(
            Step(
                path=f"falls/{fall.id}", kind="ripple" if ripple else "fall", spent_m=drop,
                fall_height_m=drop + spec.stone,
            )
        )  # fmt: skip
        z = below
    return links, steps, levels


def _body(spec: Spec, centre: XY) -> Body:
    outline = _oval(centre, spec.pond_length, spec.pond_width)
    rims = tuple(
        Rim(id=f"rim{n}", body=spec.kind.value, ground=_level(z, Surface.GROUND, Origin.MEASURED), berm_m=berm,
            settlement=0.1, at=(centre[0] + 1.1 * (outline[i][0] - centre[0]), centre[1] + 1.1 * (outline[i][1] - centre[1])))
        for n, (i, z, berm) in enumerate(((2, 0.11, 0.0), (16, 0.08, 0.06), (22, 0.04, 0.10)), start=1)
    )  # fmt: skip
    reservoir = spec.kind is BodyKind.RESERVOIR
    return Body(
        id=spec.kind.value, kind=spec.kind, outline=outline, length_m=spec.pond_length, width_m=spec.pond_width,
        depth_m=spec.depth, side_up_per_across=2.0, shelf_width_m=spec.shelf, shelf_depth_m=spec.shelf,
        waterline=_level(0.0, Surface.WATER), holding=Holding.WHILE_RUNNING,
        intake=Intake(id="intake", kind=IntakeKind.RESERVOIR if reservoir else IntakeKind.SKIMMER,
                      low=_level(-0.12, Surface.WATER), high=_level(0.03, Surface.WATER), greatest_flow_m3s=None),
        rims=rims, stone_share=0.1, water_share=0.45 if reservoir else 1.0, gravel_m=0.05,
    )  # fmt: skip


def _feature(spec: Spec, stream: Stream, body: Body) -> Feature:
    x, y = spec.path[0]
    pump = Pump(id="p1", curve=((0.0, 4.6), (0.0047, 0.0)), two_numbers=True, watts=190.0,
                efficiency=Band(0.4, 0.3, 0.5), proposed=False)  # fmt: skip
    return Feature(
        name=spec.name, system=spec.system, step_m=0.01, note="invented", scenario=True, revision="A",
        marks=(
            Mark(id="BM1", role="benchmark", level=_level(0.62, Surface.MARK, Origin.MEASURED), at=(x + 6.9, y + 0.4)),
            Mark(id="G4", role="point", level=_level(0.41, Surface.GROUND, Origin.MEASURED), at=(x + 4.9, y - 3.6)),
        ),
        datum="BM1", bodies=(body,), streams=(stream,),
        runs=(Run(id="run1", source=body.id, outlet="s1", pump=pump, pipe=Pipe(
            name="63 mm", inside_m=0.057, length_m=13.0, roughness_m=1.5e-6, source="sample"), pipe_length_m=13.0,
            fittings=(), wanted_m3s=0.0018, outlet_level=stream.head, outlet_under_water=False, check_valve=True),),
        laps=(Lap(id="lap1", at=f"falls/f{len(spec.drops)}", body=body.id, reach=None, lower="pond piece",
                  upper="stream piece", upturn=_level(0.12, Surface.LINER), run_m=0.5, sealed=False),),
        liner=LinerSpec(name="45 mil", thickness_m=0.0011, mass_kgm2=1.4, spare_m=0.3, underlay_m=0.005,
                        underlay_kgm2=0.27),
        site=Site(
            north_rad=spec.north_rad, soil="loam", groundwater=None,
            accesses=(Access(id="gate", width_m=1.1, at=(x + 9.6, y - 0.6), machine=Machine(
                name="mini loader", width_m=0.9, reach_m=2.0, lift_kg=250.0, lift_radius_m=1.5, invented=True)),),
            footings=(Footing(id="terrace", line=((x + 5.6, y + 0.9), (x + 9.4, y + 0.9)), base=_level(0.2, Surface.GROUND)),),
            services_located=None, crew_people=3, power_distance_m=12.0, residual_current_device=True, barrier=None,
        ),
        overrides=(), defaults_used=(),
    )  # fmt: skip


def _section(spec: Spec, stream: Stream, total: float) -> LongSection:
    bed: list[XY] = []
    stones: list[StoneOutline] = []
    for reach, fall in zip(stream.reaches, stream.falls, strict=True):
        bed += [(reach.station_m, reach.bed_start.m), (fall.station_m, reach.bed_end.m)]
        s, top, foot = fall.station_m, fall.crest.m, fall.foot.m
        under = top - fall.stone_m
        last = fall is stream.falls[-1]
        base = -spec.shelf if last and spec.shelf else foot - 0.08
        stones.append(StoneOutline(fall=fall.id, kind="face", corners=(
            (s - 0.38, under - 0.02), (s - 0.02, under), (s + 0.02, base + 0.1), (s - 0.03, base), (s - 0.40, base + 0.03))))
        stones.append(StoneOutline(fall=fall.id, kind="spill", corners=(
            (s - 0.34, top - 0.01), (s - 0.2, top + 0.004), (s + 0.05, top), (s + 0.06, under + 0.01), (s - 0.1, under),
            (s - 0.35, under + 0.005))))  # fmt: skip
    length, depth, shelf = stream.length_m, spec.depth, spec.shelf
    run = (depth - shelf) / 2.0
    far = length + spec.pond_length
    floor: list[XY] = [(length, -shelf), (length + shelf, -shelf), (length + shelf + run, -depth),
             (far - shelf - run, -depth), (far - shelf, -shelf), (far - 0.02, -shelf), (far, 0.08)]  # fmt: skip
    if spec.kind is BodyKind.RESERVOIR:
        floor = [(length, -depth), (far, -depth), (far, 0.05)]
    bed += floor
    stream_points = 2 * len(stream.reaches)
    liner = [(x, z - (spec.gravel if i < stream_points else 0.05 if z < -0.01 else 0.0)) for i, (x, z) in enumerate(bed)]
    liner = [(x - 0.42 if z != liner[0][1] and 0 < x <= length else x, z) for x, z in liner]
    dig = [(x, z - 0.0061) for x, z in liner]
    back = liner[0][1] + 0.2
    liner = [(-0.12, back), (-0.12, liner[0][1]), *liner, (far + 0.25, 0.1)]
    dig = [(-0.13, back - 0.02), (-0.13, dig[0][1]), *dig, (far + 0.25, 0.094)]
    ground = ((-0.6, total - spec.build_up + 0.03), (0.0, total - spec.build_up), (length * 0.55, total * 0.36),
              (length, 0.10), (far + 0.6, 0.12))  # fmt: skip
    return LongSection(
        stream="s1", length_m=length, ground=ground, ground_guessed=True, dig=tuple(dig), liner=tuple(liner),
        bed=tuple(bed), stones=tuple(stones),
    )  # fmt: skip


def _pond_shape(spec: Spec, centre: XY, body: Body) -> PondShape:
    run = (spec.depth - spec.shelf) / 2.0
    rings = [(0.0, body.outline)]
    for inset, level in ((0.0, -spec.shelf), (spec.shelf, -spec.shelf), (spec.shelf + run, -spec.depth)):
        if inset > 0 or not spec.shelf:
            rings.append((level, _oval(centre, spec.pond_length - 2 * inset, spec.pond_width - 2 * inset)))
    area = math.pi / 4 * spec.pond_length * spec.pond_width
    return PondShape(
        body=body.id, area_m2=area, perimeter_m=11.0, floor_m=-spec.depth, storage=((-spec.depth, 0.6 * area, 0.0), (0.0, area, 0.7 * area * spec.depth)),
        gross_m3=area * spec.depth * 0.75, volume_m3=area * spec.depth * 0.7, dig_m3=area * spec.depth * 0.8,
        rings=tuple(rings), profile_along=((-2.0, 0.0), (0.0, -0.8), (2.0, 0.0)), profile_across=((-1.5, 0.0), (0.0, -0.8), (1.5, 0.0)),
        lined_m2=1.4 * area,
    )  # fmt: skip


def _water(spec: Spec, stream: Stream, body: Body) -> Water:
    flow = Band(0.0019, 0.0016, 0.0022)
    reaches, crests = [], []
    for reach, fall in zip(stream.reaches, stream.falls, strict=True):
        top = fall.crest.m + 0.021
        reaches.append(ReachWater(
            reach=reach.id, path=f"reaches/{reach.id}", pool_like=True, flow_m3s=flow, rest_level_m=fall.crest.m - 0.002,
            running_start_m=Band(top + 0.004, top - 0.002, top + 0.01), running_end_m=Band(top, top - 0.004, top + 0.005),
            depth_m=Band(0.09, 0.08, 0.1), speed_ms=Band(0.05, 0.04, 0.06), hidden=Band(0.03, 0.01, 0.08),
            above_rest_m3=0.03, gravel_m3=0.0, method="backwater of the crest"))
        crests.append(CrestWater(
            fall=fall.id, path=f"falls/{fall.id}", kind=fall.kind.value, flow_m3s=flow, width_m=fall.crest_width_m,
            depth_m=Band(0.021, 0.017, 0.025), fall_height_m=Band.exact(fall.drop_m),
            throw_m=Band(0.11, 0.09, 0.13) if fall.kind is FallKind.FREE else None, impact_ms=None, in_range=True,
            range_note="", tilt_ratio=None))  # fmt: skip
    pumps = (PumpPoint(
        run="run1", pump="p1", proposed=False, wanted_m3s=0.0018, flow_m3s=Band(0.0021, 0.0018, 0.00245), head_m=Band(3.4, 3.1, 3.8),
        static_m=2.75 - 1.0, friction_m=0.5, power_w=Band(190, 180, 200), speed_ms=0.8, pipe="63 mm", pipe_inside_m=0.057,
        pipe_length_m=13.0, duty_flow_m3s=0.00225, duty_head_m=3.3, spare=0.17,
        pump_curve=tuple((q * 1e-4, 4.2 * (1 - (q / 47) ** 2)) for q in range(0, 48)),
        system_curve=tuple((q * 1e-4, 1.75 + 0.0033 * q**2 / 1.0 * 1.0) for q in range(0, 40))),)  # fmt: skip
    pumps = (replace(pumps[0], head_m=Band(3.2, 3.0, 3.5), flow_m3s=Band(0.00211, 0.0018, 0.00245)),)
    balance = Balance(
        body=body.id, holding=body.holding.value, held_m=0.0, transit_m3=Band(0.25, 0.18, 0.33),
        drop_at_start_m=Band(0.025, 0.018, 0.033), running_level_m=Band.exact(0.0), stop_level_m=Band(0.025, 0.018, 0.033),
        topped_up_stop_level_m=Band(0.025, 0.018, 0.033), left_if_stream_leaks_m=-0.12, intake_low_m=-0.12, intake_high_m=0.03)  # fmt: skip
    pond = PondWater(body=body.id, volume_m3=6.0, area_m2=9.9, turnover_h=0.8)
    return Water(
        circuit=Circuit(flow_m3s=flow, head_m=Band(3.2, 3.0, 3.5), power_w=Band(190, 180, 200), pumps=pumps,
                        outlets=(OutletFlow(run="run1", outlet="s1", level_m=stream.head.m, flow_m3s=flow),)),
        crests=tuple(crests), reaches=tuple(reaches), pond=pond, balance=balance, ponds=(pond,), balances=(balance,),
        highest=(HighWater(path=f"ponds/{body.id}", case="stopped", holding=body.holding.value,
                           level_m=Band(0.025, 0.018, 0.033), method="transit over area"),),
        cases_not_run=(), out_of_range=(),
    )  # fmt: skip


def _build(stream: Stream, body: Body) -> Build:
    stakes = []
    for number, fall in enumerate(stream.falls, start=1):
        x, y = stream.path[min(number, len(stream.path) - 1)]
        stakes.append(Stake(
            id=f"S{number}", path=f"falls/{fall.id}", text=f"crest {fall.id}", at=(x + 0.1, y + 0.45), station_m=fall.station_m,
            dig_m=fall.foot.m - 0.09, liner_m=fall.foot.m - 0.08, stone_top_m=fall.crest.m, water_m=fall.crest.m + 0.02))  # fmt: skip
    return Build(stakes=tuple(stakes), lifts=(), accesses=())
