"""Two judged states: all that changed, worst first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rillwright.assessment import Judged, Severity
from rillwright.compare.circuit import PUMP_CODES, water_changes
from rillwright.compare.graded import finding_changes
from rillwright.compare.heights import height_changes
from rillwright.compare.members import member_changes
from rillwright.compare.ordered import ordered_changes
from rillwright.compare.result import Change, Changes, Direction
from rillwright.compare.sizes import size_changes
from rillwright.compare.telling import least_m, severity_of
from rillwright.compare.tops import top_changes

_ROUTINE = ("shot.open",)  # what every day on site begins with stands behind what is news
_GRADES = (Severity.STOP, Severity.WATCH, Severity.OK)
_WAYS = (Direction.WORSE, Direction.NEW, Direction.CHANGED, Direction.BETTER, Direction.GONE)


def compare(before: Judged, after: Judged) -> Changes:
    """What changed from one judged state to another; nothing of what did not, nor less than a rod can read.

    The same serves for the moment after a shot, for any two states, for alternatives and for a change order.
    """
    sentences = [*height_changes(before, after), *top_changes(before, after)]
    sentences += [*water_changes(before, after), *ordered_changes(before, after), *member_changes(before, after)]
    sentences += size_changes(before, after)
    told = {(one.code, one.element) for one in sentences}
    told |= {(code, one.element) for one in sentences for code in _unmoved(before, after, one)}
    left = {one.element for one in sentences if one.code == "member" and one.direction is Direction.GONE}
    sentences += finding_changes(before, after, told, left=left)
    return Changes(
        before=before.assessment.digest,
        after=after.assessment.digest,
        system=after.assessment.feature.system,
        least_m=least_m(),
        sentences=in_order(sentences),
    )


def in_order(changes: Iterable[Change]) -> tuple[Change, ...]:
    """Worst first."""
    return tuple(sorted(changes, key=_place))


def _unmoved(before: Judged, after: Judged, change: Change) -> Iterator[str]:
    """Codes about a pump that say the same as before: its new point is told already."""
    for code in PUMP_CODES if change.code == "pump.point" else ():
        if severity_of(before, (code,), change.element) is severity_of(after, (code,), change.element):
            yield code


def _place(change: Change) -> tuple[int, int, int, int]:
    """What got worse or is new before the rest; there stop before watch; people first among equals."""
    ill = change.direction in (Direction.WORSE, Direction.NEW) and change.severity is not Severity.OK
    grade = _GRADES.index(change.severity) if ill else 0
    if change.code in _ROUTINE:
        grade = len(_GRADES)
    return (0 if ill else 1, grade, 0 if change.people else 1, _WAYS.index(change.direction))
