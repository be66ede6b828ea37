"""Assessments made by hand for looking at drawings. Places, people and pumps are invented."""

from __future__ import annotations

from rillwright.assessment import Assessment, NotRun
from rillwright.feature import (
    XY,
    Access,
    Body,
    BodyKind,
    Fall,
    FallKind,
    Feature,
    Footing,
    Holding,
    Intake,
    IntakeKind,
    Lap,
    LinerSpec,
    Look,
    Machine,
    Mark,
    Origin,
    Pipe,
    Pump,
    Reach,
    Rim,
    Run,
    Site,
    Stream,
    Surface,
)
from rillwright.shape import HeightBudget, Shape, Step
from rillwright.units import Band
from tests.drawings import results
from tests.drawings.spec import Spec, oval, planned

SHOWN = NotRun("not needed for a drawing")


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


def make(spec: Spec) -> Assessment:
    """An assessment with a feature, a shape, water and stakes that belong together."""
    total = sum(pitch for _, pitch in spec.reaches) + sum(spec.drops) + spec.left_over
    links, steps, _levels = _links(spec, total)
    centre = (spec.path[-1][0] + 0.42 * spec.pond_length, spec.path[-1][1] - 0.30 * spec.pond_width)
    body = _body(spec, centre)
    stream = Stream(
        id="s1",
        into=body.id,
        path=spec.path,
        head=planned(total, Surface.BED),
        head_ground=planned(total - spec.build_up, Surface.GROUND, Origin.MEASURED),
        width_m=spec.width,
        links=tuple(links),
        look=Look.LIVELY,
        splash_m=0.2,
    )
    feature = _feature(spec, stream, body)
    shape = Shape(
        sections=(results.section(spec, stream, total),),
        budgets=(HeightBudget(stream="s1", height_m=total, steps=tuple(steps), left_over_m=spec.left_over),),
        ponds=(results.pond_shape(spec, centre, body),),
    )
    return Assessment(
        feature=feature,
        survey=SHOWN,
        shape=shape,
        water=results.water(spec, stream, body),
        liner=SHOWN,
        containment=SHOWN,
        stone=SHOWN,
        earth=SHOWN,
        takeoff=SHOWN,
        build=results.build(stream, body),
        price=SHOWN,
        defaults_used=(),
        limits_used=(),
        out_of_range=(),
        digest="sample",
        steps=(),
        over_time=results.over_time(stream, body),
    )


def _links(spec: Spec, total: float) -> tuple[list[Reach | Fall], list[Step], list[float]]:
    links: list[Reach | Fall] = []
    steps: list[Step] = []
    levels: list[float] = []
    z, station = total, 0.0
    for index, ((length, pitch), drop) in enumerate(zip(spec.reaches, spec.drops, strict=True), start=1):
        last = index == len(spec.drops)
        below = 0.0 if last else z - pitch - drop
        reach = Reach(
            id=f"r{index}",
            stream="s1",
            upstream=f"n{2 * index - 2}",
            downstream=f"n{2 * index - 1}",
            station_m=station,
            length_m=length,
            pitch_m=pitch,
            width_m=spec.width,
            bed_start=planned(z, Surface.BED),
            bed_end=planned(z - pitch, Surface.BED),
            gravel_m=spec.gravel,
            grain_m=0.02,
            bank_m=0.2,
        )
        station += length
        z -= pitch
        ripple = drop < 0.13
        fall = Fall(
            id=f"f{index}",
            stream="s1",
            upstream=reach.downstream,
            downstream=spec.kind.value if last else f"n{2 * index}",
            kind=FallKind.STACKED if ripple else FallKind.FREE,
            station_m=station,
            drop_m=z - below,
            crest=planned(z + spec.stone, Surface.STONE_TOP),
            foot=planned(below, Surface.WATER if last else Surface.BED),
            crest_width_m=0.6 * spec.width,
            stone_m=spec.stone,
            stone_depth_m=0.4,
            sealed=True,
            wished_ripple=ripple,
            tilt_m=None,
        )
        links += [reach, fall]
        levels.append(z)
        steps.append(Step(path=f"reaches/{reach.id}", kind="bed", spent_m=pitch, fall_height_m=None))
        steps.append(
            Step(
                path=f"falls/{fall.id}",
                kind="ripple" if ripple else "fall",
                spent_m=drop,
                fall_height_m=drop + spec.stone,
            )
        )
        z = below
    return links, steps, levels


def _body(spec: Spec, centre: XY) -> Body:
    outline = oval(centre, spec.pond_length, spec.pond_width)
    rims = tuple(
        Rim(
            id=f"rim{n}",
            body=spec.kind.value,
            ground=planned(z, Surface.GROUND, Origin.MEASURED),
            berm_m=berm,
            settlement=0.1,
            at=(centre[0] + 1.1 * (outline[i][0] - centre[0]), centre[1] + 1.1 * (outline[i][1] - centre[1])),
        )
        for n, (i, z, berm) in enumerate(((2, 0.11, 0.0), (16, 0.08, 0.06), (22, 0.04, 0.10)), start=1)
    )
    reservoir = spec.kind is BodyKind.RESERVOIR
    return Body(
        id=spec.kind.value,
        kind=spec.kind,
        outline=outline,
        length_m=spec.pond_length,
        width_m=spec.pond_width,
        depth_m=spec.depth,
        side_up_per_across=2.0,
        shelf_width_m=spec.shelf,
        shelf_depth_m=spec.shelf,
        waterline=planned(0.0, Surface.WATER),
        holding=Holding.WHILE_RUNNING,
        intake=Intake(
            id="intake",
            kind=IntakeKind.RESERVOIR if reservoir else IntakeKind.SKIMMER,
            low=planned(-0.12, Surface.WATER),
            high=planned(0.03, Surface.WATER),
            greatest_flow_m3s=None,
        ),
        rims=rims,
        stone_share=0.1,
        water_share=0.45 if reservoir else 1.0,
        gravel_m=0.05,
    )


def _feature(spec: Spec, stream: Stream, body: Body) -> Feature:
    x, y = spec.path[0]
    pump = Pump(
        id="p1",
        curve=((0.0, 4.6), (0.0047, 0.0)),
        two_numbers=True,
        watts=190.0,
        efficiency=Band(0.4, 0.3, 0.5),
        proposed=False,
    )
    return Feature(
        name=spec.name,
        system=spec.system,
        step_m=0.01,
        note="invented",
        scenario=True,
        revision="A",
        marks=(
            Mark(id="BM1", role="benchmark", level=planned(0.62, Surface.MARK, Origin.MEASURED), at=(x + 6.9, y + 0.4)),
            Mark(id="G4", role="point", level=planned(0.41, Surface.GROUND, Origin.MEASURED), at=(x + 4.9, y - 3.6)),
        ),
        datum="BM1",
        bodies=(body,),
        streams=(stream,),
        runs=(
            Run(
                id="run1",
                source=body.id,
                outlet="s1",
                pump=pump,
                pipe=Pipe(name="63 mm", inside_m=0.057, length_m=13.0, roughness_m=1.5e-6, source="sample"),
                pipe_length_m=13.0,
                fittings=(),
                wanted_m3s=0.0018,
                outlet_level=stream.head,
                outlet_under_water=False,
                check_valve=True,
            ),
        ),
        laps=(
            Lap(
                id="lap1",
                at=f"falls/f{len(spec.drops)}",
                body=body.id,
                reach=None,
                lower="pond piece",
                upper="stream piece",
                upturn=planned(0.12, Surface.LINER),
                run_m=0.5,
                sealed=False,
            ),
        ),
        liner=LinerSpec(
            name="45 mil", thickness_m=0.0011, mass_kgm2=1.4, spare_m=0.3, underlay_m=0.005, underlay_kgm2=0.27
        ),
        site=Site(
            north_rad=spec.north_rad,
            soil="loam",
            groundwater=None,
            accesses=(
                Access(
                    id="gate",
                    width_m=1.1,
                    at=(x + 9.6, y - 0.6),
                    machine=Machine(
                        name="mini loader", width_m=0.9, reach_m=2.0, lift_kg=250.0, lift_radius_m=1.5, invented=True
                    ),
                ),
            ),
            footings=(
                Footing(id="terrace", line=((x + 5.6, y + 0.9), (x + 9.4, y + 0.9)), base=planned(0.2, Surface.GROUND)),
            ),
            services=None,
            crew_people=3,
            power_distance_m=12.0,
            residual_current_device=True,
            barrier=None,
        ),
        overrides=(),
        defaults_used=(),
    )
