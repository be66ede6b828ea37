"""Starts and stops of a job followed over time on demand, and one of their histories laid on paper for a screen."""

from __future__ import annotations

from typing import Any

from msgspec import Struct, to_builtins

from rillwright.assessment import Finding, Judged, NotRun
from rillwright.errors import NoAnswer
from rillwright.job.drawing import on_screen
from rillwright.job.opening import Job, judge
from rillwright.progress import Progress, silent

_STAGE_MM, _CHART_MM, _CAP_MM = (300.0, 110.0), (110.0, 96.0), 2.6
_FINE_MM = 3  # digits of a place on paper


class HistoryTold(Struct, frozen=True, kw_only=True):
    """One history that can be looked at: its number, what it is of, how long it lasted [s], why it ended."""

    index: int
    case: str
    words: str
    lasted_s: float
    why: str


def follow(job: Job, judged: Judged, *, progress: Progress = silent) -> Judged:
    """The job judged with its starts and stops followed over time; the rest is taken over from `judged`.

    Raises
    ------
    NoAnswer
        If nothing can be followed, or it was stopped.
    """
    found = judge(job, earlier=judged, tier="full", progress=progress)
    followed = found.assessment.over_time
    if isinstance(followed, NotRun):
        raise NoAnswer(followed.reason)
    return found


def histories_of(judged: Judged) -> tuple[HistoryTold, ...]:
    """The histories that there are; none where nothing was followed."""
    from rillwright.drawings import case_words

    followed = judged.assessment.over_time
    if isinstance(followed, NotRun):
        return ()
    cases = [each.case for each in followed.histories]
    return tuple(
        HistoryTold(
            index=index,
            case=each.case,
            words=case_words(each, held=cases.count(each.case) > 1),
            lasted_s=each.lasted_s,
            why=each.why,
        )
        for index, each in enumerate(followed.histories)
    )


def found_over_time(before: Judged, after: Judged) -> tuple[Finding, ...]:
    """The findings of `after` that `before` has not, worst first: what following over time adds."""
    had = {(finding.code, finding.element, finding.severity, finding.text) for finding in before.findings}
    return tuple(each for each in after.findings if (each.code, each.element, each.severity, each.text) not in had)


def motion_of(judged: Judged, index: int, *, stream: str | None = None) -> dict[str, Any]:
    """A history on paper as plain values: two drawings as SVG, and where the water stands in them time by time [mm].

    It is of one `stream`, the first where none is asked for; `streams` names all of them.

    Raises
    ------
    InputError
        If nothing was followed, or there is no such history or stream.
    """
    from rillwright.drawings import DrawingStyle, draw_motion

    motion = draw_motion(
        judged, index, frame_mm=_STAGE_MM, chart_mm=_CHART_MM, style=DrawingStyle(cap_mm=_CAP_MM), stream=stream
    )
    told: dict[str, Any] = {
        name: _rounded(to_builtins(getattr(motion, name)))
        for name in motion.__struct_fields__
        if name not in ("stage", "chart")
    }
    return {**told, "stage_svg": on_screen(motion.stage), "chart_svg": on_screen(motion.chart)}


def _rounded(value: Any) -> Any:
    if isinstance(value, float):
        return round(value, _FINE_MM)
    if isinstance(value, dict):
        return {key: _rounded(each) for key, each in value.items()}
    return [_rounded(each) for each in value] if isinstance(value, list | tuple) else value
