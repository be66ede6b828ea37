"""The day on site: the kit for a phone, and its readings, each acknowledged once it is on the disk."""

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
from rillwright.app.requests import FORMAT, MOST_AT_ONCE, ShotSent, ShotsSent
from rillwright.errors import Problem

router = APIRouter(prefix="/jobs/{job}")


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
        "fits": [{"stream": each.stream, "problem": each.problem.to_json()} for each in kit.fits],
    }


def _digest(kit: service.Kit) -> str:
    """Of the plan alone: a reading that changes no plan makes no phone fetch another kit."""
    return hashlib.sha256(json.dumps(_plan(kit), sort_keys=True).encode()).hexdigest()[:32]


@router.post("/shots")
def shots(asked: ShotsSent, held: OfJob) -> Json:
    """Take readings. Those acknowledged are on the disk when this is answered; sent again they arrive once."""
    told = format_problem(asked.format)
    if told is not None:
        raise Refusal(409, told)
    if len(asked.shots) > MOST_AT_ONCE:
        message = "too many readings at once: send fewer"
        raise Refusal(413, Problem(message=message, found=str(len(asked.shots)), allowed=f"up to {MOST_AT_ONCE}"))
    rows = [service.Shot(**row.model_dump()) for row in asked.shots]
    before = held.known()
    received = service.receive_each(held.folder, rows)
    after, notes = held.with_shots()
    return Json(
        {
            "acknowledged": list(received.acknowledged),
            "refused": plain(received.refused),
            "reduced": [] if after is None else _reduced(after, set(received.acknowledged)),
            "changed": _changed(held, before, after),
            "notes": [*received.notes, *notes, *(after.notes if after is not None else ())],
            "kit": asked.kit if after is None else _kit_now(after),
        }
    )


def _kit_now(state: State) -> str:
    return _digest(service.kit_of(state.job, state.judged, day="-"))


def _changed(held: Held, before: State | None, after: State | None) -> dict[str, Any]:
    if before is None or after is None:
        return {"sentences": [], "findings": []}
    return changed(held, before.judged, after.judged)


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
