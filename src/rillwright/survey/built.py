"""Shots on built work to levels: each by the set-up of its day, always reduced anew from what was read."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from rillwright.feature import Level, Place, Surface
from rillwright.sources import default
from rillwright.survey.asking import (
    Plan,
    ask_across,
    ask_of_places,
    ask_of_plan,
    ask_of_repeats,
    ask_of_rods,
    plan_of,
)
from rillwright.survey.given import ask_of_given
from rillwright.survey.nanometres import PER_M, whole_nm
from rillwright.survey.shot_result import ReducedShot, ShotSetUp, SiteShots
from rillwright.survey.shot_rows import Read, understood
from rillwright.survey.shots import Shot, ShotSheet, ShotState
from rillwright.survey.standing import Standing, stand, standings

Known = dict[str, tuple[int, float]]  # level [nm] and variance [m2] of marks


def reduce_shots(
    sheet: ShotSheet | Sequence[Shot], *, marks: Mapping[str, Level], expected: Sequence[Place] = ()
) -> SiteShots:
    """Levels of everything read on built work, and what is to be asked about it. No reading is refused or left out.

    A set-up takes its height from its first reading on a mark whose level is known, from the books or from an earlier
    set-up; marks read again confirm what lies between, or say that the instrument has moved.

    Parameters
    ----------
    sheet : ShotSheet or sequence of Shot
        The rows in the order of the file.
    marks : mapping of str to Level
        Levels of the marks by id.
    expected : sequence of Place
        What can be shot, with what is planned there.

    Returns
    -------
    SiteShots
        Set-ups, and every reading with its level [m], standard error [m], state and questions.

    References
    ----------
    Engineering Aid training manual 14071, level computations; what is asked about: common practice, no source.
    """
    rows = sheet.shots if isinstance(sheet, ShotSheet) else tuple(sheet)
    reads, about = understood(rows)
    carry: Known = {
        id: (whole_nm(level.m), level.sigma_m**2) for id, level in marks.items() if level.surface is Surface.MARK
    }
    plan = plan_of(expected, {id: whole_nm(level.m) for id, level in marks.items()})
    for read in reads:
        ask_of_places(read, plan)
    by_rod = [read for read in reads if not read.given]
    stood = standings(by_rod)
    given_marks = {id: level for id, (level, _) in carry.items()}
    _stand_all(stood, carry)
    _ask(by_rod, stood, plan)
    ask_of_given(
        [read for read in reads if read.given],
        plan,
        marks=given_marks,
        variance=default("level.sigma_shot").number ** 2,
    )
    ask_of_repeats(reads)
    ask_across(by_rod)
    unread = sheet.unread if isinstance(sheet, ShotSheet) else ()
    return SiteShots(
        setups=tuple(_setup(each) for each in stood if each.height_nm is not None),
        shots=tuple(_reduced(read, plan) for read in reads),
        about=tuple(about),
        unread=unread,
    )


def _stand_all(stood: Sequence[Standing], known: Known) -> None:
    """Heights of all set-ups, those first that hang on a known mark; what they read on other marks carries on."""
    variance = default("level.sigma_shot").number ** 2
    waiting = list(stood)
    while waiting:
        done = next((each for each in waiting if stand(each, known, shot_variance=variance)), None)
        if done is None:
            return
        waiting.remove(done)
        for read in done.reads:
            doubted = any(question.doubts for question in read.questions) and not read.confirmed
            if read.mark is not None and read.level_nm is not None and read.usable and not doubted:
                known.setdefault(read.mark, (read.level_nm, read.variance))


def _ask(reads: Sequence[Read], stood: Sequence[Standing], plan: Plan) -> None:
    for standing in stood:
        if standing.height_nm is None:
            for read in standing.reads:
                name = standing.id or "without a name"
                read.ask("benchmark", f"set-up {name} has no reading on a mark of known level: shoot one")
            continue
        ask_of_rods(standing)
        for read in standing.reads:
            ask_of_plan(read, standing, plan)


def _setup(standing: Standing) -> ShotSetUp:
    assert standing.height_nm is not None
    assert standing.anchor is not None
    return ShotSetUp(
        id=standing.id,
        rod=standing.anchor.shot.rod,
        height_of_instrument_m=standing.height_nm / PER_M,
        benchmark=standing.anchor.mark or "",
        readings=len(standing.reads),
        closed=standing.closed,
        moved=standing.moved,
    )


def _reduced(read: Read, plan: Plan) -> ReducedShot:
    place, planned = plan.place(read), plan.planned_nm(read)
    state, why = _state(read)
    return ReducedShot(
        shot=read.shot,
        path=read.path,
        surface=read.surface,
        benchmark=read.benchmark,
        level_nm=read.level_nm,
        level_m=None if read.level_nm is None else read.level_nm / PER_M,
        sigma_m=math.sqrt(read.variance),
        state=state,
        why=why,
        planned_m=None if planned is None else planned / PER_M,
        settles_m=place.settles_m if place is not None else 0.0,
        judged=place is not None and place.judged,
        questions=tuple(read.questions),
    )


def _state(read: Read) -> tuple[str, str]:
    said = read.said_later or read.said
    if said is not ShotState.KEPT:
        return said.value, read.why_later or "as said when it was written"
    doubts = [question for question in read.questions if question.doubts]
    waits = next((question for question in doubts if question.code == "benchmark"), None)
    if waits is not None:
        return "unconfirmed", waits.text
    if doubts and (read.level_nm is None or not read.confirmed):
        return ShotState.DOUBTED.value, doubts[0].text
    if read.unconfirmed and not read.confirmed:
        return "unconfirmed", read.unconfirmed
    return ShotState.KEPT.value, read.why_later
