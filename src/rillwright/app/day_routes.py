"""The day on site: the kit for a phone, its readings and its ticks, each acknowledged once it is on the disk."""

from __future__ import annotations

import hashlib
import json
from datetime import datetime
from typing import Any

from fastapi import APIRouter

from rillwright import job as service
from rillwright.app.answers import Json, Refusal, format_problem, plain
from rillwright.app.held import Held, State
from rillwright.app.house import OfJob
from rillwright.app.job_routes import changed
from rillwright.app.requests import FORMAT, MOST_AT_ONCE, ShotSent, ShotsSent, TicksSent
from rillwright.errors import Problem
from rillwright.units import style_for

router = APIRouter(prefix="/jobs/{job}")
_ONCE = "shot.open"  # true after every shot but the last: the phone says it when a set-up is left


@router.get("/kit")
def kit(held: OfJob) -> Json:
    """All that a phone needs to answer by itself for a day."""
    now = datetime.now().astimezone()
    state = held.state()
    found = service.kit_of(state.job, state.judged, day=now.date().isoformat())
    feature = state.job.feature
    return Json(
        {
            "format": FORMAT,
            "digest": _digest(found),
            "job": {"id": held.id, "name": feature.name, "units": feature.system},
            "made": now.isoformat(timespec="seconds"),
            "states": _states(state),
            "shots": [{cell: str(getattr(shot, cell)) for cell in ShotSent.model_fields} for shot in found.shots],
            **_plan(found),
        }
    )


def _plan(kit: service.Kit) -> dict[str, Any]:
    """All of a kit but the readings of the day."""
    good, bad = kit.benchmark
    return {
        "benchmark": {"good": repr(good), "bad": repr(bad)},
        "marks": plain(kit.marks),
        "places": plain(kit.places),
        "holds": plain(kit.holds),
        "fits": [plain(each) | {"problem": each.problem.to_json()} for each in kit.fits],
        "least_m": plain(kit.least_m),
        "last_m": plain(kit.last_m),
    }


def _digest(kit: service.Kit) -> str:
    """Of the plan alone: a reading that changes no plan makes no phone fetch another kit."""
    return hashlib.sha256(json.dumps(_plan(kit), sort_keys=True).encode()).hexdigest()[:32]


@router.post("/shots")
def shots(asked: ShotsSent, held: OfJob) -> Json:
    """Take readings. Those acknowledged are on the disk when this is answered; sent again they arrive once."""
    _check(asked.format, len(asked.shots), what="readings")
    rows = [service.Shot(**row.model_dump()) for row in asked.shots]
    before = held.known()
    received = service.receive_each(held.folder, rows)
    after, notes = held.with_rows()
    return Json(
        {
            "acknowledged": list(received.acknowledged),
            "refused": plain(received.refused),
            "reduced": [] if after is None else _reduced(after, set(received.acknowledged)),
            "changed": _changed(held, before, after),
            "notes": [
                *received.notes,
                *notes,
                *(() if after is None else (*after.notes, *service.namesakes(after.job.sheet.shots, rows))),
            ],
            "kit": asked.kit if after is None else _kit_now(after),
        }
    )


@router.post("/ticks")
def ticks(asked: TicksSent, held: OfJob) -> Json:
    """Take ticks of hold points. Those acknowledged are on the disk when this is answered; sent again they arrive once.

    A tick that looks odd, as of a line that the plan has no more, is kept and asked about.
    """
    _check(asked.format, len(asked.ticks), what="ticks")
    rows = [service.Tick(**row.model_dump()) for row in asked.ticks]
    before = held.known()
    received = service.receive_ticks(held.folder, rows)
    after, notes = held.with_rows()
    questions = () if after is None else service.asked_of_ticks(after.job, received.acknowledged, judged=after.judged)
    return Json(
        {
            "acknowledged": list(received.acknowledged),
            "refused": plain(received.refused),
            "asked": [{"uuid": each.uuid, "code": each.code, "text": each.text} for each in questions],
            "states": [] if after is None else _states(after),
            "changed": _changed(held, before, after),
            "notes": [*received.notes, *notes, *(after.notes if after is not None else ())],
            "kit": asked.kit if after is None else _kit_now(after),
        }
    )


def _check(format: int, many: int, *, what: str) -> None:
    """Whether a sending can be taken at all."""
    told = format_problem(format)
    if told is not None:
        raise Refusal(409, told)
    if many > MOST_AT_ONCE:
        message = f"too many {what} at once: send fewer"
        raise Refusal(413, Problem(message=message, found=str(many), allowed=f"up to {MOST_AT_ONCE}"))


def _states(state: State) -> list[dict[str, Any]]:
    """How the hold points stand; those of a benchmark as of today."""
    today = datetime.now().astimezone().date().isoformat()
    return [
        {
            "id": each.hold.id,
            "done": each.done,
            "initials": each.initials,
            "time": each.time,
            "items": plain(each.items),
        }
        for each in service.holds(state.job, judged=state.judged, day=today)
    ]


def _kit_now(state: State) -> str:
    return _digest(service.kit_of(state.job, state.judged, day=datetime.now().astimezone().date().isoformat()))


def _changed(held: Held, before: State | None, after: State | None) -> dict[str, Any]:
    if before is None or after is None:
        return {"sentences": [], "findings": []}
    told = changed(held, before.judged, after.judged)
    found = held.compared(before.judged, after.judged)
    style = style_for(found.system)
    late = {service.sentence(each, style) for each in found.sentences if each.code == _ONCE}
    return told | {"sentences": [each for each in told["sentences"] if each not in late]}


def _reduced(state: State, sent: set[str]) -> list[dict[str, Any]]:
    """What the readings sent come to, and those that a row sent speaks of."""
    spoken_of = {shot.re for shot in state.job.sheet.shots if shot.uuid in sent and shot.re}
    return [
        {
            "uuid": shot.shot.uuid,
            "level_nm": shot.level_nm,
            "level_m": plain(shot.level_m),
            "planned_m": plain(shot.planned_m),
            "state": str(shot.state),
            "why": shot.why,
            "questions": [{"code": q.code, "text": q.text, "doubts": q.doubts} for q in shot.questions],
        }
        for shot in state.job.shots.shots
        if shot.shot.uuid in sent or shot.shot.uuid in spoken_of
    ]
