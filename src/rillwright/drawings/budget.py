"""The height budget as a staircase: this much height, spent here."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from rillwright.assessment import HeightBudget, Step
from rillwright.drawings.display import Area, Dimension, Item, Point, Polyline, Text
from rillwright.drawings.layout import spread
from rillwright.drawings.measure import ASCENT, DESCENT, width_mm
from rillwright.drawings.words import length

_WORDS = {"bed": "bed", "ripple": "ripple", "fall": "fall"}
LEFT_MM = 9.0  # for the whole height's dimension
_LINE = 0.35  # between two lines of labels, of the height of a capital


class Stairs(Struct, frozen=True, kw_only=True):
    """The staircase on paper: its items, and where its falls begin and end, for lines drawn across to the section."""

    items: tuple[Item, ...]
    right_mm: float
    top_mm: float
    bottom_mm: float
    treads: tuple[Point, ...]
    left_out: tuple[str, ...]  # steps whose words found no room


def step_words(step: Step, system: str) -> str:
    """A step of the staircase in words: fall f3 0.21 m."""
    back = "pitched back " if step.kind == "bed" else "uphill "
    sign = back if step.spent_m < 0 else ""
    return f"{_WORDS[step.kind]} {step.path.rpartition('/')[2]} {sign}{length(abs(step.spent_m), system)}"


def step_of(step: Step) -> str:
    """What the number of a step is: a drop, or the pitch of a bed."""
    return f"{step.path}.{'pitch' if step.kind == 'bed' else 'drop'}"


def width_needed_mm(budget: HeightBudget, system: str, *, cap_mm: float, treads_mm: Sequence[float]) -> float:
    """Width of the staircase with its words [mm], capitals `cap_mm` [mm] high, treads `treads_mm` [mm] wide."""
    widest = max((width_mm(text, cap_mm) for text, _, _ in _labels(budget, system)), default=0.0)
    return LEFT_MM + sum(treads_mm) + _LEADER_MM + widest


_LEADER_MM = 9.0


def _labels(budget: HeightBudget, system: str) -> list[tuple[str, str, str]]:
    """(words, colour, what the number is) of every step, and of what is left over or short."""
    texts = [
        (step_words(step, system), "water" if step.kind != "bed" else "stone word", step_of(step))
        for step in budget.steps
    ]
    texts.append((*left_over_words(budget, system), f"streams/{budget.stream}.left_over"))
    return texts


def caption_words(budget: HeightBudget, system: str) -> str:
    """What stands over a staircase."""
    if budget.height_m <= 0.0:
        return f"No height: the stream head lies {length(-budget.height_m, system)} below the held water"
    return f"Height there is, {length(budget.height_m, system)}, and what it is spent on"


def left_over_words(budget: HeightBudget, system: str) -> tuple[str, str]:
    """What is left over of the height, or how much is short, and the colour in which that is said."""
    if abs(budget.left_over_m) < 5e-4:
        return "nothing left over", "ink"
    if budget.left_over_m < 0:
        return f"stop: short by {length(-budget.left_over_m, system)}", "stop"
    return f"left over {length(budget.left_over_m, system)}", "ink"


def stairs(
    budget: HeightBudget,
    head_m: float,
    y_of: Callable[[float], float],
    *,
    left_mm: float,
    system: str,
    cap_mm: float,
    treads_mm: Sequence[float],
    low_mm: float,
    high_mm: float,
    caption: str = "",
    words: bool = True,
) -> Stairs:
    """The staircase from the level of the stream head down, in the vertical scale of `y_of`.

    Parameters
    ----------
    budget
        Height and steps.
    head_m
        Level of the bed at the stream head [m].
    y_of
        Level [m] to paper [mm].
    left_mm
        Its left edge [mm].
    system
        "metric" or "us".
    cap_mm
        Height of capitals [mm].
    treads_mm
        Width of each step [mm].
    low_mm
        Top of the room for words [mm].
    high_mm
        Bottom of the room for words [mm].
    caption
        Words over the staircase.
    words
        Whether each step says what it spends.
    """
    x, z = left_mm + LEFT_MM, head_m
    start = (x, y_of(z))
    line: list[Point] = [start]
    middles: list[Point] = []
    treads: list[Point] = [start]
    for step, tread_mm in zip(budget.steps, treads_mm, strict=True):
        nxt = z - step.spent_m
        if step.kind == "bed":
            middles.append((x + tread_mm * 0.75, y_of(z - 0.75 * step.spent_m)))
            line.append((x + tread_mm, y_of(nxt)))
        else:
            middles.append((x, (y_of(z) + y_of(nxt)) / 2))
            treads.append((x, y_of(z)))
            line += [(x, y_of(nxt)), (x + tread_mm, y_of(nxt))]
        x, z = x + tread_mm, nxt
    floor = y_of(head_m - budget.height_m)
    middles.append((x - 0.8, (line[-1][1] + floor) / 2))
    corners = (*line, (x, floor), (start[0], floor))
    items: list[Item] = [
        Area(points=corners, fill="stone wash"),
        Polyline(points=((start[0], floor), (x, floor)), pen="water"),
        Polyline(points=tuple(line), pen="ink"),
        _whole(start, floor, budget, system=system, cap_mm=cap_mm),
    ]
    said = _labels(budget, system) if words else []
    row = (ASCENT + DESCENT) * cap_mm
    # words no lower than the water, so that no leader crosses another, unless there are too many of them
    near = min(high_mm, floor + 1.5 * row)
    laid = _words(said, middles, x + _LEADER_MM, cap_mm=cap_mm, low=low_mm, high=near)
    laid = laid or _words(said, middles, x + _LEADER_MM, cap_mm=cap_mm, low=low_mm, high=high_mm)
    items += laid
    if caption:
        first = min((item.y - cap_mm for item in laid if isinstance(item, Text)), default=start[1])
        y = min(first, start[1]) - 1.6 * cap_mm
        items.append(Text(x=left_mm, y=y, text=caption, size_mm=cap_mm, weight="semibold", of=height_of(budget)))
    right = left_mm + width_needed_mm(budget, system, cap_mm=cap_mm, treads_mm=treads_mm)
    return Stairs(
        items=tuple(items),
        right_mm=right,
        top_mm=start[1],
        bottom_mm=floor,
        treads=tuple(treads),
        left_out=() if laid else tuple(text for text, _, _ in said),
    )


def _whole(start: Point, floor: float, budget: HeightBudget, *, system: str, cap_mm: float) -> Dimension:
    bottom = (start[0], floor)
    text = length(budget.height_m, system)
    if width_mm(text, cap_mm) + 1.0 > abs(floor - start[1]):
        text = ""  # it stands in the caption
    of = height_of(budget)
    return Dimension(start=bottom, end=start, offset_mm=3.5, text=text, size_mm=cap_mm, colour="ink", of=of)


def height_of(budget: HeightBudget) -> str:
    """What the number of the whole height is."""
    return f"streams/{budget.stream}.height"


def _words(
    labels: Sequence[tuple[str, str, str]],
    middles: Sequence[Point],
    x: float,
    *,
    cap_mm: float,
    low: float,
    high: float,
) -> list[Item]:
    height = (ASCENT + DESCENT) * cap_mm
    wanted = [y - height / 2 for _, y in middles]
    tops = spread(wanted, [height] * len(wanted), low, high, gap=_LINE * cap_mm * 0.3)
    if not labels or tops is None:
        return []
    items: list[Item] = []
    for (text, colour, of), middle, top in zip(labels, middles, tops, strict=True):
        y = top + height / 2
        items.append(Polyline(points=(middle, (x - 4.0, y), (x - 0.8, y)), pen="leader"))
        items.append(Text(x=x, y=y + cap_mm / 2, text=text, size_mm=cap_mm, colour=colour, of=of))
    return items
