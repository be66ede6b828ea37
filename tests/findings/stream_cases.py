"""Streams for the rules on beds and looks: common practice, no source, unless the limit names one."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from rillwright.assessment import CrestLook, Impact, MovingGravel, Severity, Splash, StreamLook, StreamProfile
from rillwright.units import Band, parse
from tests.findings.sample import metres

OK, WATCH = Severity.OK, Severity.WATCH


def profile(depth: str) -> StreamProfile:
    """Three stations, that depth in the middle and an inch more at the ends."""
    deep = [metres(depth) + metres("1 in"), metres(depth), metres(depth) + metres("1 in")]
    return StreamProfile(
        stations_m=(0.0, 1.0, 2.0),
        beds_m=(0.3, 0.3, 0.3),
        levels_m=tuple(Band.exact(0.3 + depth_m) for depth_m in deep),
        depths_m=tuple(Band.exact(depth_m) for depth_m in deep),
        speeds_ms=(Band.exact(0.1),) * 3,
        froudes=(0.2,) * 3,
        energies_m=tuple(0.31 + depth_m for depth_m in deep),
        hidden=(0.0,) * 3,
        jumps_m=(),
        control="level at the lower end",
        roughness=2.0,
        out_of_range="",
    )


def moving(share: Band) -> MovingGravel:
    grain = metres("1/2 in")
    return MovingGravel(station_m=1.0, shear_pa=Band.exact(5.0), grain_m=grain, stays_m=share.scale(grain), share=share)


def impact(stone: str, *, laid: str) -> tuple[Impact, ...]:
    return (
        Impact(
            fall="f1",
            path="falls/f1",
            speed_ms=1.6,
            pool_m=Band.exact(0.08),
            left_ms=Band.exact(0.7),
            stone_m=Band.exact(metres(stone)),
            grain_m=metres(laid),
        ),
    )


def splash(reach: str, *, lined: str, pool: str = "6 in", lands: str = "water") -> tuple[Splash, ...]:
    return (
        Splash(
            fall="f1",
            path="falls/f1",
            reach_m=Band.exact(metres(reach)),
            lined_m=metres(lined),
            pool_m=Band.exact(metres(pool)),
            lands_on=lands,
        ),
    )


def pool(deep: str, *, there: str, long: str = "1 ft", length: str = "5 ft") -> tuple[Impact, ...]:
    """A pool wanted so deep and long, and what there is."""
    (one,) = impact("1/4 in", laid="1/2 in")
    return (
        replace(
            one,
            pool_m=Band.exact(metres(there)),
            length_m=metres(length),
            wanted_depth_m=Band.exact(metres(deep)),
            wanted_length_m=Band.exact(metres(long)),
        ),
    )


def look(gallons: float, *, wished: str = "lively", to: float = 0.004) -> tuple[StreamLook, ...]:
    """One crest at a flow per inch of it [US gal/h]."""
    unit = Band.exact(float(parse(f"{gallons:g} US gal/h per in", "flow_per_width").si))
    crest = CrestLook(path="falls/f1", reads="lively", unit_flow_m2s=unit, from_m3s=0.002, to_m3s=to)
    return (
        StreamLook(
            stream="rill",
            path="streams/rill",
            wished=wished,
            crests=(crest,),
            flow_m3s=Band.exact(0.003),
            from_m3s=0.002,
            to_m3s=to,
            runs=("run",),
        ),
    )


STREAM_CASES: tuple[tuple[str, dict[str, Any], Severity], ...] = (
    ("splash.narrow", {"water.splashes": splash("12 in", lined="12 in")}, OK),
    ("splash.narrow", {"water.splashes": splash("12 in", lined="9 in")}, WATCH),
    ("splash.narrow", {"water.splashes": splash("12 in", lined="3 in")}, WATCH),
    ("fall.pool", {"water.impacts": pool("3 in", there="3 in")}, OK),
    ("fall.pool", {"water.impacts": pool("3 in", there="2 in")}, WATCH),
    ("fall.pool", {"water.impacts": pool("3 in", there="0 in")}, WATCH),
    ("fall.pool", {"water.impacts": pool("3 in", there="6 in", long="3 ft", length="1 ft")}, WATCH),
    ("stream.film", {"water.reaches.0.profile": profile("1/2 in")}, OK),
    ("stream.film", {"water.reaches.0.profile": profile("3/8 in")}, WATCH),
    ("stream.film", {"water.reaches.0.profile": profile("1/8 in")}, WATCH),
    ("stream.look", {"water.looks": look(125)}, OK),
    ("stream.look", {"water.looks": look(80)}, WATCH),
    ("stream.look", {"water.looks": look(190)}, WATCH),
    ("stream.look", {"water.looks": look(130, wished="quiet")}, WATCH),
    ("stream.look", {"water.looks": look(130, wished="loud")}, OK),
    ("gravel.moves", {"water.reaches.0.moving": moving(Band(0.4, 0.2, 0.9))}, OK),
    ("gravel.moves", {"water.reaches.0.moving": moving(Band(0.8, 0.5, 1.4))}, WATCH),
    ("gravel.moves", {"water.reaches.0.moving": moving(Band(3.0, 2.4, 4.0))}, WATCH),
    ("gravel.impact", {"water.impacts": impact("1 in", laid="1 in")}, OK),
    ("gravel.impact", {"water.impacts": impact("2 in", laid="1/2 in")}, WATCH),
)
