"""The long section: from stream head to pond, with the height budget at its side in the same scale."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import Assessment, BodyKind, HeightBudget, Judged, Lap, LongSection, NotRun, Stream
from rillwright.drawings import budget as budgets
from rillwright.drawings import buried, labels, rods, scale, section_parts
from rillwright.drawings.display import Area, Box, Dimension, Drawing, Item, Point, Polyline, Text, View, group
from rillwright.drawings.expand import flat, texts
from rillwright.drawings.layout import Slot, spread
from rillwright.drawings.measure import width_mm
from rillwright.drawings.profile import Line, level_at
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, branch, nothing
from rillwright.drawings.words import length
from rillwright.errors import InputError

_MARGIN_MM = 4.0
_TREAD_MM = 3.0
_STAIRS_MM = 56.0  # no wider than this, however many steps
_AIR_MM = 12.0  # between the section and the levels above and below it
_STAIRS_GAP_MM = 8.0
_PLACES = 12  # along a line at which its words are tried
_MORE_GAP_MM = 20.0  # where the sheet has room to spare, for the levels over the pond
NAME = "Where the water stands"


class _Sheet(Struct, frozen=True):
    """Everything that was decided before anything is drawn."""

    assessment: Assessment
    section: LongSection
    stream: Stream
    budget: HeightBudget | None
    upper: tuple[rods.Rod, ...]
    lower: tuple[rods.Rod, ...]
    width: float
    height: float
    style: DrawingStyle

    @property
    def system(self) -> str:
        return self.assessment.feature.system

    @property
    def treads(self) -> tuple[float, ...]:
        steps = self.budget.steps if self.budget else ()
        return tuple(min(_TREAD_MM, _STAIRS_MM / len(steps)) for _ in steps)

    @property
    def stairs_mm(self) -> float:
        if self.budget is None:
            return 0.0
        need = budgets.width_needed_mm(self.budget, self.system, cap_mm=self.style.cap_mm, treads_mm=self.treads)
        caption = width_mm(budgets.caption_words(self.budget, self.system), self.style.cap_mm, weight="semibold")
        return max(need, caption) + _STAIRS_GAP_MM


def draw(
    source: Judged | Assessment,
    *,
    frame_mm: tuple[float, float] = (390.0, 190.0),
    style: DrawingStyle = PLAIN,
    stream: str | None = None,
) -> Drawing:
    """The long section of one stream in a frame.

    Parameters
    ----------
    source
        What was assessed.
    frame_mm
        Width and height of the room [mm].
    style
        The hand.
    stream
        Its id; None: the first.

    Raises
    ------
    InputError
        If it is too large for the frame at every standard scale.
    """
    assessment = assessment_of(source)
    shape = branch(assessment.shape)
    if shape is None or not shape.sections:
        reason = assessment.shape.reason if isinstance(assessment.shape, NotRun) else "there is no stream"
        return nothing(NAME, frame_mm, reason, style=style)
    earth = branch(assessment.earth)
    surveyed = earth.sections if earth is not None else ()
    section = next(s for s in surveyed or shape.sections if stream is None or s.stream == stream)
    return placed(assessment, section, frame_mm, style)[0]


def placed(
    assessment: Assessment, section: LongSection, frame_mm: tuple[float, float], style: DrawingStyle
) -> tuple[Drawing, View]:
    """A long section in a frame [mm], and the view by which it lies there.

    Raises
    ------
    InputError
        If it is too large for the frame at every standard scale.
    """
    shape = branch(assessment.shape)
    budgets_of = shape.budgets if shape is not None and style.stairs else ()
    budget = next((b for b in budgets_of if b.stream == section.stream), None)
    course = assessment.feature.stream(section.stream)
    sheet = _Sheet(
        assessment, section, course, budget,
        (rods.upper_rods if style.still else rods.name_rods)(assessment, section, course),
        rods.lower_rods(assessment, section, course) if style.still else (), *frame_mm, style,
    )  # fmt: skip
    place = _arrange(sheet)
    if style.still:
        sheet, place = _bounded(sheet, place)
    return _compose(sheet, place), place.view


def _bounded(sheet: _Sheet, place: _Place) -> tuple[_Sheet, _Place]:
    """The same with what holds the pond's water in its block of levels, where that costs neither scale nor a level."""
    upper = (*sheet.upper[:-1], rods.with_bounds(sheet.upper[-1], sheet.assessment, sheet.stream))
    full = replace(sheet, upper=upper)
    try:
        found = _arrange(full)
    except InputError:
        return sheet, place
    kept = found.view.scale <= place.view.scale and (found.upper is None) <= (place.upper is None)
    return (full, found) if kept and (found.lower is None) <= (place.lower is None) else (sheet, place)


class _Place(Struct, frozen=True):
    """Where everything stands on the sheet [mm]."""

    view: View
    above: float  # near edge of the levels above
    below: float  # near edge of the levels below
    chain: float  # top of the distances
    right: float  # where the section's room ends
    stairs_left: float
    rows: tuple[float, float]
    upper: tuple[Slot, ...] | None
    lower: tuple[Slot, ...] | None


def _arrange(sheet: _Sheet) -> _Place:
    """View and zones: the tiers of levels depend on the view, and the view on the room that they leave."""
    cap = sheet.style.cap_mm
    upper_mm, lower_mm = (
        rods.block_height_mm(these, cap_mm=cap) if these else 0.0 for these in (sheet.upper, sheet.lower)
    )
    rows = upper_mm, lower_mm
    bar = 2 * cap + 9.0 if sheet.style.bar else 0.0
    chain = 3 * cap + 9.0 if sheet.style.still else 0.0
    count = (1, 1)
    while True:
        zone = rows[0] * count[0] + _AIR_MM, _AIR_MM + section_parts.HATCH_DEPTH_MM + rows[1] * count[1] + chain
        room = Box(
            left=_MARGIN_MM,
            right=sheet.width - _MARGIN_MM - sheet.stairs_mm,
            top=2.0 + zone[0],
            bottom=sheet.height - bar - zone[1],
        )
        view, section_right = _view(sheet, room)
        gap = _STAIRS_GAP_MM + min(_MORE_GAP_MM, max(0.0, room.right - section_right))
        edge = section_right + gap - 3.0 if sheet.budget else sheet.width - _MARGIN_MM
        upper, lower = (_slots(sheet, these, view, edge) for these in (sheet.upper, sheet.lower))
        needed = (max(count[0], _count(upper)), max(count[1], _count(lower)))
        if needed == count:
            break
        count = needed
    _, _, low, high = _extent(sheet.section)
    above, below = view.y(high) - _AIR_MM, view.y(low) + section_parts.HATCH_DEPTH_MM + _AIR_MM
    chain_y = below + rows[1] * count[1] + 1.0
    return _Place(view, above, below, chain_y, edge, section_right + gap, rows, upper, lower)


def _compose(sheet: _Sheet, place: _Place) -> Drawing:
    cap = sheet.style.cap_mm
    view = place.view
    items: list[Item] = []
    notes: list[str] = []
    stairs = _stairs(sheet, place)
    if stairs is not None:
        items.append(_across(sheet, stairs, view))
    items += _body(sheet, view)
    for these, slots, near, tier, up in (
        (sheet.upper, place.upper, place.above, place.rows[0], True),
        (sheet.lower, place.lower, place.below, place.rows[1], False),
    ):
        if slots is None:
            notes.append(f"levels {'above' if up else 'below'}: no room here, see the staking table")
        else:
            items.append(
                rods.draw_rods(these, slots, view, near_mm=near, tier_mm=tier, up=up, system=sheet.system, cap_mm=cap)
            )
    if sheet.style.still:
        items.append(_chain(sheet, place))
    if stairs is not None:
        items.append(group("height budget", stairs.items, path=f"streams/{sheet.stream.id}"))
        notes += stairs.left_out
    if sheet.style.bar:
        at = (_MARGIN_MM, sheet.height - 2 * cap - 7.0)
        items.append(scale.bar(view, at, size_mm=cap, system=sheet.system))
    if sheet.style.exaggeration != 1.0:
        notes.append(f"heights drawn {sheet.style.exaggeration:g} times")
    items += _notes(sheet, notes)
    named, key = _names(sheet, place, items)
    return Drawing(
        name=NAME,
        alt=_alt(sheet),
        width_mm=sheet.width,
        height_mm=sheet.height,
        items=(*items, *named),
        scale=view.scale,
        scale_text=scale.words(view.scale, sheet.system),
        notes=tuple(notes),
        key=key,
    )


def _alt(sheet: _Sheet) -> str:
    falls = len(sheet.stream.falls)
    return (
        f"Long section of stream {sheet.stream.id} of {sheet.assessment.feature.name}: "
        f"{length(sheet.section.length_m, sheet.system)} with {falls} drops into "
        + (sheet.stream.into if sheet.stream.joins is None else f"bed {sheet.stream.joins.reach}")
    )


def _extent(section: LongSection) -> tuple[float, float, float, float]:
    points = [*section.ground, *section.dig, *section.liner, *section.bed]
    points += [corner for stone in section.stones for corner in stone.corners]
    xs, zs = zip(*points, strict=True)
    return min(xs), max(xs), min(zs), max(zs)


def _view(sheet: _Sheet, room: Box) -> tuple[View, float]:
    """The view, and where the section ends on paper; section and stairs stand in the middle of the sheet."""
    x0, x1, z0, z1 = _extent(sheet.section)
    more = sheet.style.exaggeration
    n = scale.choose(x1 - x0, z1 - z0, room, system=sheet.system, exaggeration=more)
    wide, used = (x1 - x0) * 1000.0 / n, (z1 - z0) * 1000.0 / n * more
    left = room.left + (room.width - wide) / 2
    base = room.top + used + 0.45 * (room.height - used)
    return View(scale=n, origin=(x0, z0), at=(left, base), exaggeration=more), left + wide


def _slots(sheet: _Sheet, these: Sequence[rods.Rod], view: View, right: float) -> tuple[Slot, ...] | None:
    xs = [view.put(rod.station_m, 0.0)[0] for rod in these]
    return rods.slots(these, xs, _MARGIN_MM, right, system=sheet.system, cap_mm=sheet.style.cap_mm)


def _count(slots: tuple[Slot, ...] | None) -> int:
    return max((slot.tier for slot in slots), default=0) + 1 if slots else 1


def _body(sheet: _Sheet, view: View) -> list[Item]:
    section, stream = sheet.section, sheet.stream
    still = sheet.style.still
    wash, lines = section_parts.water(sheet.assessment, section, stream, view) if still else section_parts.no_water()
    return [
        wash,
        section_parts.earth(section, view),
        section_parts.berm(section, view),
        section_parts.gravel(section, stream, view),
        section_parts.liner(section, _laps(sheet), view),
        section_parts.stones(section, view),
        lines,
        section_parts.ground(section, view),
    ]


def _laps(sheet: _Sheet) -> list[tuple[Lap, float]]:
    stations = {f"falls/{fall.id}": fall.station_m for fall in sheet.stream.falls}
    return [(lap, stations[lap.at]) for lap in sheet.assessment.feature.laps if lap.at in stations]


def _stairs(sheet: _Sheet, place: _Place) -> budgets.Stairs | None:
    if sheet.budget is None:
        return None
    cap = sheet.style.cap_mm
    return budgets.stairs(
        sheet.budget,
        sheet.stream.head.m,
        place.view.y,
        left_mm=place.stairs_left,
        system=sheet.system,
        cap_mm=cap,
        treads_mm=sheet.treads,
        low_mm=4.0 * cap,
        high_mm=sheet.height - (4.0 if sheet.style.bar else 1.0) * cap,
        caption=budgets.caption_words(sheet.budget, sheet.system),
    )


def _across(sheet: _Sheet, stairs: budgets.Stairs, view: View) -> Item:
    """Faint lines from the section's drops to the stairs that spend the same height."""
    drops = [fall.station_m for fall in sheet.stream.falls]
    return group(
        "same height",
        [
            Polyline(points=((view.put(station, 0.0)[0], tread[1]), tread), pen="grid")
            for station, tread in zip([0.0, *drops], stairs.treads, strict=False)
        ],
    )


def _chain(sheet: _Sheet, place: _Place) -> Item:
    """Distances from crest to crest; what is too narrow for its words has them below."""
    cap, system, view, y = sheet.style.cap_mm, sheet.system, place.view, place.chain
    end = max(s for s, _ in sheet.section.bed)
    stations = [0.0, *(fall.station_m for fall in sheet.stream.falls), end]
    joins = sheet.stream.joins
    past = f"ponds/{sheet.stream.into}.along" if joins is None else f"streams/{sheet.stream.id}.across"
    whose = [*(f"reaches/{reach.id}.length" for reach in sheet.stream.reaches), past]
    items: list[Item] = []
    narrow: list[tuple[float, str, str]] = []
    line_y = y + cap + 2.0
    for (a, b), of in zip(itertools.pairwise(stations), whose, strict=True):
        xa, xb = view.put(a, 0.0)[0], view.put(b, 0.0)[0]
        words = length(b - a, system)
        fits = width_mm(words, cap) + 2.0 <= xb - xa
        ends = ((xa, line_y), (xb, line_y))
        items.append(
            Dimension(
                start=ends[0], end=ends[1], offset_mm=0.0, text=words if fits else "", size_mm=cap, halo="paper", of=of
            )
        )
        if not fits and xb > xa:
            narrow.append(((xa + xb) / 2, words, of))
    widths = [width_mm(words, cap) for _, words, _ in narrow]
    wanted = [x - w / 2 for (x, _, _), w in zip(narrow, widths, strict=True)]
    lefts = spread(wanted, widths, _MARGIN_MM, place.right, gap=2.0) or ()
    for (x, words, of), left, w in zip(narrow, lefts, widths, strict=False):
        items.append(Polyline(points=((x, line_y), (left + w / 2, line_y + 2.4)), pen="leader"))
        items.append(Text(x=left, y=line_y + 3.0 + cap, text=words, size_mm=cap, colour="quiet", of=of))
    return group("distances", items)


def _notes(sheet: _Sheet, notes: Sequence[str]) -> list[Item]:
    cap = sheet.style.cap_mm
    right, bottom = sheet.width - _MARGIN_MM, sheet.height - 2.0
    return [
        Text(x=right, y=bottom - index * 1.8 * cap, text=words, size_mm=cap, anchor="end", italic=True)
        for index, words in enumerate(notes)
    ]


def _names(sheet: _Sheet, place: _Place, items: Sequence[Item]) -> tuple[tuple[Item, ...], tuple[tuple[int, str], ...]]:
    """The words of each line at the line, in its colour."""
    section, view, cap = sheet.section, place.view, sheet.style.cap_mm
    reaches = [(r.station_m, r.length_m) for r in sheet.stream.reaches]
    along = [start + share * run for share in (0.5, 0.3, 0.7, 0.15, 0.85) for start, run in reaches]
    pond = [
        section.length_m + share * (max(s for s, _ in section.bed) - section.length_m) for share in (0.75, 0.25, 0.9)
    ]
    ground = "ground, guessed between known levels" if section.ground_guessed else "ground"
    wanted: list[labels.Label] = []
    rest = _rest(sheet)
    for words, line, stations, colour, towards in (
        (ground, section.ground, [*pond, *along], "ink", (0.3, -1.0)),
        ("dig", section.dig, along, "earth word", (0.2, 1.0)),
        *_fill_word(section),
        ("liner", section.liner, along, "ink", (0.2, 1.0)),
        ("water at rest", rest, along, "water", (-0.2, -1.0)),
        (section_parts.HALF_BLOCKED, _blocked(sheet, view), along, "water", (0.2, -1.0)),
        ("bed, top of gravel", section.bed, along, "stone word", (0.2, -1.0)),
        ("liner held at the rim", section.liner[-2:], [section.liner[-1][0]], "ink", (-0.4, -1.0)),
        *_buried(sheet, pond),
    ):
        points = [view.put(s, z) for s in stations if (z := level_at(line, s)) is not None]
        if points:
            wanted.append(
                labels.Label(
                    text=words, at=points[0], also=tuple(points[1:_PLACES]), size_mm=cap, colour=colour, towards=towards
                )
            )
    blank = Drawing(name="", alt="", width_mm=sheet.width, height_mm=sheet.height, items=tuple(items))
    taken = [box for _, box in texts(blank)]
    avoid = [Box.round(item.points) for item in flat(items) if isinstance(item, Area) and item.fill != "paper"]
    frame = Box(left=_MARGIN_MM, right=place.right, top=place.above + 0.5, bottom=place.below - 0.5)
    placing = labels.place(wanted, frame, taken=taken, avoid=avoid, lines=_obstacles(blank))
    return labels.items(placing, ground=lambda at: "paper"), placing.key


def _fill_word(section: LongSection) -> Iterator[tuple[str, Line, list[float], str, Point]]:
    """The word at the widest stretch of fill."""
    fills = section_parts.filled(section)[1]
    if fills:
        widest = max(fills, key=lambda area: area[-1][0] - area[0][0])
        yield "fill", section.dig, [0.5 * (widest[0][0] + widest[-1][0])], "earth word", (0.2, 1.0)


def _buried(sheet: _Sheet, stations: Sequence[float]) -> Iterator[tuple[str, Line, list[float], str, Point]]:
    """What a buried reservoir is filled with and what lies over it; nothing of a pond."""
    body = sheet.assessment.feature.body(sheet.stream.into)
    if body.kind is not BodyKind.RESERVOIR or sheet.stream.joins is not None:
        return
    section, water = sheet.section, body.waterline.m
    for words, level in ((buried.words(body), water - 0.7 * body.depth_m), (buried.COVER, water + 0.03)):
        line = ((section.length_m, level), (max(s for s, _ in section.bed), level))
        yield (
            words,
            line,
            list(stations),
            "water" if level < water else "stone word",
            (0.3, 1.0 if level < water else -1.0),
        )


def _rest(sheet: _Sheet) -> tuple[tuple[float, float], ...]:
    """The first water that stands at rest in a reach, as a line of levels; empty if all drain dry."""
    water = branch(sheet.assessment.water) if sheet.style.still else None
    for reach in sheet.stream.reaches:
        wet = water.wet(reach.id) if water else None
        level = wet.rest_level_m if wet is not None else None
        if level is not None and level > reach.bed_end.m:
            return ((reach.station_m, level), (reach.station_m + reach.length_m, level))
    return ()


def _blocked(sheet: _Sheet, view: View) -> tuple[tuple[float, float], ...]:
    """The first reach whose half blocked water is drawn, as a line of levels; empty if there is none."""
    water = branch(sheet.assessment.water) if sheet.style.still else None
    for reach in sheet.stream.reaches:
        wet = water.wet(reach.id) if water else None
        level = section_parts.blocked_level(water, wet, view) if water and wet else None
        if level is not None:
            return ((reach.station_m, level), (reach.station_m + reach.length_m, level))
    return ()


def _obstacles(drawing: Drawing) -> list[Sequence[tuple[float, float]]]:
    """Every line that words had better not lie on; the hatch and the faint lines do not count."""
    return [
        item.points
        for item in flat(drawing.items)
        if isinstance(item, Polyline) and item.pen not in ("grid", "facet", "dimension")
    ]
