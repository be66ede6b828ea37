"""Small pictures for the first visit's page: the staircase of falls, and the plan as a thumbnail."""

from __future__ import annotations

from rillwright.assessment import Assessment, HeightBudget, Judged, NotRun
from rillwright.drawings import budget as budgets
from rillwright.drawings import plan_parts, scale
from rillwright.drawings.display import Box, Drawing, Item, View
from rillwright.drawings.measure import ASCENT, DESCENT
from rillwright.drawings.plan import extent
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, branch, nothing

NAME = "What fits"
THUMBNAIL = "Plan in small"
_CAPTION = "Height there is, and what it is spent on"
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

    Raises
    ------
    InputError
        If it is too large for the frame at every standard scale.
    """
    assessment = assessment_of(source)
    shape = branch(assessment.shape)
    if shape is None or not shape.budgets:
        reason = assessment.shape.reason if isinstance(assessment.shape, NotRun) else "there is no stream"
        return nothing(NAME, frame_mm, reason, style=style)
    budget = next(b for b in shape.budgets if stream is None or b.stream == stream)
    return _stairs(assessment, budget, frame_mm, style)


def _stairs(
    assessment: Assessment, budget: HeightBudget, frame_mm: tuple[float, float], style: DrawingStyle
) -> Drawing:
    width, height = frame_mm
    cap, system = style.cap_mm, assessment.feature.system
    runs = {f"reaches/{reach.id}": reach.length_m for reach in assessment.feature.stream(budget.stream).reaches}
    treads = tuple(runs.get(step.path, 0.0) for step in budget.steps)
    fixed = budgets.width_needed_mm(budget, system, cap_mm=cap, treads_mm=())
    text_height = (ASCENT + DESCENT) * cap * 1.1 * (len(budget.steps) + 1)
    room = Box(left=0.0, right=width - 2 * _MARGIN_MM - fixed, top=0.0, bottom=height - 2 * _MARGIN_MM - 3.5 * cap)
    n = scale.choose(sum(treads), max(budget.height_m, 1e-3), room, system=system)
    head = assessment.feature.stream(budget.stream).head.m
    used = budget.height_m * 1000.0 / n
    top = 3.5 * cap + _MARGIN_MM + max(0.0, (min(text_height, room.height) - used) / 2)
    view = View(scale=n, origin=(0.0, head), at=(0.0, top))
    stairs = budgets.stairs(
        budget,
        head,
        view.y,
        left_mm=_MARGIN_MM,
        system=system,
        cap_mm=cap,
        treads_mm=tuple(view.length(tread) for tread in treads),
        low_mm=3.5 * cap + _MARGIN_MM,
        high_mm=height - _MARGIN_MM,
        caption=_CAPTION,
    )
    return Drawing(
        name=NAME,
        alt=f"Staircase of {len(budget.steps)} steps from the stream head to the water of {assessment.feature.name}",
        width_mm=width,
        height_mm=height,
        items=stairs.items,
        scale=n,
        scale_text=scale.words(n, system),
        notes=stairs.left_out,
    )


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

    Raises
    ------
    InputError
        If it is too large for the frame at every standard scale.
    """
    assessment = assessment_of(source)
    points = extent(assessment)
    if not points:
        return nothing(THUMBNAIL, frame_mm, "nothing has a place in plan", style=style)
    width, height = frame_mm
    room = Box(left=0.0, top=0.0, right=width, bottom=height).grown(-_MARGIN_MM)
    xs, ys = zip(*points, strict=True)
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    inner = Box(left=room.left, top=room.top, right=room.right - 10.0, bottom=room.bottom)
    n = scale.choose(wide, high, inner, system=assessment.feature.system)
    at = ((inner.left + inner.right - wide * 1000 / n) / 2, (room.top + room.bottom + high * 1000 / n) / 2)
    view = View(scale=n, origin=(min(xs), min(ys)), at=at)
    feature = assessment.feature
    items: list[Item] = [plan_parts.footings(assessment, view)]
    items += [plan_parts.stream(course, view) for course in feature.streams if len(course.path) > 1]
    items += [plan_parts.bodies(assessment, view), plan_parts.pipes(assessment, view)]
    items.append(scale.north((room.right - 4.0, room.top + 9.0), feature.site.north_rad, size_mm=style.cap_mm))
    return Drawing(
        name=THUMBNAIL,
        alt=f"Plan of {feature.name} in small",
        width_mm=width,
        height_mm=height,
        items=tuple(items),
        scale=n,
        scale_text=scale.words(n, feature.system),
    )
