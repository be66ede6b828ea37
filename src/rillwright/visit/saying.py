"""The staircase in words."""

from __future__ import annotations

from collections.abc import Mapping

from rillwright.assessment import HeightBudget, Judged, NotRun
from rillwright.units import show, style_for


def say_staircase(judged: Judged) -> str:
    """Every drop from the head down, the beds, and what is left over, for each stream of the feature."""
    shape = judged.assessment.shape
    if isinstance(shape, NotRun):
        return f"The staircase was not worked out: {shape.reason}."
    water = judged.assessment.water
    running = {} if isinstance(water, NotRun) else {crest.path: crest.fall_height_m.value for crest in water.crests}
    return "\n".join(_said(budget, judged.assessment.feature.system, running) for budget in shape.budgets)


def _said(budget: HeightBudget, system: str, running: Mapping[str, float]) -> str:
    style = style_for(system)
    if budget.height_m <= 0:
        below = show(-budget.height_m, "length", style)
        return f"There is no height: the stream head lies {below} below the held water."
    drops = [step for step in budget.steps if step.kind != "bed"]
    beds = sum(step.spent_m for step in budget.steps if step.kind == "bed")
    told = [f"{step.kind} {show(step.spent_m, 'length', style)}" for step in drops]
    seen, over = drops[-1].fall_height_m, "held"
    if drops[-1].path in running:
        seen, over = running[drops[-1].path], "running"
    as_seen = "" if seen is None else f", seen {show(seen, 'length', style)} high over the {over} water"
    count = "One drop" if len(drops) == 1 else f"{len(drops)} drops"
    pitch = f"the beds fall {show(beds, 'length', style)} together"
    return f"{count} from the head down: {', '.join(told)}{as_seen}; {pitch}."
