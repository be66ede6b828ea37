"""Elements that only one of two states has, and what one of them did not work out."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assess import STEPS
from rillwright.assessment import Feature, Judged, NotRun, Severity
from rillwright.compare.result import Change, Direction
from rillwright.compare.telling import change, named


def member_changes(before: Judged, after: Judged) -> Iterator[Change]:
    """Ponds, streams, beds, falls, rims, laps and pipe runs that are new or gone; branches not worked out any more."""
    then, now = _members(before.assessment.feature), _members(after.assessment.feature)
    for path in now:
        if path not in then:
            yield _member(after.assessment.feature, path, "{name} is new.", Direction.NEW)
    for path in then:
        if path not in now:
            yield _member(before.assessment.feature, path, "{name} is no longer there.", Direction.GONE)
    for branch in (step.name for step in STEPS):
        yield from _branch(branch, getattr(before.assessment, branch), getattr(after.assessment, branch))


def _members(feature: Feature) -> list[str]:
    found = [f"ponds/{body.id}" for body in feature.bodies]
    found += [f"rims/{rim.id}" for body in feature.bodies for rim in body.rims]
    for stream in feature.streams:
        found.append(f"streams/{stream.id}")
        found += [f"reaches/{reach.id}" for reach in stream.reaches]
        found += [f"falls/{fall.id}" for fall in stream.falls]
    found += [f"laps/{lap.id}" for lap in feature.laps]
    return found + [f"runs/{run.id}" for run in feature.runs]


def _member(feature: Feature, path: str, text: str, direction: Direction) -> Change:
    return change("member", path, text, direction=direction, parameters=(("name", named(feature, path), ""),))


def _branch(name: str, was: object, now: object) -> Iterator[Change]:
    if isinstance(now, NotRun) and not isinstance(was, NotRun):
        yield change(
            "not.run",
            "feature/whole",
            "Not worked out any more: {branch}, because {reason}.",
            direction=Direction.WORSE,
            severity=Severity.STOP,
            parameters=(("branch", name, ""), ("reason", now.reason, "")),
        )
    elif isinstance(was, NotRun) and not isinstance(now, NotRun):
        text = "Worked out now, and not before: {branch}."
        yield change(
            "not.run", "feature/whole", text, direction=Direction.BETTER, parameters=(("branch", name, ""),)
        )  # fmt: skip
