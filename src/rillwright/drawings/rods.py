"""Levels along the long section: one rod a place, its ticks in order, none over another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import Assessment, Body, Fall, Level, LongSection, NotRun, Origin, Reach, Stream
from rillwright.drawings.display import Group, Item, LevelTick, Polyline, Text, View, group
from rillwright.drawings.expand import TICK_MM, tick_width_mm
from rillwright.drawings.joints import joined
from rillwright.drawings.layout import Slot, tiers
from rillwright.drawings.measure import width_mm
from rillwright.drawings.palette import SURFACE_COLOUR
from rillwright.drawings.profile import level_at
from rillwright.drawings.rim_spare import profiles_of
from rillwright.drawings.words import length, level

LINE = 1.75  # between two lines of a block, of the height of a capital
_PAD_MM = 1.0  # rod to words
_GAP_MM = 2.0
_MOST_TIERS = 4


class Reading(Struct, frozen=True, kw_only=True):
    """One level at one place [m], and what is to be said of it."""

    m: float
    surface: str
    note: str = ""
    built: bool = False
    path: str = ""  # whose level it is


class Rod(Struct, frozen=True, kw_only=True):
    """The levels at one station [m], listed from the top down under a heading."""

    station_m: float
    heading: str
    readings: tuple[Reading, ...]
    path: str


def reading(level: Level, path: str) -> Reading:
    """A level of the feature, the one of that path, as a reading."""
    return Reading(m=level.m, surface=level.surface.value, built=level.origin is Origin.BUILT, path=path)


def upper_rods(assessment: Assessment, section: LongSection, stream: Stream) -> tuple[Rod, ...]:
    """What is read above: ground and bed at the head, stone and water at each crest, water in the pond."""
    system = assessment.feature.system
    water = None if isinstance(assessment.water, NotRun) else assessment.water
    state = {reach.id: wet for reach in stream.reaches if water and (wet := water.wet(reach.id)) is not None}
    head = [reading(stream.head, f"streams/{stream.id}.head")]
    if stream.head_ground is not None:
        head.append(reading(stream.head_ground, f"streams/{stream.id}.head_ground"))
    rods = [_rod(0.0, "stream head", head, f"streams/{stream.id}")]
    for upper, fall in _crests(stream):
        readings = [reading(fall.crest, f"falls/{fall.id}.crest")]
        if upper.id in state:
            level_m = state[upper.id].running_end_m.value
            readings.append(Reading(m=level_m, surface="water", note="running", path=f"reaches/{upper.id}.running"))
        heading = f"{'ripple' if fall.wished_ripple else 'fall'} {fall.id} at {length(fall.station_m, system)}"
        rods.append(_rod(fall.station_m, heading, readings, f"falls/{fall.id}"))
    bed = joined(assessment, stream)
    if bed is not None:
        readings = [
            Reading(m=level_m, surface="water", note=note, path=f"streams/{stream.id}.mouth")
            for level_m, note in ((bed.running_m, "running"), (bed.rest_m, "at rest"))
            if level_m is not None
        ]
        return (*rods, _rod(_middle(section), bed.words, readings, bed.path))
    body = assessment.feature.body(stream.into)
    held = f"topped up {body.holding.value}"
    path = f"ponds/{body.id}"
    built = body.waterline.origin is Origin.BUILT
    readings = [Reading(m=body.waterline.m, surface="water", note=held, built=built, path=f"{path}.waterline")]
    balance = next((b for b in water.balances if b.body == body.id), None) if water else None
    if balance is not None:
        if abs(balance.running_level_m.value - body.waterline.m) > 5e-4:
            level_m = balance.running_level_m.value
            readings.append(Reading(m=level_m, surface="water", note="running", path=f"{path}.running"))
        if abs(balance.stop_level_m.value - body.waterline.m) > 5e-4:
            level_m = balance.stop_level_m.value
            readings.append(Reading(m=level_m, surface="water", note="stopped", path=f"{path}.stopped"))
    rods.append(_rod(_middle(section), body.kind.value, readings, path))
    return tuple(rods)


def with_bounds(rod: Rod, assessment: Assessment, stream: Stream) -> Rod:
    """The rod of a stream's body, with what holds its water too; that of a bed as it is."""
    if stream.joins is not None:
        return rod
    body = assessment.feature.body(stream.into)
    return _rod(rod.station_m, rod.heading, (*rod.readings, *_bounds(assessment, body)), rod.path)


def _bounds(assessment: Assessment, body: Body) -> Iterator[Reading]:
    """What holds the water of a body, from the lowest place of its rim down to where its intake sucks air."""
    path = f"ponds/{body.id}"
    profiles = profiles_of(assessment)
    tops = [point.top_m.value for profile in profiles for point in profile.points if point.water == path]
    if tops:
        yield Reading(m=min(tops), surface="liner", note="the lowest of the rim", path=f"{path}.lowest")
    if body.overflow is not None:
        yield Reading(m=body.overflow.level.m, surface="water", note="leaves by the overflow", path=f"{path}.overflow")
    if not isinstance(assessment.water, NotRun) and any(high.path == path for high in assessment.water.highest):
        worst = assessment.water.worst(path)
        yield Reading(m=worst.level_m.value, surface="water", note=f"highest, {worst.case}", path=f"{path}.highest")
    low = f"intakes/{body.intake.id}.low"
    yield Reading(m=body.intake.low.m, surface="water", note="the intake's lowest", path=low)


def name_rods(assessment: Assessment, section: LongSection, stream: Stream) -> tuple[Rod, ...]:
    """The rods above with one level each, none of it of moving water: for a section whose water is moved."""
    rods = upper_rods(assessment, section, stream)
    still = [[r for r in rod.readings if r.note not in ("running", "stopped")] or list(rod.readings) for rod in rods]
    return tuple(replace(rod, readings=(kept[0],)) for rod, kept in zip(rods, still, strict=True))


def lower_rods(assessment: Assessment, section: LongSection, stream: Stream) -> tuple[Rod, ...]:
    """What is read below: bed, liner and dig at the head, below each crest, and on the floor."""
    rods: list[Rod] = []
    for reach in stream.reaches:
        path = f"reaches/{reach.id}"
        pool = stream.plunge_in(reach)
        start = [reading(reach.bed_start, f"{path}.start")]
        if pool is None:
            start += _below(section, reach.station_m, f"{path}.start")
        else:
            deep, place = reach.bed_start.m - pool.depth_m, f"{path}.plunge_floor"
            start.append(Reading(m=deep, surface="bed", note="in the plunge pool", path=place))
            start += _below(section, reach.station_m + 0.5 * pool.length_m, place)
        rods.append(_rod(reach.station_m, f"start of reach {reach.id}", start, path))
    middle = _middle(section)
    bed = level_at(section.bed, middle)
    joins = joined(assessment, stream)
    path, words = (f"ponds/{stream.into}", "floor") if joins is None else (joins.path, joins.words)
    if joins is not None and bed is not None:
        there = Reading(m=bed, surface="bed", path=f"streams/{stream.id}.mouth")
        rods.append(_rod(middle, words, [there, *_below(section, middle, there.path)], path))
        return tuple(rods)
    floor = [Reading(m=bed, surface="bed", path=f"{path}.floor")] if bed is not None else []
    rods.append(_rod(middle, "floor", [*floor, *_below(section, middle, f"{path}.floor")], path))
    return tuple(rods)


def _rod(station: float, heading: str, readings: Sequence[Reading], path: str) -> Rod:
    return Rod(station_m=station, heading=heading, readings=tuple(sorted(readings, key=lambda r: -r.m)), path=path)


def _crests(stream: Stream) -> list[tuple[Reach, Fall]]:
    pairs = zip(stream.links, stream.links[1:], strict=False)
    return [(a, b) for a, b in pairs if isinstance(a, Reach) and isinstance(b, Fall)]


def _middle(section: LongSection) -> float:
    end = max(s for s, _ in section.bed)
    return (section.length_m + end) / 2


def _below(section: LongSection, station: float, path: str) -> list[Reading]:
    found = []
    for name, line in (("liner", section.liner), ("dig", section.dig)):
        z = level_at(line, station)
        if z is not None:
            found.append(Reading(m=z, surface=name, path=path))
    return found


def _ticks(rod: Rod, system: str, cap_mm: float) -> tuple[LevelTick, ...]:
    return tuple(
        LevelTick(
            at=(0.0, 0.0),
            number=level(r.m, system),
            surface=r.surface,
            note=r.note,
            size_mm=cap_mm,
            built=r.built,
            of=f"{r.path} {r.surface}",
        )
        for r in rod.readings
    )


def block_width_mm(rod: Rod, system: str, *, cap_mm: float) -> float:
    """Width of a rod's words [mm], capitals `cap_mm` [mm] high."""
    lines = [tick_width_mm(tick) for tick in _ticks(rod, system, cap_mm)]
    return max(*lines, _PAD_MM + width_mm(rod.heading, cap_mm, weight="semibold"), 0.0)


def block_height_mm(rods: Sequence[Rod], *, cap_mm: float) -> float:
    """Height of the tallest block [mm], its heading in it, capitals `cap_mm` [mm] high."""
    return (max((len(rod.readings) for rod in rods), default=0) + 1) * LINE * cap_mm + 1.5


def slots(
    rods: Sequence[Rod], xs: Sequence[float], low: float, high: float, *, system: str, cap_mm: float
) -> tuple[Slot, ...] | None:
    """Tiers and left edges of the blocks of these rods, or None if there is no room for all.

    Parameters
    ----------
    rods
        In order of station.
    xs
        Their places on paper [mm].
    low
        Left of the room [mm].
    high
        Right of the room [mm].
    system
        "metric" or "us".
    cap_mm
        Height of capitals [mm].
    """
    widths = [block_width_mm(rod, system, cap_mm=cap_mm) for rod in rods]
    return tiers(xs, widths, low, high, gap=_GAP_MM, most=_MOST_TIERS)


def draw_rods(
    rods: Sequence[Rod],
    places: Sequence[Slot],
    view: View,
    *,
    near_mm: float,
    tier_mm: float,
    up: bool,
    system: str,
    cap_mm: float,
) -> Group:
    """Rods from their ticks in the section to their blocks of words.

    Parameters
    ----------
    rods
        What is read.
    places
        From `slots`.
    view
        Paper.
    near_mm
        Height on paper of the near edge of the nearest tier [mm].
    tier_mm
        Height of one tier [mm].
    up
        Whether tiers go up from there, or down.
    system
        "metric" or "us".
    cap_mm
        Height of capitals [mm].
    """
    sign = -1.0 if up else 1.0
    return group(
        "levels",
        [
            group(
                "rod", _rod_items(rod, slot, view, near_mm, sign * tier_mm, system=system, cap_mm=cap_mm), path=rod.path
            )
            for rod, slot in zip(rods, places, strict=True)
        ],
    )


def _rod_items(rod: Rod, slot: Slot, view: View, near: float, tier: float, *, system: str, cap_mm: float) -> list[Item]:
    x = view.put(rod.station_m, 0.0)[0]
    ys = [view.y(r.m) for r in rod.readings]
    up = tier < 0
    way = [(x, max(ys) if up else min(ys)), (x, near - tier / abs(tier) * 3.0)]
    for index, left in enumerate(slot.lefts):
        way += [(left, near + tier * index), (left, near + tier * (index + 0.9))]
    items: list[Item] = [Polyline(points=tuple(way), pen="leader")]
    for r, y in zip(rod.readings, ys, strict=True):
        pen = "built" if r.built else {"water": "water", "dig": "dig"}.get(r.surface, "ink")
        items.append(Polyline(points=((x - TICK_MM / 2, y), (x + TICK_MM / 2, y)), pen=pen))
    left = slot.lefts[-1]
    lines = len(rod.readings) + 1
    edge = near + tier * slot.tier
    top = edge - lines * LINE * cap_mm if up else edge + 0.6
    items.append(
        Text(
            x=left + _PAD_MM,
            y=top + LINE * cap_mm * 0.5 + cap_mm / 2,
            text=rod.heading,
            size_mm=cap_mm,
            weight="semibold",
            of=f"{rod.path}.station" if rod.path.startswith("falls/") else "",
        )
    )
    for index, tick in enumerate(_ticks(rod, system, cap_mm), start=1):
        y = top + LINE * cap_mm * (index + 0.5)
        items.append(
            LevelTick(
                at=(left, y),
                number=tick.number,
                surface=tick.surface,
                note=tick.note,
                size_mm=cap_mm,
                built=tick.built,
                of=tick.of,
            )
        )
    return items


def colour_of(surface: str) -> str:
    """The colour in which the words of a surface are written."""
    return SURFACE_COLOUR[surface]
