"""Every rim, bank and lap: height to spare above the highest water, before and after."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Freeboard, Judged, NotRun, Severity
from rillwright.compare.result import Change, Direction
from rillwright.compare.telling import change, named, severity_of, tells, way

CODES = {"rim": "rim.low", "bank": "bank.low", "upturn": "upturn.low"}
_WORDS = {"rim": "The top of {name}", "bank": "The liner at the banks of {name}", "upturn": "The upturn of {name}"}
_REGRADED = " It was {was_graded}, it is {is_graded} now."


def top_changes(before: Judged, after: Judged) -> Iterator[Change]:
    """The tops whose height to spare changed by more than a rod can read; those that only one state has stand apart."""
    then, now = before.assessment.containment, after.assessment.containment
    if isinstance(then, NotRun) or isinstance(now, NotRun):
        return
    earlier = {top.path: top for top in then.tops}
    for top in now.tops:
        was = earlier.get(top.path)
        if was is not None and tells(was.freeboard_m.value, top.freeboard_m.value, "m"):
            yield _moved(before, after, was, top)


def _moved(before: Judged, after: Judged, was: Freeboard, top: Freeboard) -> Change:
    found = next((one for one in after.findings if (one.code, one.element) == (CODES[top.kind], top.path)), None)
    values = was.freeboard_m.value, top.freeboard_m.value
    over = " stands {now} above the highest water" if values[1] >= 0.0 else " stands {under} below the highest water"
    once = ", it stood {once} above it" if values[0] >= 0.0 else ", it stood {below} below it"
    once_graded = severity_of(before, (CODES[top.kind],), top.path)
    end = "." if found is None or found.severity is Severity.OK else "; {good} is wanted."
    return change(
        CODES[top.kind],
        top.path,
        _WORDS[top.kind] + over + once + end + (_REGRADED if found and once_graded is not found.severity else ""),
        direction=way(*values, more_is=Direction.BETTER),
        severity=Severity.OK if found is None else found.severity,
        before=values[0],
        after=values[1],
        unit="m",
        parameters=(
            *(one for one in (found.parameters if found is not None else ()) if one[0] != "name"),
            ("name", named(after.assessment.feature, top.path), ""),
            ("was_graded", once_graded.value if once_graded else "not judged", ""),
            ("is_graded", found.severity.value if found else "", ""),
            ("now", max(values[1], 0.0), "m"),
            ("under", max(-values[1], 0.0), "m"),
            ("once", max(values[0], 0.0), "m"),
            ("below", max(-values[0], 0.0), "m"),
        ),
        remedy=found.remedy if found is not None and found.severity is not Severity.OK else "",
    )
