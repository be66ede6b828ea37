"""The long section: from stream head to pond, with the height budget at its side in the same scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rillwright.assessment import Assessment, HeightBudget, Judged, Lap, LongSection, NotRun, Stream
from rillwright.drawings import budget as budgets
from rillwright.drawings import labels, rods, scale, section_parts
from rillwright.drawings.display import Box, Dimension, Drawing, Item, Polyline, Text, View, group
from rillwright.drawings.expand import texts
from rillwright.drawings.layout import Slot, spread
from rillwright.drawings.measure import ASCENT, DESCENT, width_mm
from rillwright.drawings.profile import level_at
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, branch, nothing
from rillwright.drawings.words import length

_MARGIN_MM = 4.0
_TREAD_MM = 4.0
_AIR_MM = 14.0  # between the section and the levels above and below it
NAME = "Where the water stands"


@dataclass(frozen=True, slots=True)
class _Sheet:
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
    def stairs_left(self) -> float:
        if self.budget is None:
            return self.width - _MARGIN_MM
        need = budgets.width_needed_mm(self.budget, self.system, cap_mm=self.style.cap_mm, tread_mm=_TREAD_MM)
        return self.width - need - _MARGIN_MM


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
    section = next(s for s in shape.sections if stream is None or s.stream == stream)
    budget = next((b for b in shape.budgets if b.stream == section.stream), None)
    course = assessment.feature.stream(section.stream)
    sheet = _Sheet(
        assessment, section, course, budget, rods.upper_rods(assessment, section, course),
        rods.lower_rods(assessment, section, course), *frame_mm, style,
    )  # fmt: skip
    return _compose(sheet)


def _compose(sheet: _Sheet) -> Drawing:
    style, cap = sheet.style, sheet.style.cap_mm
    right = sheet.stairs_left - 5.0
    rows = rods.block_height_mm(sheet.upper, cap_mm=cap), rods.block_height_mm(sheet.lower, cap_mm=cap)
    foot = 9.0 + 5.0 * cap + (2 * cap + 8.0 if style.bar else 0.0)
    top_tiers, low_tiers = 1, 1
    for _ in range(4):  # the tiers needed depend on the view, and the view on the room that the tiers leave
        room = Box(
            left=_MARGIN_MM,
            right=right,
            top=3.0 * cap + rows[0] * top_tiers + _AIR_MM,
            bottom=sheet.height - foot - rows[1] * low_tiers - _AIR_MM,
        )
        view = _view(sheet, room)
        upper, lower = (_slots(sheet, these, view, right) for these in (sheet.upper, sheet.lower))
        needed = _count(upper), _count(lower)
        if needed == (top_tiers, low_tiers):
            break
        top_tiers, low_tiers = max(needed[0], top_tiers), max(needed[1], low_tiers)
    extent = _extent(sheet.section)
    above, below = view.y(extent[3]) - 7.0, view.y(extent[2]) + section_parts.HATCH_DEPTH_MM + 6.0
    items: list[Item] = []
    stairs = _stairs(sheet, view)
    if stairs is not None:
        items += _across(sheet, stairs, view)
    items += _body(sheet, view)
    note = []
    for these, slots, near, tier, up in (
        (sheet.upper, upper, above, rows[0], True),
        (sheet.lower, lower, below, rows[1], False),
    ):
        if slots is None:
            note.append("levels: see the staking table, there is no room for them here")
        else:
            items.append(
                rods.draw_rods(these, slots, view, near_mm=near, tier_mm=tier, up=up, system=sheet.system, cap_mm=cap)
            )
    chain_y = below + rows[1] * low_tiers + 2.0
    items += _chain(sheet, view, chain_y)
    if stairs is not None:
        items.append(group("height budget", stairs.items, path=f"streams/{sheet.stream.id}"))
    if style.bar:
        at = (_MARGIN_MM, sheet.height - 2 * cap - 7.0)
        items.append(scale.bar(view, at, size_mm=cap, system=sheet.system))
    if style.exaggeration != 1.0:
        note.append(f"heights drawn {style.exaggeration:g} times")
    items += _notes(sheet, note)
    key: tuple[tuple[int, str], ...] = ()
    named, key = _names(sheet, view, items, Box(left=_MARGIN_MM, right=right, top=above + 1.0, bottom=below - 1.0))
    items += named
    return Drawing(
        name=NAME,
        alt=_alt(sheet),
        width_mm=sheet.width,
        height_mm=sheet.height,
        items=tuple(items),
        scale=view.scale,
        scale_text=scale.words(view.scale, sheet.system),
        notes=tuple(note),
        key=key,
    )


def _alt(sheet: _Sheet) -> str:
    falls = len(sheet.stream.falls)
    return (
        f"Long section of stream {sheet.stream.id} of {sheet.assessment.feature.name}: "
        f"{length(sheet.section.length_m, sheet.system)} with {falls} drops into {sheet.stream.into}"
    )


def _extent(section: LongSection) -> tuple[float, float, float, float]:
    points = [*section.ground, *section.dig, *section.liner, *section.bed]
    points += [corner for stone in section.stones for corner in stone.corners]
    xs, zs = zip(*points, strict=True)
    return min(xs), max(xs), min(zs), max(zs)


def _view(sheet: _Sheet, room: Box) -> View:
    x0, x1, z0, z1 = _extent(sheet.section)
    more = sheet.style.exaggeration
    n = scale.choose(x1 - x0, z1 - z0, room, system=sheet.system, exaggeration=more)
    used = (z1 - z0) * 1000.0 / n * more
    slack = (room.width - (x1 - x0) * 1000.0 / n) / 2
    base = room.top + used + 0.4 * (room.height - used)
    return View(scale=n, origin=(x0, z0), at=(room.left + slack, base), exaggeration=more)


def _slots(sheet: _Sheet, these: Sequence[rods.Rod], view: View, right: float) -> tuple[Slot, ...] | None:
    xs = [view.put(rod.station_m, 0.0)[0] for rod in these]
    return rods.slots(these, xs, _MARGIN_MM, right, system=sheet.system, cap_mm=sheet.style.cap_mm)


def _count(slots: tuple[Slot, ...] | None) -> int:
    return max((slot.tier for slot in slots), default=0) + 1 if slots else 1


def _body(sheet: _Sheet, view: View) -> list[Item]:
    section, stream = sheet.section, sheet.stream
    wash, lines = section_parts.water(sheet.assessment, section, stream, view)
    return [
        wash,
        section_parts.earth(section, view),
        section_parts.gravel(section, stream, view),
        section_parts.liner(section, _laps(sheet), view),
        section_parts.stones(section, view),
        lines,
        section_parts.ground(section, view),
    ]


def _laps(sheet: _Sheet) -> list[tuple[Lap, float]]:
    stations = {f"falls/{fall.id}": fall.station_m for fall in sheet.stream.falls}
    return [(lap, stations[lap.at]) for lap in sheet.assessment.feature.laps if lap.at in stations]


def _stairs(sheet: _Sheet, view: View) -> budgets.Stairs | None:
    if sheet.budget is None:
        return None
    return budgets.stairs(
        sheet.budget,
        sheet.stream.head.m,
        view.y,
        left_mm=sheet.stairs_left,
        system=sheet.system,
        cap_mm=sheet.style.cap_mm,
        tread_mm=_TREAD_MM,
        low_mm=3.0 * sheet.style.cap_mm,
        high_mm=sheet.height - 3.0 * sheet.style.cap_mm,
    )


def _across(sheet: _Sheet, stairs: budgets.Stairs, view: View) -> list[Item]:
    """Faint lines from the section's drops to the stairs that spend the same height."""
    lines: list[Item] = []
    drops = [fall.station_m for fall in sheet.stream.falls]
    for station, tread in zip([0.0, *drops], stairs.treads, strict=False):
        lines.append(Polyline(points=((view.put(station, 0.0)[0], tread[1]), tread), pen="grid"))
    return [group("same height", lines)]


def _chain(sheet: _Sheet, view: View, y: float) -> list[Item]:
    """Distances from crest to crest, then the whole; what is too narrow for its words has them below."""
    cap, system = sheet.style.cap_mm, sheet.system
    end = max(s for s, _ in sheet.section.bed)
    stations = [0.0, *(fall.station_m for fall in sheet.stream.falls), end]
    items: list[Item] = []
    narrow: list[tuple[float, str]] = []
    for a, b in zip(stations, stations[1:], strict=False):
        xa, xb = view.put(a, 0.0)[0], view.put(b, 0.0)[0]
        words = length(b - a, system)
        fits = width_mm(words, cap) + 2.0 <= xb - xa
        items.append(Dimension(start=(xa, y), end=(xb, y), offset_mm=-cap - 2.0, text=words if fits else "", size_mm=cap))
        if not fits and xb > xa:
            narrow.append(((xa + xb) / 2, words))
    line_y = y + cap + 2.0
    widths = [width_mm(words, cap) for _, words in narrow]
    wanted = [x - w / 2 for (x, _), w in zip(narrow, widths, strict=True)]
    lefts = spread(wanted, widths, _MARGIN_MM, sheet.stairs_left - 5.0, gap=2.0) or ()
    for (x, words), left, w in zip(narrow, lefts, widths, strict=False):
        items.append(Polyline(points=((x, line_y), (left + w / 2, line_y + 2.4)), pen="leader"))
        items.append(Text(x=left, y=line_y + 3.0 + cap, text=words, size_mm=cap, colour="quiet"))
    return [group("distances", items)]


def _notes(sheet: _Sheet, notes: Sequence[str]) -> list[Item]:
    cap = sheet.style.cap_mm
    items: list[Item] = []
    if sheet.budget is not None:
        words = "Height there is, and what it is spent on"
        x = sheet.width - _MARGIN_MM - width_mm(words, cap, weight="semibold")
        items.append(budgets.caption((x, 2.0 * cap), words, cap_mm=cap))
    for index, words in enumerate(notes):
        y = sheet.height - 2.0 - index * 1.8 * cap
        items.append(Text(x=sheet.width - _MARGIN_MM, y=y, text=words, size_mm=cap, anchor="end", italic=True))
    return items


def _names(sheet: _Sheet, view: View, items: Sequence[Item], frame: Box) -> tuple[list[Item], tuple[tuple[int, str], ...]]:
    """The words of each line at the line, in its colour."""
    section = sheet.section
    cap = sheet.style.cap_mm
    wanted: list[labels.Label] = []
    ground = "ground, straight between the levels that are known" if section.ground_guessed else "ground"
    for words, line, station, colour, towards in (
        (ground, section.ground, 0.5 * section.length_m, "ink", (0.3, -1.0)),
        ("liner", section.liner, 0.35 * section.length_m, "ink", (0.2, 1.0)),
        ("dig", section.dig, 0.75 * section.length_m, "earth word", (0.2, 1.0)),
        ("bed, top of gravel", section.bed, 0.2 * section.length_m, "stone word", (0.2, -1.0)),
    ):
        z = level_at(line, station)
        if z is not None:
            wanted.append(
                labels.Label(text=words, at=view.put(station, z), size_mm=cap, colour=colour, towards=towards)
            )
    blank = Drawing(name="", alt="", width_mm=sheet.width, height_mm=sheet.height, items=tuple(items))
    taken = [box for _, box in texts(blank)]
    lines = [view.line(line) for line in (section.ground, section.dig, section.liner, section.bed)]
    lines += [((view.put(rod.station_m, 0.0)[0], frame.top), (view.put(rod.station_m, 0.0)[0], frame.bottom)) for rod in sheet.upper]
    placing = labels.place(wanted, frame, taken=taken, lines=lines)
    return list(labels.items(placing)), placing.key
