"""Findings that got worse, are new, got better or are gone."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from rillwright.assessment import Finding, Judged, Severity
from rillwright.compare.result import Change, Direction
from rillwright.compare.telling import tells

_ORDER = (Severity.OK, Severity.WATCH, Severity.STOP)
_Key = tuple[str, str, int]  # code, element, which of several


def finding_changes(
    before: Judged, after: Judged, told: Collection[tuple[str, str]] = (), *, left: Collection[str] = ()
) -> Iterator[Change]:
    """Findings by code and element, but not those of `told`, which are said already with more to them.

    Nor those of elements that `left`: that they are gone is said once.

    One that is not ok and stays as it was is told where its value went for the worse or the better by enough.
    """
    then, now = _keyed(before), _keyed(after)
    for key, finding in now.items():
        if key[:2] in told:
            continue
        was = then.get(key)
        if was is None:
            if finding.severity is not Severity.OK:
                yield _change(finding, Direction.NEW, was=None)
        elif was.severity is not finding.severity:
            worse = _ORDER.index(finding.severity) > _ORDER.index(was.severity)
            yield _change(finding, Direction.WORSE if worse else Direction.BETTER, was=was)
        elif finding.severity is not Severity.OK and _moved(was, finding):
            worse = (finding.margin or 0.0) < (was.margin or 0.0)
            yield _change(finding, Direction.WORSE if worse else Direction.BETTER, was=was)
    for key, was in then.items():
        gone = was.element.partition(".")[0] in left
        if key not in now and not gone and key[:2] not in told and was.severity is not Severity.OK:
            yield _gone(was)


def _keyed(judged: Judged) -> dict[_Key, Finding]:
    found: dict[_Key, Finding] = {}
    for finding in judged.findings:
        at = 0
        while (finding.code, finding.element, at) in found:
            at += 1
        found[finding.code, finding.element, at] = finding
    return found


def _moved(was: Finding, finding: Finding) -> bool:
    """Whether a finding with a limit went nearer to it, or further beyond it, by enough to be told."""
    if was.margin is None or finding.margin is None or was.value is None or finding.value is None:
        return False
    return was.unit == finding.unit and tells(was.value, finding.value, finding.unit)


def _change(finding: Finding, direction: Direction, *, was: Finding | None) -> Change:
    head = {Direction.NEW: "New: ", Direction.WORSE: "Worse: ", Direction.BETTER: "Better: "}[direction]
    tail = ""
    if was is not None and was.severity is not finding.severity:
        tail = f" It was {was.severity.value}, it is {finding.severity.value} now."
    return Change(
        code=finding.code,
        direction=direction,
        severity=finding.severity,
        element=finding.element,
        before=was.value if was is not None else None,
        after=finding.value,
        unit=finding.unit,
        text=head + finding.text + tail,
        parameters=finding.parameters,
        remedy=finding.remedy if finding.severity is not Severity.OK else "",
        people=finding.people,
    )


def _gone(was: Finding) -> Change:
    title = was.title[:1].lower() + was.title[1:]
    return Change(
        code=was.code,
        direction=Direction.GONE,
        severity=Severity.OK,
        element=was.element,
        before=was.value,
        after=None,
        unit=was.unit,
        text="No question any more at {where}: whether {what}.",
        parameters=(("what", title, ""), ("where", was.element, "")),
        people=was.people,
    )
