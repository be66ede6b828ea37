"""What is told of each crest and of each bed: the rows of their tables, for paper and screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rillwright.assessment import Assessment, CrestWater, Fall, Lip, MovingGravel, NotRun, ReachWater, Stream
from rillwright.drawings import SHOOTING
from rillwright.judge import tension_words
from rillwright.packet.flows import flow_said
from rillwright.packet.say import Say, breakable, rough
from rillwright.packet.water_rows import Cell, Piece, WaterRow, WaterTable, cell, joined, line
from rillwright.units import Band, parse

CRESTS = ("crest", "kind", "drop", "stone top", "wide", "head on it", "seen over the water", "comes down")
BEDS = ("bed", "depth", "speed", "Froude", "in the gravel", "its gravel")
_FREE = 0.995  # of the flow over a crest that nothing stands against: nearer one nobody can tell [-]
_NONE = "–"


def crest_table(assessment: Assessment, stream: Stream) -> WaterTable:
    """Every crest of a stream with the water on it, the height that is seen, how it comes down and what that loses."""
    say = Say(assessment.feature.system)
    wet = {} if isinstance(assessment.water, NotRun) else {one.fall: one for one in assessment.water.crests}
    rows: list[WaterRow] = []
    for fall in stream.falls:
        water = wet.get(fall.id)
        rows.append(_crest(fall, water, say))
        rows += [] if water is None else _stones(water, say)
    notes = (cell(_HEAD), *_outside(assessment, wet, stream)) if wet else ()
    return WaterTable(heads=CRESTS, rows=tuple(rows), notes=notes)


_HEAD = "Head: the water over the stone some way upstream of its edge; at the edge it is about half as thick."


def _crest(fall: Fall, water: CrestWater | None, say: Say) -> WaterRow:
    path = f"falls/{fall.id}"
    return WaterRow(
        path=path,
        main=True,
        cells=(
            cell(breakable(fall.id)),
            cell(_kind(fall)),
            cell(say.one(fall.drop_m, "m"), f"{path}.drop"),
            cell(say.level(fall.crest.m), f"{path}.crest {fall.crest.surface.value}"),
            cell(say.one(fall.crest_width_m, "m"), f"{path}.crest_width"),
            cell(_NONE) if water is None else cell(say.band(water.depth_m, "m"), f"{path} water on it"),
            cell(_NONE) if water is None else cell(say.band(water.fall_height_m, "m"), f"{path} seen"),
            cell(_NONE)
            if water is None
            else joined([_way(water, say), *_pool(water, say), *_losses(water, say)], "; "),
        ),
    )


def _kind(fall: Fall) -> str:
    """What it is, and its lip where that is not of natural stone."""
    kind = "ripple" if fall.wished_ripple else fall.kind.value
    return kind if fall.lip is Lip.ROUGH else f"{kind}, {fall.lip.value}"


def _outside(assessment: Assessment, wet: dict[str, CrestWater], stream: Stream) -> Iterator[Cell]:
    """The crests whose water lies outside what was ever measured, each note once."""
    notes: dict[str, list[str]] = {}
    impacts = () if isinstance(assessment.water, NotRun) else assessment.water.impacts
    landed = {impact.fall: impact.notes for impact in impacts}
    for fall in stream.falls:
        water = wet.get(fall.id)
        for note in (*water.notes, *landed.get(fall.id, ())) if water is not None else ():
            notes.setdefault(note, []).append(breakable(fall.id))
    if notes:
        said = "; ".join(f"{note} ({', '.join(falls)})" for note, falls in notes.items())
        yield cell(f"Outside what was measured: {said}.")


def stream_said(assessment: Assessment, stream: Stream) -> list[Cell]:
    """At which flow a stream runs, how its crests read at it, and over which they would read as wished."""
    span, how = flow_said(assessment, stream)
    runs = [line("It runs at ", Piece(span, f"streams/{stream.id} runs now"), f"{how}.")] if span else []
    return [*runs, *look_said(assessment, stream)]


def look_said(assessment: Assessment, stream: Stream) -> Iterator[Cell]:
    """How the crests of a stream read now, and the range in which its valve makes them read as wished."""
    if isinstance(assessment.water, NotRun):
        return
    say = Say(assessment.feature.system)
    for look in assessment.water.looks:
        if look.stream != stream.id or not look.crests:
            continue
        now: dict[str, list[str]] = {}
        for crest in look.crests:
            now.setdefault(crest.reads, []).append(crest.path.partition("/")[2])
        reads = "; ".join(f"{', '.join(crests)} {reads}" for reads, crests in now.items())
        yield cell(f"Wished {look.wished}; now it reads: {reads}.")
        if look.from_m3s > look.to_m3s:
            unlike = "their widths, or what runs over them, differ too much"
            yield cell(f"No one flow makes all crests read {look.wished}: {unlike}.")
        else:
            span = say.span(look.from_m3s, look.to_m3s, "m3/s")
            yield line(f"All crests read {look.wished} at ", Piece(span, f"{look.path} look"), ".")


def thin_notes(assessment: Assessment, stream: Stream) -> list[Cell]:
    """Where surface tension draws a sheet together and holds it to the stone; each saying once, with its crests."""
    if isinstance(assessment.water, NotRun):
        return []
    here = {fall.id for fall in stream.falls}
    notes: dict[str, list[str]] = {}
    for water in assessment.water.crests:
        if water.fall in here and water.flow_m3s.value > 0.0 and (said := tension_words(water.weber)):
            notes.setdefault(said, []).append(water.fall)
    return [
        joined([cell(", ".join(falls)), _weber(said, f"falls/{falls[0]} Weber")], ": ") for said, falls in notes.items()
    ]


def _weber(said: str, of: str) -> Cell:
    """A saying of surface tension in which the number has its name."""
    before, words, after = said.partition("Weber number ")
    number, comma, rest = after.partition(",")
    return line(f"{before}{words}", Piece(number, of), f"{comma}{rest}") if comma else cell(said, of)


def _way(water: CrestWater, say: Say) -> Cell:
    """How far a sheet lands, how round a stack wants its lips, how fast a slide lets it go."""
    path = water.path
    if water.throw_m is not None:
        low = water.throw_low_m.low if water.throw_low_m is not None else water.throw_m.low
        lands = line("lands ", Piece(say.span(low, water.throw_m.high, "m"), f"{path} lands"), " out")
        speed = () if water.impact_ms is None else line(" at ", Piece(say.one(water.impact_ms, "m/s"), f"{path} speed"))
        return (*lands, *speed, *(line(at) if (at := _at(water)) else ()))
    if water.cling_radius_m is not None:
        clings = line("clings to ", Piece(say.one(water.cling_radius_m.high, "m"), f"{path} lip"), " round lips")
        if water.tread_m is None:
            return clings
        return clings + line(", sharp ones ", Piece(say.one(water.tread_m.high, "m"), f"{path} tread"), " treads")
    if water.foot_speed_ms is not None:
        foot = line(Piece(say.one(water.foot_speed_ms.value, "m/s"), f"{path} foot speed"), " at its foot")
        if water.foot_depth_m is None:
            return foot
        return foot + line(", ", Piece(say.one(water.foot_depth_m.value, "m"), f"{path} foot depth"), " deep")
    return cell(_NONE)


def _at(water: CrestWater) -> str:
    """Which of its stones, or which end, most of this is said of."""
    return f", most at {water.at}" if water.at.startswith("stone") else f", most at its {water.at}" if water.at else ""


def _pool(water: CrestWater, say: Say) -> Iterator[Cell]:
    """The pool that a free sheet wants below it: what holds for all of its band."""
    if water.pool_depth_m is not None and water.pool_length_m is not None:
        deep = Piece(rough(say.one(water.pool_depth_m.high, "m")), f"{water.path} pool depth")
        long = Piece(rough(say.one(water.pool_length_m.high, "m")), f"{water.path} pool length")
        yield line("pool wanted ", deep, " deep, ", long, " long")


def _losses(water: CrestWater, say: Say) -> Iterator[Cell]:
    """What takes from it: drowned, dry at one end, under the stone."""
    path = water.path
    if water.drowned < _FREE:
        less = say.one(1.0 - water.drowned, "-", kind="share")
        yield line("drowned from below, ", Piece(less, f"{path} drowned"), " less than free")
    if water.dry_share > 0.0:
        yield line(Piece(say.one(water.dry_share, "-", kind="share"), f"{path} dry"), " of the stone runs dry")
    if water.under is not None and water.under.high > 0.0:
        share = say.span(water.under.low, water.under.high, "-", kind="share")
        yield line(Piece(share, f"{path} under"), " goes under the stone")


def _stones(water: CrestWater, say: Say) -> list[WaterRow]:
    """Of several stones each in a row of its own: how far over the crest, how wide, the water on it, its share."""
    of = f"{water.path} stone"
    return [
        WaterRow(
            path="",
            cells=(
                cell(""),
                cell(f"stone {i}"),
                cell(""),
                cell(f"+ {say.one(stone.above_m, 'm')}", f"{of} {i}") if stone.above_m > 0.0 else cell(""),
                cell(say.one(stone.width_m, "m"), f"{of} {i}"),
                cell(say.band(stone.depth_m, "m") if stone.depth_m.value > 0.0 else "dry", f"{of} {i}"),
                cell(f"{say.span(stone.share.low, stone.share.high, '-', kind='share')} of it", f"{of} {i}"),
                cell(""),
            ),
        )
        for i, stone in enumerate(water.stones, start=1)
    ]


def bed_table(assessment: Assessment, stream: Stream) -> WaterTable:
    """Every bed of a stream: how deep and how fast the water runs in it, and what that does to its gravel."""
    say = Say(assessment.feature.system)
    water = assessment.water
    found = [] if isinstance(water, NotRun) else [wet for each in stream.reaches if (wet := water.wet(each.id))]
    return WaterTable(heads=BEDS, rows=tuple(_bed(wet, say) for wet in found), notes=tuple(beyond(found)))


def _bed(wet: ReachWater, say: Say) -> WaterRow:
    path, profile, moving = wet.path, wet.profile, wet.moving
    fastest = max(profile.froudes) if profile is not None else None
    return WaterRow(
        path=path,
        main=True,
        cells=(
            cell(breakable(wet.reach)),
            cell(say.span(wet.depth_m.low, wet.depth_m.high, "m"), f"{path} depth"),
            cell(speed_words(wet.speed_ms, say), f"{path} speed"),
            cell(_NONE) if fastest is None else cell(froude_words(fastest), f"{path} Froude"),
            cell(say.span(wet.hidden.low, wet.hidden.high, "-", kind="share"), f"{path} in the gravel"),
            cell(_NONE) if moving is None else cell(gravel_words(moving, say), f"{path} grain; {path} stays"),
        ),
    )


def gravel_words(moving: MovingGravel, say: Say) -> str:
    """The gravel that is laid, and whether the water moves it."""
    grain, stays = say.one(moving.grain_m, "m"), moving.stays_m
    if moving.grain_m >= stays.high:
        return f"{grain} stays"
    return f"{grain} {'moves' if moving.grain_m < stays.value else 'may move'}, {say.one(stays.high, 'm')} stays"


def froude_words(froude: float) -> str:
    """A Froude number [-], and whether the water shoots or nearly does."""
    return f"{froude:.2g}, unsteady" if froude >= SHOOTING else f"{froude:.2g}"


def speed_words(band: Band, say: Say) -> str:
    """A speed [m/s] with its band, to a hundredth of the reader's unit: no depth is known to more."""
    unit = "ft/s" if say.system == "us" else "m/s"
    size = float(parse(f"1 {unit}", "speed").si)
    low, high = (f"{band_end / size:.2f}" for band_end in (band.low, band.high))
    return f"{low} {unit}" if low == high else f"{low} to {high} {unit}"


def beyond(wet: Sequence[ReachWater]) -> Iterator[Cell]:
    """Where a law was used outside what it was measured on, by which its band is wider, and what else lies outside what
    was measured; each note once, with its beds."""
    laws: dict[str, list[str]] = {}
    others: dict[str, list[str]] = {}
    for each in wet:
        of_law = each.profile.out_of_range.split("; ") if each.profile is not None else []
        for note in filter(None, dict.fromkeys([*of_law, *each.notes])):
            (laws if note in of_law else others).setdefault(note, []).append(each.reach)
    for head, notes in ((_BY_LAW, laws), ("Outside what was measured", others)):
        if notes:
            said = "; ".join(f"{', '.join(beds)}: {note}" for note, beds in notes.items())
            yield cell(f"{head}: {said}.")


_BY_LAW = "Outside the data of the laws, so that the bands are wider"
