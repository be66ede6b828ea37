"""Rims as they run, what lies over and under their edge, what goes through the liner: common practice, no source,
unless the limit or the table names one.
"""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from rillwright.assessment import (
    HighWater,
    LowPlace,
    OverflowOut,
    Raise,
    RimFill,
    RimProfile,
    Settles,
    Severity,
    SparePoint,
    SpillPath,
    Through,
    Uphill,
    Wick,
)
from rillwright.feature import Catchment
from rillwright.units import Band
from tests.findings.sample import exact, feature, metres

OK, WATCH, STOP = Severity.OK, Severity.WATCH, Severity.STOP
AT = (1.0, 2.0)


def low(
    spare: str, *, water: str = "ponds/pond", ground_is: str = "between", nearest: str = "rims/low"
) -> dict[str, Any]:
    """The lowest place of a rim that has 5 in to spare where it was read, with what is to be raised there."""
    bank = water.startswith("reaches/")
    place = LowPlace(
        water=water,
        rim="ponds/pond",
        at=AT,
        along_m=3.0,
        path=f"{water}.bank" if bank else "rims/low",
        top_m=exact("6 in"),
        spare_m=exact(spare),
        case="stopped",
        holding="while running",
        ground_is=ground_is,
        nearest=nearest,
        nearest_m=1.2 if nearest else None,
        station_m=0.5 if bank else None,
    )
    point = SparePoint(
        at=AT, along_m=3.0, top_m=exact("6 in"), water_m=exact("1 in"), spare_m=exact(spare), path=place.path,
        water=water, case="stopped", holding="while running",
    )  # fmt: skip
    line = RimProfile(path="ponds/pond", kind="outer", closed=True, length_m=12.0, points=(point,), lowest=0)
    raised = Raise(
        rim="ponds/pond", path=place.path, from_m=2.5, to_m=3.5, by_m=0.05, inch_gains_m=0.0254, water=water, at=AT,
        build_m=0.055,
    )  # fmt: skip
    return {"containment.lows": (place,), "containment.profiles": (line,), "containment.raises": (raised,)}


def at_end(spare: str, *, ends: str) -> dict[str, Any]:
    """The lowest place of a bank, which has other to spare at the ends of its bed."""
    return low(spare, water="reaches/b1") | {"containment.tops.1.freeboard_m": exact(ends)}


def unsure(least: str) -> LowPlace:
    """A place between readings that has 5 1/2 in to spare, and may have less."""
    (place,) = low("5 in")["containment.lows"]
    found: LowPlace = replace(place, spare_m=Band(metres("5 1/2 in"), metres(least), metres("8 in")))
    return found


def spill(spare: str, towards: str = "", *, water: str = "ponds/pond", known: bool = True) -> dict[str, Any]:
    way = ((1.0, 2.0, 0.2), (4.0, 6.0, 0.0)) if known else ()
    path = SpillPath(
        water=water, rim="ponds/pond", at=AT, along_m=3.0, level_m=exact("6 in"), spare_m=exact(spare), way=way,
        ends="in a hollow", towards=towards, nearest_m=0.4 if towards else None,
        station_m=0.5 if water.startswith("reaches/") else None,
    )  # fmt: skip
    return {"containment.spills": (path,)}


def may(spare: str, *, water: str = "ponds/pond") -> dict[str, Any]:
    """The way from another place than the likely one, up to a wall."""
    (path,) = spill(spare, "buildings/house", water=water)["containment.spills"]
    return {"containment.may": (path,)}


def led(towards: str = "") -> dict[str, Any]:
    (path,) = spill("3 in", towards)["containment.spills"]
    return {"containment.led": (replace(path, over="overflow"),)}


def out(room: Band, *, carries: float = 0.01, peak: float | None = None) -> dict[str, Any]:
    """An overflow so far below the lowest place of the rim [m], what it lets out before and what rain brings [m3/s]."""
    each = OverflowOut(
        water="ponds/pond", sill_m=exact("1 in"), rim_m=exact("4 in"), room_m=room,
        carries_m3s=Band.exact(carries), peak_m3s=None if peak is None else Band.exact(peak),
    )  # fmt: skip
    return {"containment.outs": (each,)}


def uphill() -> dict[str, Any]:
    return {"containment.uphill": (Uphill(water="ponds/pond", length_m=3.0, ground_m2=40.0, stands_m=0.2, at=AT),)}


def lap(on_top: str, *, cover: str = "", sealed: bool = False) -> dict[str, Any]:
    return {"feature.laps": (replace(feature().laps[0], on_top=on_top, cover=cover, sealed=sealed),)}


def wick(spare: str, *, rise_m: float = 0.297) -> dict[str, Any]:
    over = Wick(path="rims/low", cover="felt of the underlay", rise_m=rise_m, spare_m=exact(spare), source="jurin-1718")
    return {"containment.wicks": (over,)}


def through(above: str, *, flange: bool | None = None) -> dict[str, Any]:
    high = HighWater(
        path="ponds/pond", case="stopped", holding="while running", level_m=exact("1 in"), method="by hand"
    )
    each = Through(path="penetrations/return", kind="pipe", flange=flange, against=high, above_m=exact(above))
    return {"containment.throughs": (each,)}


def settles(least: str) -> dict[str, Any]:
    spare = Band(metres("4 in"), metres(least), metres("4 1/4 in"))
    berm = Settles(
        path="rims/low", fill="earth tipped and shaped, not trodden", share=Band(0.18, 0.15, 0.25), spare_m=spare,
        source="common practice",
    )  # fmt: skip
    return {"containment.settles": (berm,)}


def fill(high: str, held: str = "4 in", *, water: str = "reaches/b1") -> dict[str, Any]:
    station = 0.5 if water.startswith("reaches/") else None
    each = RimFill(
        water=water, at=AT, station_m=station, high_m=metres(high), by="reaches/b1.bank", held_m=exact(held),
        held_at=AT, held_station_m=station,
    )  # fmt: skip
    return {"containment.fills": (each,)}


def covered() -> dict[str, Any]:
    body = feature().bodies[0]
    rims = tuple(replace(rim, cover="bare") for rim in body.rims)
    return {"feature.bodies": (replace(body, rims=rims),)}


RIM_CASES: tuple[tuple[str, dict[str, Any], Severity], ...] = (
    ("rim.fill", fill("17 in"), OK),
    ("rim.fill", fill("19 in"), WATCH),
    ("rim.fill", fill("37 in"), WATCH),
    ("rim.fill", fill("19 in", water="ponds/pond"), WATCH),
    ("rim.fill", fill("19 in") | {"containment.fills.0.station_m": 0.0}, WATCH),
    ("berm.embankment", fill("17 in", "23 in"), OK),
    ("berm.embankment", fill("17 in", "25 in"), WATCH),
    ("berm.embankment", fill("17 in", "24 in"), OK),
    ("berm.embankment", fill("17 in", "35.9 in"), WATCH),
    ("berm.embankment", fill("17 in", "36 in"), STOP),  # NRCS 378: 3 ft or more
    ("berm.embankment", fill("17 in", "37 in"), STOP),
    ("berm.embankment", fill("17 in", "37 in", water="ponds/pond"), STOP),
    ("rim.between", low("5 in"), OK),
    ("rim.between", low("4 in"), OK),
    ("rim.between", low("2 1/2 in"), WATCH),
    ("rim.between", low("1 in"), STOP),
    ("rim.between", low("1 in", ground_is="guess"), WATCH),
    ("rim.between", low("1 in", nearest=""), STOP),
    ("rim.between", low("5 in") | {"containment.unsure": (unsure("2 in"),)}, WATCH),
    ("rim.between", low("5 in") | {"containment.unsure": (unsure("3 1/2 in"),)}, OK),
    ("bank.along", low("5 in", water="reaches/b1"), OK),
    ("bank.along", low("3 1/2 in", water="reaches/b1"), WATCH),
    ("bank.along", low("2 in", water="reaches/b1", ground_is="guess"), STOP),
    ("bank.along", at_end("3 1/2 in", ends="3 1/2 in"), OK),
    ("bank.along", at_end("3 1/2 in", ends="4 in"), WATCH),
    ("bank.low", at_end("3 1/2 in", ends="3 1/2 in"), WATCH),
    ("bank.low", at_end("3 1/2 in", ends="4 in"), OK),
    ("bank.low", at_end("2 in", ends="2 in"), STOP),
    ("spill.way", spill("3 in"), OK),
    ("spill.way", spill("3 in", water="reaches/b1"), OK),
    ("spill.way", spill("3 in", "footings/house"), OK),
    ("spill.way", spill("2 1/2 in", "footings/house"), WATCH),
    ("spill.way", spill("1 in", "footings/house"), WATCH),
    ("spill.way", spill("3 1/2 in", "footings/house", water="reaches/b1"), WATCH),
    ("spill.way", spill("-1/2 in", "footings/house"), STOP),
    ("spill.way", spill("-1/2 in"), OK),
    ("spill.way", spill("3 in", known=False) | {"containment.spills.0.over": "island"}, OK),
    ("spill.unknown", spill("3 in", known=False), WATCH),
    ("spill.unknown", spill("3 in") | {"containment.spills.0.ends": "at the edge of the known ground"}, WATCH),
    ("spill.unknown", spill("3 in") | {"containment.spills.0.ends": "against the berm of pond other"}, WATCH),
    ("spill.may", may("5 in"), OK),
    ("spill.may", may("2 1/2 in"), WATCH),
    ("spill.may", may("1 in", water="reaches/b1"), WATCH),
    ("overflow.way", led(), OK),
    ("overflow.way", led("buildings/house"), WATCH),
    ("overflow.order", out(Band(0.08, 0.06, 0.10)), OK),
    ("overflow.order", out(Band(0.08, 0.06, 0.10), peak=0.005), OK),
    ("overflow.order", out(Band(0.08, 0.06, 0.10), peak=0.02), WATCH),
    ("overflow.order", out(Band(0.01, -0.01, 0.03)), WATCH),
    ("overflow.order", out(Band(-0.02, -0.03, -0.01), carries=0.0), WATCH),
    ("spill.unknown", led() | {"containment.led.0.ends": "at the edge of the known ground"}, WATCH),
    ("rim.uphill", uphill(), WATCH),
    ("rim.uphill", uphill() | {"feature.bodies.0.catchments": (Catchment(area_m2=40.0, share=0.3),)}, OK),
    ("rim.uphill", uphill() | {"feature.bodies.0.catchments": (Catchment(area_m2=0.1, share=0.3),)}, WATCH),
    ("lap.reversed", lap("upper"), OK),
    ("lap.reversed", lap("lower"), STOP),
    ("edge.wicks", wick("12 in"), OK),
    ("edge.wicks", wick("4 in"), WATCH),
    ("edge.wicks", wick("4 in", rise_m=0.0), OK),
    ("edge.cover", {}, WATCH),
    ("edge.cover", covered() | lap("upper"), WATCH),
    ("penetration.wet", through("1 in"), OK),
    ("penetration.wet", through("-3 in"), WATCH),
    ("penetration.wet", through("-3 in", flange=True), OK),
    ("penetration.wet", through("-3 in", flange=False), STOP),
    ("berm.settles", settles("3 1/2 in"), OK),
    ("berm.settles", settles("1 in"), WATCH),
)
