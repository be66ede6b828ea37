"""What is worth telling, and the small pieces of which sentences are made."""

from __future__ import annotations

from rillwright.assessment import Feature, Judged, Severity
from rillwright.compare.result import Change, Direction, Parameters
from rillwright.findings import named_in
from rillwright.sources import default, limit
from rillwright.units import show_range, style_for

_HAIR = 1e-9


def least_m() -> float:
    """The smallest change of a level or a length that is told [m]: what a rod can resolve."""
    return limit("survey.loop").good


def tells(before: float | None, after: float | None, unit: str) -> bool:
    """Whether a change is large enough to be told.

    Parameters
    ----------
    before : float or None
        The value before [SI unit].
    after : float or None
        The value after [SI unit].
    unit : str
        That SI unit; lengths count from what a rod can resolve, all else from a share of the value.

    Returns
    -------
    bool
        Whether it is told.

    References
    ----------
    Common practice, no source.
    """
    if before is None or after is None:
        return before is not after
    by = abs(after - before)
    if unit == "m":
        return by >= least_m() - _HAIR
    return by > default("compare.share").number * max(abs(before), abs(after)) and by > 0.0


def reads_apart(before: tuple[float, float], after: tuple[float, float], kind: str, *, system: str) -> bool:
    """Whether two ranges, low and high [SI unit of their kind], are told apart once they are printed."""
    style = style_for(system)
    return show_range(*before, kind, style=style) != show_range(*after, kind, style=style)


def named(feature: Feature, path: str) -> str:
    """An element of a feature in words, as findings name it."""
    return named_in(feature, path)


def change(
    code: str,
    element: str,
    text: str,
    *,
    direction: Direction,
    before: float | None = None,
    after: float | None = None,
    unit: str = "",
    severity: Severity | None = None,
    parameters: Parameters = (),
    remedy: str = "",
) -> Change:
    """A change whose template may use {before}, {after} and {by}; what got worse is to be watched unless told else."""
    own: list[tuple[str, float | str, str]] = []
    if before is not None:
        own.append(("before", before, unit))
    if after is not None:
        own.append(("after", after, unit))
    if before is not None and after is not None:
        own.append(("by", abs(after - before), unit))
    if severity is None:
        severity = Severity.WATCH if direction is Direction.WORSE else Severity.OK
    return Change(
        code=code,
        direction=direction,
        severity=severity,
        element=element,
        before=before,
        after=after,
        unit=unit,
        text=text,
        parameters=(*own, *parameters),
        remedy=remedy,
    )


def way(before: float, after: float, *, more_is: Direction) -> Direction:
    """The direction of a change of a value [its unit] of which more is better, or worse."""
    less_is = Direction.WORSE if more_is is Direction.BETTER else Direction.BETTER
    return more_is if after > before else less_is


def severity_of(judged: Judged, codes: tuple[str, ...], element: str) -> Severity | None:
    """The worst severity that was found by any of these codes on an element; None where none looked at it."""
    order = (Severity.STOP, Severity.WATCH, Severity.OK)
    found = [one.severity for one in judged.findings if one.code in codes and one.element == element]
    return min(found, key=order.index, default=None)
