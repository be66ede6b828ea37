"""Numbers of crests, beds, pipe runs and looks: what the water does, how well that is known, and of what made."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import CrestWater, Judged, NotRun, ReachWater, StreamLook
from rillwright.feature import named_in
from rillwright.job.origins import source_words
from rillwright.job.tracing_runs import run_number
from rillwright.job.worked_out import WorkedOut
from rillwright.packet import Say, froude_words, rough, speed_words
from rillwright.units import Band

_FLOW = ("runs.wanted", "runs.name")
_CREST = ("falls.crest_width", *_FLOW)
_DROP = ("falls.drop", "falls.spill_stone", "streams.head")
_BED = ("reaches.width", "streams.width", "reaches.pitch", *_FLOW)
_GRAVEL = ("reaches.gravel", "streams.gravel", "reaches.grain", "streams.grain", "reaches.pitch")


_Read = Callable[[Any, Say], tuple[str, str] | None]


class _Kind(Struct, frozen=True, kw_only=True):
    """One kind of number: its words, what it was worked out from, by whose law, what moves it, its value and band."""

    what: str
    worked_from: str
    sources: tuple[str, ...] = ()
    typed: tuple[str, ...] = ()
    read: _Read


def water_number(judged: Judged, of: str) -> WorkedOut | None:
    """What such a number is, by what the row, the sentence or the drawing says of it; None where it is none of these,
    or is not there."""
    path, _, kind = of.partition(" ")
    water = judged.assessment.water
    if isinstance(water, NotRun) or not kind:
        return None
    collection, _, id = path.partition("/")
    say = Say(judged.assessment.feature.system)
    if collection == "falls":
        crest = next((one for one in water.crests if one.fall == id), None)
        return None if crest is None else _of_crest(judged, crest, kind, say)
    if collection == "reaches":
        wet = water.wet(id)
        return None if wet is None else _of_bed(judged, wet, kind, say)
    if collection == "runs":
        point = next((one for one in water.circuit.pumps if one.run == id), None)
        return None if point is None else run_number(judged, point, kind)
    look = next((one for one in water.looks if path == one.path), None)
    return None if look is None else _of_stream(judged, look, kind, say)


def _of_crest(judged: Judged, crest: CrestWater, kind: str, say: Say) -> WorkedOut | None:
    if kind.startswith("stone ") and kind[6:].isdigit():
        return _stone(judged, crest, int(kind[6:]), say)
    found = _CREST_KINDS.get(kind)
    made = None if found is None else _made(judged, found, crest, say)
    if made is None or kind not in _THIN or not crest.notes:
        return made
    outside = f"Outside what was measured: {'; '.join(crest.notes)}; its band is the wider for it."
    return replace(made, came=(*made.came, outside))


def _of_bed(judged: Judged, wet: ReachWater, kind: str, say: Say) -> WorkedOut | None:
    found = _BED_KINDS.get(kind)
    made = None if found is None else _made(judged, found, wet, say)
    if made is None or wet.profile is None or not wet.profile.out_of_range:
        return made
    outside = f"Outside the data of its law: {wet.profile.out_of_range}; its band is the wider for it."
    return replace(made, came=(*made.came, outside))


def _made(judged: Judged, kind: _Kind, of: CrestWater | ReachWater, say: Say) -> WorkedOut | None:
    read = kind.read(of, say)
    if read is None:
        return None
    told = [f"Worked out from {kind.worked_from}."]
    if kind.sources:
        told.append(f"Source: {'; '.join(source_words(one) for one in kind.sources)}.")
    name = named_in(judged.assessment.feature, of.path)
    return WorkedOut(
        what=kind.what.format(name=name), value=read[0], band=read[1], came=tuple(told), path=of.path, wanted=kind.typed
    )


def _stone(judged: Judged, crest: CrestWater, number: int, say: Say) -> WorkedOut | None:
    if not 0 < number <= len(crest.stones):
        return None
    stone = crest.stones[number - 1]
    depth = say.one(stone.depth_m.value, "m") if stone.depth_m.value > 0.0 else "dry"
    share = say.span(stone.share.low, stone.share.high, "-", kind="share")
    return WorkedOut(
        what=f"water on stone {number} of {named_in(judged.assessment.feature, crest.path)}, from the left looking "
        "downstream",
        value=depth,
        band=f"{say.may_be(stone.depth_m, 'm')}; its share {share}".removeprefix("; "),
        came=(
            f"Worked out from its width, {say.one(stone.width_m, 'm')}, its level, {say.one(stone.above_m, 'm')} over "
            "the lowest of them, and the one level of water at which all of them carry the flow together.",
        ),
        path=crest.path,
        wanted=_CREST,
    )


def _of_stream(judged: Judged, look: StreamLook, kind: str, say: Say) -> WorkedOut | None:
    name = named_in(judged.assessment.feature, look.path)
    if kind == "runs now":
        return WorkedOut(
            what=f"what runs down {name} with its valves as they are now",
            value=say.one(look.flow_m3s.value, "m3/s"),
            band=say.may_be(look.flow_m3s, "m3/s"),
            came=("Worked out from where the curves of its pumps meet those of its pipes.",),
            path=look.path,
            wanted=("runs.wanted",),
        )
    if kind != "look" or look.from_m3s > look.to_m3s:
        return None
    return WorkedOut(
        what=f"flow over which every crest of {name} reads {look.wished}",
        value=say.span(look.from_m3s, look.to_m3s, "m3/s"),
        came=(
            "Worked out from the widths of its crests and the flow per width of crest at which water usually reads so.",
            f"Source: {source_words('common practice')}.",
        ),
        path=look.path,
        wanted=("streams.look",),
    )


def _band(read: Callable[[Any], Band | None], unit: str, *, kind: str | None = None) -> _Read:
    """Reads a band: its value, and what else it may be."""

    def told(of: Any, say: Say) -> tuple[str, str] | None:
        band = read(of)
        if band is None:
            return None
        span = say.span(band.low, band.high, unit, kind=kind)
        return say.one(band.value, unit, kind=kind), f"may be {span}" if " to " in span else ""

    return told


def _most(read: Callable[[Any], Band | None], unit: str) -> _Read:
    """Reads a band of which its upper end is told: what is built so holds over all of it."""

    def told(of: Any, say: Say) -> tuple[str, str] | None:
        band = read(of)
        return None if band is None else (say.one(band.high, unit), say.may_be(band, unit))

    return told


def _roughly(read: Callable[[Any], Band | None]) -> _Read:
    """Reads a band of lengths [m] of which its upper end is told to two digits."""

    def told(of: Any, say: Say) -> tuple[str, str] | None:
        band = read(of)
        return None if band is None else (rough(say.one(band.high, "m")), say.may_be(band, "m"))

    return told


def _exact(read: Callable[[Any], float | None], unit: str, *, kind: str | None = None) -> _Read:
    """Reads a number that has no band of its own."""

    def told(of: Any, say: Say) -> tuple[str, str] | None:
        value = read(of)
        return None if value is None else (say.one(value, unit, kind=kind), "")

    return told


def _lands(crest: CrestWater, say: Say) -> tuple[str, str] | None:
    """From the nearest of its underside to the farthest of its upper side."""
    if crest.throw_m is None:
        return None
    near = crest.throw_m if crest.throw_low_m is None else crest.throw_low_m
    under, upper = (say.one(band.value, "m") for band in (near, crest.throw_m))
    return say.span(near.low, crest.throw_m.high, "m"), f"its underside {under} out, its upper side {upper}"


def _froude(wet: ReachWater, say: Say) -> tuple[str, str] | None:
    if wet.profile is None:
        return None
    at = max(range(len(wet.profile.froudes)), key=lambda n: wet.profile.froudes[n] if wet.profile else 0.0)
    return froude_words(wet.profile.froudes[at]), f"greatest, {say.one(wet.profile.stations_m[at], 'm')} along"


def _moved(read: Callable[[Any], Band | float]) -> _Read:
    """Reads what is told of the gravel of a bed."""

    def told(wet: Any, say: Say) -> tuple[str, str] | None:
        if wet.moving is None:
            return None
        found = read(wet.moving)
        if not isinstance(found, Band):
            return say.one(found, "m"), ""
        return say.one(found.high, "m") if found.high >= _FINE_M else "sand and silt alone move", say.may_be(found, "m")

    return told


_ON_SLIDE = "the flow per width and the slope of the slide; no roughness was ever measured for so thin a sheet"
_FINE_M = 2e-3  # finer is sand (common practice)
_THIN = {"water on it", "lands", "speed", "lip", "tread"}  # what thinner water than was ever measured makes doubtful
_FALLING = ("rouse-1936", "rand-1955")
_CREST_KINDS: MappingProxyType[str, _Kind] = MappingProxyType(
    {
        "water on it": _Kind(
            what="water on the crest of {name}, as still water some way upstream has it",
            worked_from="the flow over it and its width, by a weir's formula; its coefficient by its lip, known the "
            "worse the thinner the water",
            sources=("hec-ras", "swmm-2"),
            typed=_CREST,
            read=_band(lambda crest: crest.depth_m, "m"),
        ),
        "seen": _Kind(
            what="height of {name} that is seen over the water below it",
            worked_from="its stone top less the running water below it",
            typed=_DROP,
            read=_band(lambda crest: crest.fall_height_m, "m"),
        ),
        "lands": _Kind(
            what="how far out the sheet of {name} lands",
            worked_from="the water on the crest and the height of the fall: thrown free, and the drop equations where "
            "they reach farther",
            sources=_FALLING,
            typed=(*_CREST, *_DROP[:2]),
            read=_lands,
        ),
        "speed": _Kind(
            what="speed at which the sheet of {name} lands",
            worked_from="the water on the crest and the height of the fall, thrown free",
            sources=_FALLING[:1],
            typed=_DROP,
            read=_exact(lambda crest: crest.impact_ms, "m/s"),
        ),
        "pool depth": _Kind(
            what="depth of the pool that the sheet of {name} wants below it",
            worked_from="its flow to the width and its fall: the larger of the water that stands behind a sheet and of "
            "that after the jump beyond it",
            sources=_FALLING[1:],
            typed=(*_CREST, *_DROP[:2]),
            read=_roughly(lambda crest: crest.pool_depth_m),
        ),
        "pool length": _Kind(
            what="length of the pool that the sheet of {name} wants, from the face of its crest",
            worked_from="how far out it lands, and as much again as the pool is deep",
            sources=_FALLING,
            typed=(*_CREST, *_DROP[:2]),
            read=_roughly(lambda crest: crest.pool_length_m),
        ),
        "lip": _Kind(
            what="how round the lips of {name} are to be so that the water follows the stone",
            worked_from="speed and depth of the water at each lip, held by its weight and by surface tension; no test "
            "on stone is known to us",
            typed=_CREST,
            read=_most(lambda crest: crest.cling_radius_m, "m"),
        ),
        "tread": _Kind(
            what="by how much a course of {name} is to stand out, to catch the sheet off a sharp lip above it",
            worked_from="the throw of the sheet from course to course",
            sources=_FALLING[:1],
            typed=_CREST,
            read=_most(lambda crest: crest.tread_m, "m"),
        ),
        "foot speed": _Kind(
            what="speed of the water at the foot of {name}",
            worked_from=_ON_SLIDE,
            sources=("chow-1959",),
            typed=_CREST,
            read=_band(lambda crest: crest.foot_speed_ms, "m/s"),
        ),
        "foot depth": _Kind(
            what="depth of the water at the foot of {name}",
            worked_from=_ON_SLIDE,
            sources=("chow-1959",),
            typed=_CREST,
            read=_band(lambda crest: crest.foot_depth_m, "m"),
        ),
        "drowned": _Kind(
            what="by how much less runs over {name} than were no water standing against it",
            worked_from="the running water below it and the water on its crest",
            sources=("villemonte-1947",),
            typed=_DROP,
            read=_exact(lambda crest: 1.0 - crest.drowned, "-", kind="share"),
        ),
        "dry": _Kind(
            what="share of the stone of {name} that runs dry",
            worked_from="how far its stone is out of level, and the water on it",
            typed=("falls.tilt", *_CREST),
            read=_exact(lambda crest: crest.dry_share, "-", kind="share"),
        ),
        "under": _Kind(
            what="share of the water that goes under the stone of {name}",
            worked_from="its joint, packed with gravel to open, or the gravel that it lies on",
            sources=("ergun-1952",),
            typed=("falls.sealed", *_GRAVEL[:2]),
            read=_band(lambda crest: crest.under, "-", kind="share"),
        ),
        "Weber": _Kind(
            what="Weber number of the water on {name}, weight over surface tension",
            worked_from="the water on its crest: density, gravity and the square of its depth, over surface tension",
            typed=_CREST,
            read=_exact(lambda crest: crest.weber, "-"),
        ),
    }
)
_BED_KINDS: MappingProxyType[str, _Kind] = MappingProxyType(
    {
        "depth": _Kind(
            what="depth of the water in {name}, in the mean along it",
            worked_from="the water on the crest below it, followed upstream station by station over a bed as rough as "
            "its gravel",
            sources=("ferguson-2007",),
            typed=_BED,
            read=_band(lambda wet: wet.depth_m, "m"),
        ),
        "speed": _Kind(
            what="speed of the water in {name}, in the mean along it",
            worked_from="the flow over the gravel and the depth at each station",
            sources=("ferguson-2007",),
            typed=_BED,
            read=lambda wet, say: (speed_words(wet.speed_ms, say), ""),
        ),
        "Froude": _Kind(
            what="Froude number of the water in {name}: speed over that of a wave; near one its surface is unsteady",
            worked_from="speed and depth at each station",
            typed=_BED,
            read=_froude,
        ),
        "in the gravel": _Kind(
            what="share of the flow of {name} that runs hidden in its gravel",
            worked_from="the slope of the water, the gravel and its grain",
            sources=("ergun-1952",),
            typed=_GRAVEL,
            read=_band(lambda wet: wet.hidden, "-", kind="share"),
        ),
        "grain": _Kind(
            what="median of the gravel that is laid in {name}",
            worked_from="what the file says of it, or what is usual",
            typed=_GRAVEL[2:4],
            read=_moved(lambda moving: moving.grain_m),
        ),
        "stays": _Kind(
            what="median of the gravel that just stays where the water of {name} pulls hardest, at the most",
            worked_from="the pull of the water on its bed",
            sources=("shields-1936",),
            typed=(*_GRAVEL[2:], *_FLOW),
            read=_moved(lambda moving: moving.stays_m),
        ),
    }
)
