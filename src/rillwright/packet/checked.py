"""What the numbers rest on: levels relative to which mark, which readings, and what nobody checked."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.assessment import Assessment, NotRun
from rillwright.packet.say import Say

_BRANCHES = (
    ("survey", "levels by a level book"),
    ("shape", "shape"),
    ("water", "water"),
    ("over_time", "starts and stops over time"),
    ("liner", "liner"),
    ("containment", "rims, banks and laps"),
    ("stone", "stone"),
    ("earth", "soil"),
    ("takeoff", "quantities"),
    ("build", "stakes, lifts and access"),
    ("price", "price"),
)


def relative_to(assessment: Assessment) -> str:
    """Which mark levels are above, in words."""
    feature = assessment.feature
    level = next((mark.level.m for mark in feature.marks if mark.id == feature.datum), 0.0)
    if abs(level) < 5e-4:
        return f"Levels are heights above mark {feature.datum}"
    return f"Levels are tied to mark {feature.datum}, at {Say(feature.system).level(level)}"


def read(assessment: Assessment, readings: Sequence[str]) -> list[str]:
    """The readings against which this was checked: as handed in, else the books of the survey."""
    if readings:
        return list(readings)
    return [] if isinstance(assessment.survey, NotRun) else list(assessment.survey.books)


def checked(assessment: Assessment, readings: Sequence[str], date: str = "") -> str:
    """The sentence along the foot of every page, with the day on which it was checked."""
    these = read(assessment, readings)
    if not these:
        return "Checked against no readings yet: every level is planned or guessed"
    on = f" on {date}" if date else ""
    return f"Checked against these readings{on}: {', '.join(these)}"


def not_checked(assessment: Assessment) -> list[str]:
    """What was not computed, and why."""
    lines = []
    for name, words in _BRANCHES:
        branch = getattr(assessment, name)
        if isinstance(branch, NotRun):
            lines.append(f"{words}: {branch.reason}")
    if not isinstance(assessment.water, NotRun):
        lines += list(assessment.water.cases_not_run)
    return lines
