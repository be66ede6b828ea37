"""Levels that another instrument gave, such as a total station: held to a mark of ours, then to the plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rillwright.sources import limit
from rillwright.survey.asking import Plan, ask_of_far
from rillwright.survey.nanometres import whole_nm
from rillwright.survey.shot_rows import Read
from rillwright.survey.standing import said_nm

_HAIR_NM = 10


def ask_of_given(reads: Sequence[Read], plan: Plan, *, marks: Mapping[str, int], variance: float) -> None:
    """Whether levels that came together are above our datum: a mark among them must agree, or all are asked about."""
    groups: dict[str, list[Read]] = {}
    for read in reads:
        groups.setdefault(read.shot.setup, []).append(read)
    for group in groups.values():
        for read in group:
            read.variance = variance
            read.benchmark = read.mark in marks
        why = _of_datum([read for read in group if not read.withdrawn], marks)
        for read in group:
            if why:
                read.ask("datum", why)
            elif not read.benchmark:
                ask_of_far(read, plan)


def _of_datum(group: Sequence[Read], marks: Mapping[str, int]) -> str:
    """Why they may not be above our datum; empty where a mark shows that they are."""
    checks = [read for read in group if read.mark in marks and read.level_nm is not None]
    if not checks:
        return "no mark of ours is among the levels that came with it: nothing shows that they are above our datum"
    for read in checks:
        assert read.mark is not None
        assert read.level_nm is not None
        gap = read.level_nm - marks[read.mark]
        if abs(gap) > whole_nm(limit("survey.benchmark").good) + _HAIR_NM:
            side = "above" if gap > 0 else "below"
            return (
                f"the mark {read.mark} came in {said_nm(gap, read)} {side} its level: another datum, or has it moved?"
            )
    return ""
