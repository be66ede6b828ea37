"""Small pictures for the first visit's page: the staircase of falls, and the plan as a thumbnail."""

from __future__ import annotations

from rillwright.assessment import Assessment, HeightBudget, Judged, NotRun
from rillwright.drawings import budget as budgets
from rillwright.drawings import plan_parts, scale
from rillwright.drawings.display import Box, Drawing, Item, Polyline, Text, View
from rillwright.drawings.layout import Slot, tiers
from rillwright.drawings.measure import width_mm
from rillwright.drawings.plan import waterworks
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, branch, nothing

NAME = "What fits"
THUMBNAIL = "Plan in small"
_MARGIN_MM = 2.0


def draw(
    source: Judged | Assessment,
    *,
    frame_mm: tuple[float, float] = (95.0, 60.0),
    style: DrawingStyle = PLAIN,
    stream: str | None = None,
) -> Drawing:
    """The staircase of one stream, heights and lengths of its treads in true proportion.

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
    """
    assessment = assessment_of(source)
    shape = branch(assessment.shape)
    if shape is None or not shape.budgets:
        reason = assessment.shape.reason if isinstance(assessment.shape, NotRun) else "there is no stream"
        return nothing(NAME, frame_mm, reason, style=style)
    budget = next(b for b in shape.budgets if stream is None or b.stream == stream)
    if budget.height_m <= 0.0:
        return nothing(NAME, frame_mm, "the stream head lies below the held water", style=style)
    return _stairs(assessment, budget, frame_mm, style)


def _stairs(
    assessment: Assessment, budget: HeightBudget, frame_mm: tuple[float, float], style: DrawingStyle
) -> Drawing:
    width, height = frame_mm
    cap, system = style.cap_mm, assessment.feature.system
    course = assessment.feature.stream(budget.stream)
    runs = {f"reaches/{reach.id}": reach.length_m for reach in course.reaches}
    treads = tuple(runs.get(step.path, 0.0) for step in budget.steps)
    left, right = _MARGIN_MM + 3.5 + 2.5 * cap, width - _MARGIN_MM
    line = 1.8 * cap
    rows = _rows(budget, treads, (left, right), system, cap)
    if 6.0 * cap + line * sum(_count(slots) for _, slots in rows) + 6.0 > height:
        rows[1] = (rows[1][0], None)  # no room for both: the drops are what is looked at
    if 6.0 * cap + line * _count(rows[0][1]) + 6.0 > height:
        rows[0] = (rows[0][0], None)
    above, below = (_count(slots) for _, slots in rows)
    room = Box(left=left, right=right, top=4.0 * cap + line * above, bottom=height - 2.0 * cap - line * (below + 1))
    head = course.head.m
    high, low = _reach(budget)
    n = _true(sum(treads), high + low, room)
    view = View(scale=n, origin=(0.0, head + high), at=(left, room.top))
    floor = view.y(head - low)
    stairs = budgets.stairs(
        budget, head, view.y, left_mm=left - budgets.LEFT_MM, system=system, cap_mm=cap,
        treads_mm=tuple(view.length(tread) for tread in treads), low_mm=0.0, high_mm=height, words=False,
    )  # fmt: skip
    items: list[Item] = [
        Text(
            x=_MARGIN_MM,
            y=2.0 * cap,
            text=budgets.caption_words(budget, system),
            size_mm=cap,
            weight="semibold",
            of=budgets.height_of(budget),
        ),
        *stairs.items,
    ]
    for (words, slots), near, way in zip(rows, (room.top, floor), (-1.0, 1.0), strict=True):
        if slots is not None:
            items += _names(words, slots, view, head, near, way * line, cap)
    left_over = budgets.left_over_words(budget, system)
    y = floor + line * (below + 1) + 1.5 * cap
    of = f"streams/{budget.stream}.left_over"
    items.append(Text(x=left, y=y, text=left_over[0], size_mm=cap, colour=left_over[1], weight="semibold", of=of))
    unsaid = tuple(word[2] for words, slots in rows if slots is None for word in words)
    return Drawing(
        name=NAME, width_mm=width, height_mm=height, items=tuple(items), scale=n,
        scale_text="in true proportion", notes=unsaid,
        alt=f"Staircase of {len(budget.steps)} steps from the stream head to the water of {assessment.feature.name}",
    )  # fmt: skip


def _reach(budget: HeightBudget) -> tuple[float, float]:
    """How far the staircase goes up above the head, and down below it [m]: uphill too, and past the water."""
    spent, levels = 0.0, [0.0, budget.height_m]
    for step in budget.steps:
        spent += step.spent_m
        levels.append(spent)
    return max(-min(levels), 0.0), max(levels)


def _count(slots: tuple[Slot, ...] | None) -> int:
    return max((slot.tier for slot in slots), default=0) + 1 if slots else 0


_Word = tuple[float, float, str, str, str]  # station [m], level below the head [m], words, colour, what it is


def _rows(
    budget: HeightBudget, treads: tuple[float, ...], room: tuple[float, float], system: str, cap: float
) -> list[tuple[list[_Word], tuple[Slot, ...] | None]]:
    """Words of the drops for the rows above, those of the beds for the rows below, each with its place in a row."""
    drops: list[_Word] = []
    beds: list[_Word] = []
    station = spent = 0.0
    for step, tread in zip(budget.steps, treads, strict=True):
        words, of = budgets.step_words(step, system), budgets.step_of(step)
        if step.kind == "bed":
            beds.append((station + tread / 2, spent + step.spent_m / 2, words, "stone word", of))
        else:
            drops.append((station, spent, words, "water", of))
        station, spent = station + tread, spent + step.spent_m
    size = (room[1] - room[0]) / station if station else 0.0
    rows: list[tuple[list[_Word], tuple[Slot, ...] | None]] = []
    for these in (drops, beds):
        wanted = [room[0] + word[0] * size for word in these]
        widths = [width_mm(word[2], cap) + 1.0 for word in these]
        rows.append((these, tiers(wanted, widths, room[0], room[1], gap=1.5, most=6)))
    return rows


def _names(
    words: list[_Word], slots: tuple[Slot, ...], view: View, head: float, near: float, tier: float, cap: float
) -> list[Item]:
    items: list[Item] = []
    start = near + (-1.5 if tier < 0 else 1.5)
    for (station, spent, text, colour, of), slot in zip(words, slots, strict=True):
        way = [view.put(station, head - spent)]
        for index, left in enumerate(slot.lefts):
            way += [(left, start + tier * index), (left, start + tier * (index + 0.95))]
        items.append(Polyline(points=tuple(way), pen="leader"))
        low = start + tier * slot.tier + (0.0 if tier < 0 else tier)
        y = low - 0.3 * abs(tier) / 1.8
        items.append(Text(x=slot.lefts[-1] + 0.8, y=y, text=text, size_mm=cap, colour=colour, of=of))
    return items


def _true(width_m: float, height_m: float, room: Box) -> float:
    """The scale 1:n [-] at which something just fits, in true proportion."""
    return max(width_m / room.width, height_m / room.height, 1e-6) * 1000.0


def thumbnail(
    source: Judged | Assessment, *, frame_mm: tuple[float, float] = (95.0, 60.0), style: DrawingStyle = PLAIN
) -> Drawing:
    """The plan in small: water, banks, crests and pipe, with no words but the north.

    Parameters
    ----------
    source
        What was assessed.
    frame_mm
        Width and height of the room [mm].
    style
        The hand.
    """
    assessment = assessment_of(source)
    points = waterworks(assessment)
    if not points:
        return nothing(THUMBNAIL, frame_mm, "nothing has a place in plan", style=style)
    width, height = frame_mm
    room = Box(left=0.0, top=0.0, right=width, bottom=height).grown(-_MARGIN_MM)
    xs, ys = zip(*points, strict=True)
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    inner = Box(left=room.left, top=room.top, right=room.right - 10.0, bottom=room.bottom)
    n = _true(wide, high, inner)
    at = ((inner.left + inner.right - wide * 1000 / n) / 2, (room.top + room.bottom + high * 1000 / n) / 2)
    view = View(scale=n, origin=(min(xs), min(ys)), at=at)
    feature = assessment.feature
    items: list[Item] = [plan_parts.stream(course, view) for course in feature.streams if len(course.path) > 1]
    items += [plan_parts.bodies(assessment, view), plan_parts.pipes(assessment, view)]
    if feature.site.north_rad is not None:
        items.append(scale.north((room.right - 4.0, room.top + 9.0), feature.site.north_rad, size_mm=style.cap_mm))
    return Drawing(
        name=THUMBNAIL,
        alt=f"Plan of {feature.name} in small",
        width_mm=width,
        height_mm=height,
        items=tuple(items),
        scale=n,
        scale_text="in true proportion",
    )
