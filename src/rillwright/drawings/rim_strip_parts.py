"""The parts of a strip of rim: water, gap, edge, what is wanted, distances, whose water, readings, the lowest place."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from rillwright.assessment import XY, Assessment, Origin, RimProfile, SparePoint
from rillwright.drawings.display import Area, Group, Item, Polyline, Text, group
from rillwright.drawings.expand import cross
from rillwright.drawings.graph import ticks
from rillwright.drawings.hatch import strokes
from rillwright.drawings.labels import Label
from rillwright.drawings.measure import width_mm
from rillwright.drawings.rim_spare import SPARE_COLOUR, SPARE_WASH, Spare, Stretch, points_of, spare_of, wanted_m
from rillwright.drawings.words import along, length, level

if TYPE_CHECKING:
    from rillwright.drawings.rim_strip import Row

_HATCH = {Spare.LESS: ("watch hatch", 2.2, (45.0,)), Spare.LEAVES: ("stop hatch", 1.5, (45.0, -45.0))}
_LEAST_WORDS_MM = 9.0  # a narrower stretch has no words of its own
_ABOUT_TICKS = 8
_HOLDING = {"while running": "topped up while running", "at rest": "topped up at rest"}


def is_line(item: Item) -> bool:
    """Whether labels should stay off it."""
    return isinstance(item, Polyline) and item.pen not in ("grid", "leader")


def water(row: Row) -> list[Item]:
    """The highest water, straight from end to end."""
    top, box = row.view.y(0.0), row.box
    corners = ((box.left, top), (box.right, top), (box.right, box.bottom), (box.left, box.bottom))
    return [Area(points=corners, fill="water wash")]


def gap(piece: Stretch, row: Row) -> Iterator[Item]:
    """The room between the water and the top of a stretch, washed and hatched by what is to be said of it."""
    top = row.view.line(piece.points)
    corners = (*top, (top[-1][0], row.view.y(0.0)), (top[0][0], row.view.y(0.0)))
    yield Area(points=corners, fill=SPARE_WASH[piece.spare])
    if piece.spare in _HATCH:
        pen, spacing, angles = _HATCH[piece.spare]
        for angle in angles:
            yield from strokes(corners, spacing_mm=spacing, angle_deg=angle, pen=pen)


def edge(piece: Stretch, row: Row) -> Iterator[Item]:
    """The top of the liner heavy, dashed where it rests on a guess, and the water's surface before it."""
    line = row.view.line(piece.points)
    yield Polyline(points=((line[0][0], row.view.y(0.0)), (line[-1][0], row.view.y(0.0))), pen="water")
    yield Polyline(points=line, pen="liner guessed" if piece.guessed else "liner")


def as_low_as(profile: RimProfile, row: Row, foot_m: float, top_m: float) -> list[Item]:
    """The least that there may be to spare, thin, between two heights [m]."""
    points = [(along, place.spare_m.low) for along, _, place in points_of(profile)]
    line: list[tuple[float, float]] = []
    for (a, z0), (b, z1) in itertools.pairwise(points):
        low, high = max(a, row.start_m), min(b, row.end_m)
        if high > low:
            line += [(s, z0 + (z1 - z0) * (s - a) / (b - a)) for s in (low, high)]
    held = [(s, min(max(z, foot_m), top_m)) for s, z in line]
    return [Polyline(points=row.view.line(held), pen="may be")] if len(held) > 1 else []


def wanted(pieces: Sequence[Stretch], row: Row) -> Iterator[Item]:
    """The height that is wanted, dashed."""
    for height, those in itertools.groupby(pieces, lambda piece: piece.wanted_m):
        listed = list(those)
        y = row.view.y(height)
        ends = [row.view.put(s, 0.0)[0] for s in (listed[0].start_m, listed[-1].end_m)]
        yield Polyline(points=((ends[0], y), (ends[1], y)), pen="wished")


def distances(row: Row, system: str, *, cap_mm: float) -> list[Item]:
    """Distances along the rim under the row, round numbers of the reader's unit."""
    unit = "ft" if system == "us" else "m"
    box = row.box
    items: list[Item] = [Polyline(points=((box.left, box.bottom), (box.right, box.bottom)), pen="ink")]
    across = [("0", 0.0)] if row.start_m == 0.0 else []
    said, step = next(ticks(row.end_m - row.start_m, unit, "length", about=_ABOUT_TICKS))
    size = step / float(said)
    first = math.ceil(max(row.start_m, step / 2) / step - 1e-9)
    last = math.floor(row.end_m / step + 1e-9)
    across += [(f"{n * step / size:g}", n * step) for n in range(first, last + 1)]
    for index, (words, at) in enumerate(across):
        x = row.view.put(at, 0.0)[0]
        items.append(Polyline(points=((x, box.bottom), (x, box.bottom + 1.2)), pen="ink"))
        said = f"{words} {unit}" if index == len(across) - 1 else words
        half = width_mm(said, cap_mm) / 2
        middle = min(max(x, row.room.left + half), row.room.right - half)
        items.append(Text(x=middle, y=box.bottom + 2.0 + cap_mm, text=said, size_mm=cap_mm, anchor="middle"))
    return items


def waters(
    assessment: Assessment, profile: RimProfile, pieces: Sequence[Stretch], row: Row, *, cap_mm: float
) -> list[Item]:
    """Under the distances: which body or reach each stretch holds, and how high its water stands."""
    items: list[Item] = []
    y = row.box.bottom + 3.4 + 2.4 * cap_mm
    for path, those in itertools.groupby(pieces, lambda piece: piece.water):
        listed = list(those)
        left, right = _ends(listed, row)
        places = [p for p in profile.points if p.water == path and listed[0].start_m <= p.along_m <= listed[-1].end_m]
        said = next(
            (words for words in _water_words(assessment, path, places)
             if width_mm(words, cap_mm) <= right - left - 1.0),
            "",
        )  # fmt: skip
        ends = [
            Polyline(points=((x, y - 2.9 * cap_mm / 2), (x, y + 0.6 * cap_mm)), pen="leader") for x in (left, right)
        ]
        items += ends
        if said:
            items.append(Text(x=(left + right) / 2, y=y, text=said, size_mm=cap_mm, anchor="middle", colour="water"))
    return items


def _water_words(assessment: Assessment, path: str, places: Sequence[SparePoint]) -> Iterator[str]:
    """What is said of a stretch of water, from the longest words to the shortest; where it is round a stream's head."""
    id, system = path.partition("/")[2], assessment.feature.system
    heads = [stream.reaches[0].id for stream in assessment.feature.streams if stream.reaches]
    round_head = ", round the stream head" if path.startswith("reaches/") and id in heads else ""
    if not places:
        yield id
        return
    worst = max(places, key=lambda place: place.water_m.value)
    low, high = (f(place.water_m.value for place in places) for f in (min, max))
    levels = level(high, system) if level(low, system) == level(high, system) else (
        f"{level(low, system)} to {level(high, system)}"
    )  # fmt: skip
    held = _HOLDING.get(worst.holding, worst.holding)
    for name in dict.fromkeys((id + round_head, id)):
        yield f"{name}: highest water {levels}, {worst.case}, {held}"
        yield f"{name}: highest water {levels}, {worst.case}"
        yield f"{name}: highest water {levels}"
        yield f"{name}: water {levels}"
    yield from dict.fromkeys((id + round_head, id))


def signs(assessment: Assessment, profile: RimProfile, row: Row, most_m: float) -> list[Group]:
    """A tick at every reading on the rim, heavy where it was built; a flag at the lowest place."""
    items: list[Group] = []
    for path, point, built in readings(assessment, profile):
        if row.start_m <= point.along_m < row.end_m:
            x, y = row.view.put(point.along_m, min(point.spare_m.value, most_m))
            pen = "built" if built else "ink"
            parts: list[Item] = [Polyline(points=((x, y - 1.6), (x, y + 1.6)), pen=pen)]
            parts += cross((x, y), arm_mm=0.9) if built else []
            items.append(group("reading", parts, path=path))
    lowest = profile.points[profile.lowest]
    if row.start_m <= lowest.along_m < row.end_m:
        x, y = row.view.put(lowest.along_m, min(lowest.spare_m.value, most_m))
        y = max(y, row.box.top)
        flag = Area(points=((x, y - 0.4), (x - 1.3, y - 2.8), (x + 1.3, y - 2.8)), fill="ink", pen="frame")
        items.append(group("lowest", (flag,), path=lowest.path))
    return items


def readings(assessment: Assessment, profile: RimProfile) -> Iterator[tuple[str, SparePoint, bool]]:
    """Path, nearest place on the edge, and whether it was shot as built, of every rim with a place on this edge."""
    if profile.kind != "outer":
        return
    for body in assessment.feature.bodies:
        for rim in body.rims:
            near = [point for point in profile.points if point.water == f"ponds/{body.id}"]
            if rim.at is None or not near:
                continue
            at: XY = rim.at
            point = min(near, key=lambda one: math.dist(one.at, at))
            yield f"rims/{rim.id}", point, rim.ground.origin is Origin.BUILT or rim.top is not None


def names(
    assessment: Assessment, profile: RimProfile, pieces: Sequence[Stretch], row: Row, *, cap_mm: float, most_m: float
) -> list[Label]:
    """The lowest place first, then readings, then what is to be said of each stretch."""
    return [
        *_lowest_words(assessment, profile, row, cap_mm=cap_mm, most_m=most_m),
        *_reading_words(assessment, profile, row, cap_mm=cap_mm, most_m=most_m),
        *_stretch_words(assessment, pieces, row, cap_mm=cap_mm),
    ]


def _lowest_words(
    assessment: Assessment, profile: RimProfile, row: Row, *, cap_mm: float, most_m: float
) -> Iterator[Label]:
    lowest, system = profile.points[profile.lowest], assessment.feature.system
    if not row.start_m <= lowest.along_m < row.end_m:
        return
    said = spare_words(lowest, system)
    word = spare_of(lowest.spare_m.value, wanted=wanted_m(assessment, lowest.water))
    x, y = row.view.put(lowest.along_m, min(lowest.spare_m.value, most_m))
    yield Label(
        text=f"lowest, {along(lowest.along_m, system)} along: {said}", at=(x, max(y, row.box.top) - 2.8),
        size_mm=cap_mm, weight="semibold", colour=SPARE_COLOUR[word], path=lowest.path, towards=(0.2, -1.0), rank=0,
        of=f"{lowest.path} height to spare",
    )  # fmt: skip


def spare_words(place: SparePoint, system: str) -> str:
    """Height to spare at a place with what it may be, in words."""
    spare = place.spare_m
    if spare.value < 0.0:
        return f"water stands {length(-spare.value, system)} over it"
    said = f"{length(spare.value, system)} to spare"
    low, high = length(max(spare.low, 0.0), system), length(spare.high, system)
    return f"{said}, may be {low} to {high}" if low != high else said


def _reading_words(
    assessment: Assessment, profile: RimProfile, row: Row, *, cap_mm: float, most_m: float
) -> Iterator[Label]:
    system = assessment.feature.system
    for path, point, built in readings(assessment, profile):
        if row.start_m <= point.along_m < row.end_m:
            said = f"{path.partition('/')[2]} {level(point.top_m.value, system)} liner" + (", as shot" if built else "")
            yield Label(
                text=said, at=row.view.put(point.along_m, min(point.spare_m.value, most_m)), size_mm=cap_mm,
                colour="built" if built else "ink", path=path, towards=(0.3, -1.0), rank=1, of=f"{path} liner",
            )  # fmt: skip


def _stretch_words(assessment: Assessment, pieces: Sequence[Stretch], row: Row, *, cap_mm: float) -> Iterator[Label]:
    """Each word where its stretch is widest; what is wanted at the beginning; where nobody took a level."""
    system = assessment.feature.system
    runs = [list(those) for _, those in itertools.groupby(pieces, lambda piece: piece.spare)]
    for run in runs:
        word, alike = run[0].spare, [each for each in runs if each[0].spare is run[0].spare]
        left, right = _ends(run, row)
        narrow = right - left < _LEAST_WORDS_MM and word is not Spare.LEAVES
        if narrow and run is not max(alike, key=lambda each: each[-1].end_m - each[0].start_m):
            continue
        share = (0.5, 0.3, 0.7, 0.15, 0.85)
        high = max(z for one in run for _, z in one.points)
        spots = tuple((left + t * (right - left), row.view.y(high / 2 if high > 0 else 0.0)) for t in share)
        yield Label(
            text=word.value, at=spots[0], also=spots[1:], size_mm=cap_mm, colour=SPARE_COLOUR[word],
            weight="regular" if word is Spare.ENOUGH else "semibold", towards=(0.0, -1.0),
            rank=3 if word is Spare.ENOUGH else 2,
        )  # fmt: skip
    for guessed, those in itertools.groupby(pieces, lambda piece: piece.guessed):
        listed = list(those)
        left, right = _ends(listed, row)
        if guessed and right - left >= _LEAST_WORDS_MM:
            line = [place for one in listed for place in row.view.line(one.points)]
            spots = tuple(line[len(line) * k // 6] for k in (3, 2, 4, 1, 5))
            yield Label(text="guessed", at=spots[0], also=spots[1:], size_mm=cap_mm, towards=(0.0, -1.0), rank=3)
    for height, those in itertools.groupby(pieces, lambda piece: piece.wanted_m):
        listed = list(those)
        left, right = _ends(listed, row)
        spots = tuple((left + t * (right - left), row.view.y(height)) for t in (0.06, 0.9, 0.3, 0.6))
        if right - left > _LEAST_WORDS_MM:
            yield Label(
                text=f"wanted {length(height, system)}", at=spots[0], also=spots[1:], size_mm=cap_mm, colour="quiet",
                towards=(0.1, 1.0), rank=4,
            )  # fmt: skip


def _ends(pieces: Sequence[Stretch], row: Row) -> tuple[float, float]:
    """Where some stretches in a row begin and end on paper [mm]."""
    return row.view.put(pieces[0].start_m, 0.0)[0], row.view.put(pieces[-1].end_m, 0.0)[0]
