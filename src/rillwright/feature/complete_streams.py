"""Streams, completed: beds and falls by turns from the head down, each with its levels."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from rillwright.feature.complete_edges import penetrations
from rillwright.feature.complete_joins import Mouth, mouth_of
from rillwright.feature.complete_outlines import islands
from rillwright.feature.complete_profiles import plunge_of, refuse_profiles, side_of
from rillwright.feature.course import aside_path, bed_lengths, stream_path
from rillwright.feature.filling import Filling
from rillwright.feature.levels import XY, Level, Origin, Surface
from rillwright.feature.model import Body, CrestStone, Fall, FallKind, Holding, IntakeKind, Lip, Look, Reach, Stream
from rillwright.feature.resolve import Levels
from rillwright.feature.schema import BedSaid, FallSaid, StreamSaid
from rillwright.feature.yaml_text import Location
from rillwright.sources import default, limit


class _Walk(Struct, frozen=True):
    """Where the walk down the course has come to."""

    node: str
    station: float
    bed: Level


def stream(
    said: StreamSaid,
    id: str,
    location: Location,
    *,
    levels: Levels,
    into: Body,
    turn: int,
    joined: tuple[Stream, Reach] | None = None,
) -> Stream | None:
    """One stream with everything decided; None (and problems noted) if it cannot be. `turn` spreads undrawn paths.

    It ends in the body `into`, or before that in the bed of another that is `joined`.
    """
    filling = levels.filling
    path = f"streams/{id}"
    head = levels.resolve(said.head, Surface.BED, (*location, "head"), origin=Origin.PLANNED)
    lengths = bed_lengths(said, location, filling)
    if head is None or lengths is None or not _by_turns(said, location, filling):
        return None
    levels.put(f"{path}.head", head)
    mouth = mouth_of(said, location, filling, into=into, joined=joined)
    if mouth is None:
        return None
    links = _links(said, id, location, levels=levels, mouth=mouth, head=head, lengths=lengths)
    if links is None:
        return None
    ground = None
    if said.head_ground is not None:
        ground = levels.resolve(said.head_ground, Surface.GROUND, (*location, "head_ground"))
    splash = said.splash.si if said.splash else default("stream.splash_falls").number * _tallest_m(links, mouth)
    if said.splash is None:
        filling.computed("stream.splash_falls", splash, unit="m", path=f"{path}.splash")
    return Stream(
        id=id,
        into=into.id,
        path=_path(said, into, mouth, sum(lengths), turn, filling, f"{path}.path"),
        head=head,
        head_ground=ground,
        width_m=filling.value(said.width, "stream.width", f"{path}.width"),
        links=tuple(links),
        look=Look(filling.word(said.look, "look.default", f"{path}.look")),
        splash_m=splash,
        joins=mouth.join,
    )


def _path(
    said: StreamSaid, into: Body, mouth: Mouth, length: float, turn: int, filling: Filling, path: str
) -> tuple[XY, ...]:
    if mouth.reach is None or mouth.stream is None or said.path is not None:
        return stream_path(said, into, length, turn, filling, path)
    filling.computed("feature.path", "straight", unit="", path=path)
    return aside_path(mouth.stream, mouth.reach, mouth.station_m, length, turn)


def _tallest_m(links: list[Reach | Fall], mouth: Mouth) -> float:
    """The highest fall as water falls there [m]: its crest, with the spill stone, less the least that stands below.

    Below the last that is the waterline; where it is topped up at rest, the lowest level for a skimmer, since how far
    the pond runs below its waterline is not known yet. Below the others it is the bed, or the next crest if sealed;
    so it is in the bed of another stream.
    """
    heights = [0.0]
    for fall, reach, after in zip(links[1::2], [*links[2::2], None], [*links[3::2], None], strict=True):
        assert isinstance(fall, Fall)
        if after is None and mouth.reach is not None:
            below = mouth.water_m
        elif after is None or reach is None:
            into = mouth.body
            sinks = into.holding is Holding.AT_REST and into.intake.kind is IntakeKind.SKIMMER
            below = into.intake.low.m if sinks else into.waterline.m
        else:
            assert isinstance(after, Fall)
            assert isinstance(reach, Reach)
            below = max(reach.bed_start.m, after.crest.m) if after.sealed else reach.bed_start.m
        heights.append(fall.crest.m - below)
    return max(heights)


def _by_turns(said: StreamSaid, location: Location, filling: Filling) -> bool:
    """Beds and falls alternate, from a bed at the head to a fall into the pond."""
    fine = True
    for index, row in enumerate(said.course):
        wanted = BedSaid if index % 2 == 0 else FallSaid
        if not isinstance(row, wanted):
            filling.wrong(
                (*location, "course", index),
                "beds and falls take turns, beginning with a bed at the head",
                found="two of one kind in a row" if index else "a fall first",
                allowed="a bed" if wanted is BedSaid else "a fall",
            )
            return False
    if isinstance(said.course[-1], BedSaid):
        filling.wrong(
            (*location, "course", len(said.course) - 1),
            "the course ends with a bed",
            allowed="a last fall into the pond; its drop may be left out and is then what is left",
        )
        fine = False
    return fine


def _links(
    said: StreamSaid,
    stream_id: str,
    location: Location,
    *,
    levels: Levels,
    mouth: Mouth,
    head: Level,
    lengths: list[float],
) -> list[Reach | Fall] | None:
    walk = _Walk(stream_id, 0.0, head)
    links: list[Reach | Fall] = []
    for index, row in enumerate(said.course):
        place = (*location, "course", index)
        if isinstance(row, BedSaid):
            reach = _reach(row, said, stream_id, place, levels=levels, walk=walk, length=lengths[index // 2])
            links.append(reach)
            walk = _Walk(reach.downstream, walk.station + reach.length_m, reach.bed_end)
            continue
        last = index == len(said.course) - 1
        start = _start_below(said, index, location, levels)
        fall = _fall(row, said, stream_id, place, levels=levels, walk=walk, mouth=mouth if last else None, start=start)
        if fall is None:
            return None
        links.append(fall)
        walk = _Walk(fall.downstream, walk.station, fall.foot)
    refuse_profiles(links, location, levels.filling)
    return links


def _start_below(said: StreamSaid, index: int, location: Location, levels: Levels) -> Level | None:
    """The level at which the next bed is said to begin, if it is said."""
    row = said.course[index + 1] if index + 1 < len(said.course) else None
    if not isinstance(row, BedSaid) or row.start is None:
        return None
    return levels.resolve(row.start, Surface.BED, (*location, "course", index + 1, "start"), origin=Origin.PLANNED)


def _reach(
    row: BedSaid,
    said: StreamSaid,
    stream_id: str,
    place: Location,
    *,
    levels: Levels,
    walk: _Walk,
    length: float,
) -> Reach:
    filling, path = levels.filling, f"reaches/{row.bed}"
    pitch = filling.value(row.pitch, "stream.pitch", f"{path}.pitch")
    index = place[-1]
    assert isinstance(index, int)
    below = said.course[index + 1]
    assert isinstance(below, FallSaid)
    start = walk.bed
    if index == 0 and row.start is not None:
        start = levels.resolve(row.start, Surface.BED, (*place, "start"), origin=Origin.PLANNED) or start
    end = Level(start.m - pitch, Surface.BED, Origin.PLANNED, f"pitch of {row.bed}", start.sigma_m, start.setup)
    levels.put(f"{path}.start", start)
    levels.put(f"{path}.end", end)
    return Reach(
        id=row.bed,
        stream=stream_id,
        upstream=walk.node,
        downstream=f"{below.fall}.top",
        station_m=walk.station,
        length_m=length,
        pitch_m=pitch,
        width_m=filling.value(row.width or said.width, "stream.width", f"{path}.width"),
        bed_start=start,
        bed_end=end,
        gravel_m=filling.value(row.gravel or said.gravel, "stack.gravel", f"{path}.gravel"),
        grain_m=filling.value(said.grain, "stream.grain", f"{path}.grain"),
        bank_m=filling.value(row.bank or said.bank, "stream.bank", f"{path}.bank"),
        penetrations=penetrations(row.penetrations, path, (*place, "penetrations"), levels),
        islands=islands(row.islands, path, (*place, "islands"), filling, height="island.in_stream"),
        side_up_per_across=side_of(row.side if row.side is not None else said.side),
        dish_m=dish.si if (dish := row.dish if row.dish is not None else said.dish) is not None else 0.0,
    )


def _fall(
    row: FallSaid,
    said: StreamSaid,
    stream_id: str,
    place: Location,
    *,
    levels: Levels,
    walk: _Walk,
    mouth: Mouth | None,
    start: Level | None,
) -> Fall | None:
    """One fall. Without a typed drop the last one takes what is left, any other goes down to the bed said below it."""
    filling, path = levels.filling, f"falls/{row.fall}"
    stone = filling.value(row.spill_stone, "stream.spill_stone", f"{path}.spill_stone")
    crest = Level(walk.bed.m + stone, Surface.STONE_TOP, Origin.PLANNED, f"stone on {walk.bed.source}")
    if row.crest is not None:
        crest = levels.resolve(row.crest, Surface.STONE_TOP, (*place, "crest"), origin=Origin.PLANNED) or crest
    drop = row.drop.si if row.drop is not None else None
    if mouth is not None:
        foot = mouth.foot
        drop = walk.bed.m - foot.m if drop is None else drop
    elif start is not None:
        foot = start
        drop = walk.bed.m - start.m if drop is None else drop
    elif drop is not None:
        foot = walk.bed.moved(-drop, surface=Surface.BED, source=f"foot of {row.fall}")
        foot = replace(foot, origin=Origin.PLANNED)
    else:
        filling.wrong((*place, "drop"), "is missing", allowed="a height such as '8 in', or 'start' of the bed below it")
        return None
    levels.put(f"{path}.crest", crest)
    levels.put(f"{path}.foot", foot)
    stones = _stones(row, place, filling)
    if stones:
        width = sum(stone.width_m for stone in stones)
    else:
        width = row.crest_width.si if row.crest_width else _crest_width(said, filling, f"{path}.crest_width")
    ripple = (
        row.ripple
        if row.ripple is not None
        else drop <= limit("falls.ripple_high").good and (mouth is None or mouth.join is not None)
    )
    sealed = row.sealed
    if sealed is None:
        sealed = filling.word(None, "stream.sealed", f"{path}.sealed") == "yes"
    return Fall(
        id=row.fall,
        stream=stream_id,
        upstream=walk.node,
        downstream=mouth.node if mouth is not None else f"{row.fall}.foot",
        kind=FallKind(filling.word(row.kind, "stream.fall_kind", f"{path}.kind")),
        station_m=walk.station,
        drop_m=drop,
        crest=crest,
        foot=foot,
        crest_width_m=width,
        stone_m=stone,
        stone_said=row.spill_stone is not None,
        lip=Lip(filling.word(row.lip, "stream.lip", f"{path}.lip")),
        stone_depth_m=filling.value(row.stone_depth, "stream.spill_depth", f"{path}.stone_depth"),
        sealed=sealed,
        wished_ripple=ripple,
        tilt_m=row.tilt.si if row.tilt else None,
        stones=stones,
        plunge=plunge_of(row),
    )


def _stones(row: FallSaid, place: Location, filling: Filling) -> tuple[CrestStone, ...]:
    """The stones of a crest side by side, the lowest of them at the crest's level; none where there is only one."""
    said = row.stones or []
    stones = tuple(CrestStone(width_m=one.width.si, above_m=one.above.si if one.above else 0.0) for one in said)
    if not stones:
        return ()
    lowest = min(stones, key=lambda stone: stone.above_m)
    if lowest.above_m > 0.0:
        filling.wrong(
            (*place, "stones"),
            "the crest is the lowest of its stones, and every one of these lies above it",
            found=f"{lowest.above_m:.3f} m above",
            allowed="one stone at least without 'above'",
        )
    if row.crest_width is not None:
        filling.wrong(
            (*place, "crest_width"),
            "is given by the stones already",
            found=row.crest_width.text,
            allowed="'stones' with the width of each, or 'crest_width' alone",
        )
    if row.tilt is not None:
        filling.wrong(
            (*place, "tilt"), "several stones lie each at its own level", allowed="'above' of each, or one stone"
        )
    return stones


def _crest_width(said: StreamSaid, filling: Filling, path: str) -> float:
    share, least = default("stream.crest_share").number, default("stream.crest_least").number
    stream_width = said.width.si if said.width else default("stream.width").number  # noted as the stream's
    width = max(share * stream_width, least)
    filling.computed("stream.crest_least" if width == least else "stream.crest_share", width, unit="m", path=path)
    return width
