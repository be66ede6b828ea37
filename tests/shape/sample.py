"""Features built by hand, invented: a metric stream of four drops, a buried reservoir, two streams with two runs."""

from __future__ import annotations

import math

from msgspec.structs import replace

from rillwright.feature import (
    XY,
    Body,
    BodyKind,
    Fall,
    FallKind,
    Feature,
    Fitting,
    Holding,
    Intake,
    IntakeKind,
    Lap,
    Level,
    LinerSpec,
    Look,
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
from rillwright.units import Band

FITTINGS = (
    Fitting(kind="entrance", count=1, k=0.5, source="EPANET 2.2 manual, table 3.3"),
    Fitting(kind="short elbow", count=4, k=0.9, source="EPANET 2.2 manual, table 3.3"),
    Fitting(kind="swing check", count=1, k=2.5, source="EPANET 2.2 manual, table 3.3"),
    Fitting(kind="gate", count=1, k=0.2, source="EPANET 2.2 manual, table 3.3"),
    Fitting(kind="exit", count=1, k=1.0, source="EPANET 2.2 manual, table 3.3"),
)


def level(m: float, surface: Surface = Surface.BED) -> Level:
    return Level(m, surface, Origin.PLANNED, "invented")


def oval(length_m: float, width_m: float, *, centre: XY = (0.0, 0.0), points: int = 48) -> tuple[XY, ...]:
    turns = [2.0 * math.pi * i / points for i in range(points)]
    return tuple(
        (centre[0] + 0.5 * length_m * math.cos(turn), centre[1] + 0.5 * width_m * math.sin(turn)) for turn in turns
    )


def body(outline: tuple[XY, ...], *, id: str = "pond", depth_m: float = 0.60, waterline_m: float = -0.10) -> Body:
    """A pond without stone and shelf, sides two up to one across."""
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return Body(
        id=id,
        kind=BodyKind.POND,
        outline=outline,
        length_m=max(xs) - min(xs),
        width_m=max(ys) - min(ys),
        depth_m=depth_m,
        side_up_per_across=2.0,
        shelf_width_m=0.0,
        shelf_depth_m=0.0,
        waterline=level(waterline_m, Surface.WATER),
        holding=Holding.WHILE_RUNNING,
        intake=Intake(
            id=f"{id}-intake",
            kind=IntakeKind.SKIMMER,
            low=level(waterline_m - 0.15, Surface.WATER),
            high=level(waterline_m + 0.05, Surface.WATER),
            greatest_flow_m3s=None,
        ),
        rims=(
            Rim(id=f"{id}-high", body=id, ground=level(0.0, Surface.GROUND), berm_m=0.0, settlement=0.1),
            Rim(id=f"{id}-low", body=id, ground=level(-0.06, Surface.GROUND), berm_m=0.10, settlement=0.1),
        ),
        stone_share=0.0,
        water_share=1.0,
        gravel_m=0.0,
    )


def reservoir(outline: tuple[XY, ...]) -> Body:
    """A buried reservoir with upright sides, four fifths of it voids."""
    return replace(
        body(outline, id="store", depth_m=0.90, waterline_m=-0.20),
        kind=BodyKind.RESERVOIR,
        side_up_per_across=math.inf,
        water_share=0.80,
        intake=Intake(
            id="store-intake",
            kind=IntakeKind.RESERVOIR,
            low=level(-0.95, Surface.WATER),
            high=level(-0.20, Surface.WATER),
            greatest_flow_m3s=None,
        ),
    )


def stream(
    *,
    id: str = "stream",
    into: Body,
    drops_m: tuple[float, ...] = (0.15, 0.20, 0.25),
    last_m: float = 0.30,
    reach_m: float = 2.0,
    width_m: float = 0.60,
    end: XY = (-2.0, 0.0),
    way: XY = (1.0, 0.0),
    kind: FallKind = FallKind.FREE,
    stone_above_bed_m: float = 0.05,
    crest_width_m: float = 0.40,
) -> Stream:
    """Level beds of `reach_m` between falls; the last fall drops to the water."""
    drops = (*drops_m, last_m)
    bed = into.waterline.m + sum(drops)
    head = level(bed)
    links: list[Reach | Fall] = []
    for i, drop in enumerate(drops):
        station = reach_m * i
        links.append(
            Reach(
                id=f"{id}-r{i + 1}",
                stream=id,
                upstream=f"{id}-n{2 * i}",
                downstream=f"{id}-n{2 * i + 1}",
                station_m=station,
                length_m=reach_m,
                pitch_m=0.0,
                width_m=width_m,
                bed_start=level(bed),
                bed_end=level(bed),
                gravel_m=0.075,
                grain_m=0.020,
                bank_m=0.20,
            )
        )
        last = i == len(drops) - 1
        links.append(
            Fall(
                id=f"{id}-f{i + 1}",
                stream=id,
                upstream=f"{id}-n{2 * i + 1}",
                downstream=into.id if last else f"{id}-n{2 * i + 2}",
                kind=kind,
                station_m=station + reach_m,
                drop_m=drop,
                crest=level(bed + stone_above_bed_m, Surface.STONE_TOP),
                foot=into.waterline if last else level(bed - drop),
                crest_width_m=crest_width_m,
                stone_m=0.06,
                stone_depth_m=0.40,
                sealed=True,
                wished_ripple=drop < 0.16,
                tilt_m=None,
            )
        )
        bed -= drop
    length = reach_m * len(drops)
    return Stream(
        id=id,
        into=into.id,
        path=((end[0] - way[0] * length, end[1] - way[1] * length), end),
        head=head,
        head_ground=level(head.m, Surface.GROUND),
        width_m=width_m,
        links=tuple(links),
        look=Look.LIVELY,
        splash_m=0.30,
    )


PIPE = Pipe(name="invented 63 mm", inside_m=0.0570, length_m=10.0, roughness_m=1.5e-6, source="invented")


def run(
    *,
    id: str = "run",
    source: str = "pond",
    outlet: str = "stream",
    outlet_level: Level,
    pump: Pump | None = None,
    pipe: Pipe | None = PIPE,
    wanted_m3s: float = 0.0025,
) -> Run:
    return Run(
        id=id,
        source=source,
        outlet=outlet,
        pump=pump,
        pipe=pipe,
        pipe_length_m=10.0,
        fittings=FITTINGS,
        wanted_m3s=wanted_m3s,
        outlet_level=outlet_level,
        outlet_under_water=True,
        check_valve=True,
    )


def pump(*curve: tuple[float, float], two_numbers: bool = False, watts: float | None = None) -> Pump:
    return Pump(
        id="pump",
        curve=curve,
        two_numbers=two_numbers,
        watts=watts,
        efficiency=Band(0.40, 0.30, 0.50),
        proposed=False,
    )


TWO_NUMBERS = pump((0.0, 5.0), (0.006, 0.0), two_numbers=True)


def feature(*, bodies: tuple[Body, ...], streams: tuple[Stream, ...], runs: tuple[Run, ...]) -> Feature:
    laps = tuple(
        Lap(
            id=f"lap-{stream.falls[-1].id}",
            at=f"falls/{stream.falls[-1].id}",
            body=stream.into,
            reach=None,
            lower="pond-liner",
            upper=f"{stream.id}-liner",
            upturn=level(0.02, Surface.LINER),
            run_m=0.6,
            sealed=False,
        )
        for stream in streams
    )
    return Feature(
        name="invented sample",
        system="metric",
        step_m=0.010,
        note="",
        scenario=True,
        revision="1",
        marks=(Mark(id="bm", role="benchmark", level=level(0.0, Surface.MARK)),),
        datum="bm",
        bodies=bodies,
        streams=streams,
        runs=runs,
        laps=laps,
        liner=LinerSpec(
            name="1.1 mm rubber", thickness_m=0.0011, mass_kgm2=1.4, spare_m=0.30, underlay_m=0.005, underlay_kgm2=0.27
        ),
        site=Site(
            north_rad=0.0,
            soil="unknown",
            groundwater=None,
            accesses=(),
            footings=(),
            services=None,
            crew_people=3,
            power_distance_m=None,
            residual_current_device=None,
            barrier=None,
        ),
        overrides=(),
        defaults_used=(),
    )


def four_drops(*, pump: Pump | None = TWO_NUMBERS, holding: Holding = Holding.WHILE_RUNNING) -> Feature:
    """Four drops, 90 cm in all, into an oval pond of 4.0 by 3.0 m with a shelf."""
    pond = replace(
        body(oval(4.0, 3.0)),
        shelf_width_m=0.30,
        shelf_depth_m=0.30,
        stone_share=0.10,
        gravel_m=0.05,
        holding=holding,
    )
    brook = stream(into=pond)
    return feature(bodies=(pond,), streams=(brook,), runs=(run(outlet_level=brook.falls[0].crest, pump=pump),))


def buried() -> Feature:
    """One stream into a buried reservoir, no open pond; only the duty is asked for."""
    store = reservoir(((0.0, -0.6), (2.0, -0.6), (2.0, 0.6), (0.0, 0.6)))
    brook = stream(into=store, drops_m=(0.20,), last_m=0.30, end=(0.0, 0.0))
    return feature(
        bodies=(store,),
        streams=(brook,),
        runs=(run(source="store", outlet_level=brook.falls[0].crest, pipe=None, wanted_m3s=0.0020),),
    )


def two_streams() -> Feature:
    """Two streams into one pond; one is fed at its head, the other at its head and in its second reach."""
    pond = replace(body(oval(5.0, 4.0)), stone_share=0.10)
    left = stream(id="left", into=pond, end=(-2.5, 0.0))
    right = stream(id="right", into=pond, drops_m=(0.20,), last_m=0.30, end=(2.5, 0.0), way=(-1.0, 0.0))
    second = left.reaches[1]
    return feature(
        bodies=(pond,),
        streams=(left, right),
        runs=(
            run(id="run1", outlet="left", outlet_level=left.falls[0].crest, pump=TWO_NUMBERS),
            run(
                id="run2",
                outlet=second.id,
                outlet_level=left.falls[1].crest,
                pump=pump((0.0, 4.0), (0.004, 0.0), two_numbers=True),
            ),
            run(
                id="run3",
                outlet="right",
                outlet_level=right.falls[0].crest,
                pump=pump((0.0, 4.0), (0.002, 3.0), (0.005, 0.0)),
            ),
        ),
    )
