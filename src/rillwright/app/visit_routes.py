"""The first visit, and the jobs of the folder."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any, Literal

from fastapi import APIRouter, Response

from rillwright import __version__
from rillwright import job as service
from rillwright.app.answers import Json, Refusal, plain
from rillwright.app.house import Here, House, Who
from rillwright.app.requests import FORMAT, VisitAsked
from rillwright.errors import OutputError, Problem

router = APIRouter()
_MOST_OF_A_NAME = 1_000


def ref_of(seen: service.JobSeen) -> dict[str, str]:
    """A job as it is listed."""
    return {"id": seen.id, "name": seen.name, "units": seen.units}


@router.get("/hello")
def hello(house: Here, who: Who) -> Json:
    """Who speaks to whom, and which jobs there are."""
    jobs = [ref_of(seen) for seen in house.jobs()]
    return Json({"format": FORMAT, "engine": __version__, "who": who, "jobs": jobs})


@router.get("/jobs")
def jobs(house: Here) -> Json:
    """The jobs that lie in the served folder."""
    return Json([ref_of(seen) for seen in house.jobs()])


@router.get("/visit/questions")
def questions(units: Literal["us", "metric"] = "us") -> Json:
    """The questions of a visit, with what is taken where one is not answered. A photo is sent by itself, to its job."""
    return Json([_question(each, units) for each in service.QUESTIONS if each.key != "photo"])


def _question(question: service.Question, units: str) -> dict[str, Any]:
    allowed = question.allowed()
    words = [] if question.kind == "look" else [word for word in allowed.split(", ") if word]
    return {
        "key": question.key,
        "words": question.touched,
        "kind": question.kind,
        "taken": question.default(units) or None,
        "hint": question.hint,
        "words_allowed": ["quiet", "lively", "loud"] if question.kind == "look" else words,
        "optional": question.optional,
        "number": question.number,
    }


@router.post("/visit")
def visit(asked: VisitAsked) -> Json:
    """The one page as far as the answers reach; nothing is written."""
    done = service.sketch(service.answers_of(asked.answers))
    judged = done.judged
    return Json(
        {
            "problems": plain(done.problems),
            "missing": list(done.missing),
            "judged": None if judged is None else service.to_json(judged, visit=True),
            "key_numbers": [] if judged is None else plain(service.key_numbers(judged)),
            "staircase": done.staircase,
            "picture_svg": None if judged is None else service.drawing_svg(judged, "staircase"),
            "plan_svg": None if judged is None else service.drawing_svg(judged, "plan", narrow=True),
            "notes": list(done.notes),
            "taken": plain(done.taken),
        }
    )


@router.post("/visit/page.pdf")
def visit_pdf(asked: VisitAsked) -> Response:
    """The one page as a PDF for the client, dated today; nothing is written."""
    content = service.page_of(service.answers_of(asked.answers), date=date.today().isoformat())
    headers = {"content-disposition": 'attachment; filename="visit.pdf"'}
    return Response(content, media_type="application/pdf", headers=headers)


@router.post("/jobs", status_code=201)
def keep(asked: VisitAsked, house: Here) -> Json:
    """Keep a visit as a job: a new folder in the one that is served."""
    answers = service.answers_of(asked.answers)
    if service.folders_in(house.folder).keys() == {house.folder.resolve().name}:
        message = "one job is served, and no other is put into its folder: serve the folder above it"
        raise Refusal(409, Problem(message=message))
    done = _visited(answers, house)
    return Json(ref_of(service.seen(done.folder.name, done.folder)), status_code=201)


def _visited(answers: service.Answers, house: House) -> service.Visited:
    stem = re.sub(r"[^a-z0-9]+", "-", answers.name.lower()).strip("-")[:40] or "visit"
    for number in range(1, _MOST_OF_A_NAME):
        out = house.folder / (stem if number == 1 else f"{stem}-{number}")
        if not _taken(out):
            return service.visit(answers, out, date=date.today().isoformat())
    raise OutputError(f"{house.folder}: holds too many jobs of that name")


def _taken(out: Path) -> bool:
    return out.exists() or out.is_symlink()
