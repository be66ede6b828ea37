"""One job: what it comes to, values typed anew and judged at once, its drawings and papers."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Path, Query, Response
from msgspec import Raw

from rillwright import job as service
from rillwright.app.answers import Json, Refusal, encoded, plain
from rillwright.app.held import Held, State
from rillwright.app.house import OfJob, Who
from rillwright.app.photo_routes import told_of
from rillwright.app.requests import Edits, FollowAsked, NumberAsked, UndoAsked
from rillwright.errors import Problem
from rillwright.units import Style, style_for

router = APIRouter(prefix="/jobs/{job}")
Stream = Annotated[str | None, Query(max_length=60)]
Rim = Annotated[str | None, Query(max_length=120)]
Run = Annotated[str | None, Query(max_length=60)]
Theme = Literal["light", "dark"]
Narrow = Annotated[bool, Query()]  # for a phone


@router.get("")
def job_page(held: OfJob, who: Who) -> Json:
    """The job as it stands."""
    return Json(_page(held, held.state(), who))


def _page(held: Held, state: State, who: str) -> dict[str, Any]:
    feature = state.job.feature
    return {
        "job": {"id": held.id, "name": feature.name, "units": feature.system},
        "revision": state.revision,
        "judged": service.to_json(state.judged),
        "key_numbers": plain(service.key_numbers(state.judged)),
        "rims": plain(service.rims_told(state.judged)),
        "checked_against": service.checked_against(state.job, state.judged),
        "fields": plain(service.fields_of(state.job)),
        "notes": list(state.notes),
        "last_step": _step(service.last_step_of(state.job, state.judged), who),
        "photos": [told_of(photo) for photo in service.photos_of(state.job)],
        "visit_page": service.visit_page_in(state.job) is not None,
    }


def _step(step: service.LastStep | None, who: str) -> dict[str, Any] | None:
    """The step that would be taken back; it is asked about first where it is a reading or somebody else's."""
    if step is None:
        return None
    return {"what": step.what, "who": step.who, "ask": step.reading or step.who != who}


def changed(held: Held, before: service.Judged, after: service.Judged) -> dict[str, Any]:
    """What is other than it was, worst first, in plain sentences and finding by finding."""
    found = held.compared(before, after)
    style = style_for(found.system)

    def told(finding: service.Finding | None) -> Raw | None:
        return None if finding is None else _finding(finding, style)

    shifts = service.shifted(before, after)
    return {
        "sentences": [service.sentence(change, style) for change in found.sentences],
        "findings": [{"before": told(shift.before), "after": told(shift.after)} for shift in shifts],
    }


@lru_cache(maxsize=4096)
def _finding(finding: service.Finding, style: Style) -> Raw:
    """A finding as JSON; remembered, for of all findings a typed value changes few."""
    return Raw(encoded(service.finding_json(finding, style)))


def _typed(asked: Edits | NumberAsked) -> list[tuple[tuple[str | int, ...], str]]:
    return [(tuple(edit.location), edit.typed) for edit in asked.edits]


@router.post("/try")
def try_values(asked: Edits, held: OfJob, brief: Annotated[bool, Query()] = False) -> Json:
    """Judge values typed anew; nothing is written.

    In brief, `judged` holds the findings and their matters alone: while somebody types, the rest only takes its time.
    """
    tried = held.tried(_typed(asked), revision=asked.revision)
    if brief:
        style = style_for(tried.job.feature.system)
        findings = tried.judged.findings
        told = {
            "findings": [_finding(finding, style) for finding in findings],
            **service.matters_json(findings, style),
        }
    else:
        told = service.to_json(tried.judged)
    return Json(
        {
            "judged": told,
            "key_numbers": plain(service.key_numbers(tried.judged)),
            "rims": plain(service.rims_told(tried.judged)),
            "changed": changed(held, tried.before.judged, tried.judged),
        }
    )


@router.get("/water")
def water(held: OfJob) -> Json:
    """What the water does: pump and valves in words, crests and beds."""
    return Json(plain(service.water_told(held.state().judged)))


@router.post("/try/water")
def try_water(asked: Edits, held: OfJob) -> Json:
    """What the water does with values typed anew; nothing is written."""
    return Json(plain(service.water_told(held.tried(_typed(asked), revision=asked.revision).judged)))


@router.post("/number")
def number(asked: NumberAsked, held: OfJob) -> Json:
    """What a number that was touched is, and where it came from; nothing is written."""
    tried = held.tried(_typed(asked), revision=asked.revision)
    if isinstance(asked.number, str):
        return Json(plain(service.told_in_drawing(tried.job, tried.judged, asked.number)))
    of = asked.number
    return Json(plain(service.told_in_finding(tried.job, tried.judged, code=of.code, element=of.element, name=of.name)))


@router.post("/try/drawings/{name}.svg")
def try_drawing(
    name: service.DrawingName,
    asked: Edits,
    held: OfJob,
    theme: Theme = "light",
    stream: Stream = None,
    rim: Rim = None,
    run: Run = None,
    narrow: Narrow = False,
) -> Response:
    """A drawing of the job with values typed anew; nothing is written."""
    tried = held.tried(_typed(asked), revision=asked.revision)
    return _svg(held.drawn(tried.judged, name, theme=theme, stream=stream, rim=rim, run=run, narrow=narrow))


@router.post("/save")
def save(asked: Edits, held: OfJob, who: Who) -> Json:
    """Write values typed anew to the feature file; 409 if it is another than the person saw."""
    return Json(_page(held, held.save(_typed(asked), revision=asked.revision, who=who), who))


@router.post("/undo")
def undo(asked: UndoAsked, held: OfJob, who: Who) -> Json:
    """Take the last step back; 409 if the job is another than the person saw, or there is none."""
    return Json(_page(held, held.undo(revision=asked.revision, who=who), who))


@router.get("/fit")
def fit(held: OfJob) -> Json:
    """What fits each stream."""
    state = held.state()
    found = service.fit_job(state.job, judged=state.judged)
    return Json([_fitted(each) for each in found])


def _fitted(found: service.Fitted) -> dict[str, Any]:
    """A question and its answer; where nothing fits, why, what would, and the nearest that does."""
    return {
        "stream": found.stream,
        "problem": found.problem.to_json(),
        "result": found.result.to_json(),
        "short": list(found.short),
        "nearest": None if found.nearest is None else found.nearest.to_json(),
    }


@router.get("/drawings/{name}.svg")
def drawing(
    name: service.DrawingName,
    held: OfJob,
    theme: Theme = "light",
    stream: Stream = None,
    rim: Rim = None,
    run: Run = None,
    narrow: Narrow = False,
) -> Response:
    """A drawing of the job."""
    return _svg(held.drawn(held.state().judged, name, theme=theme, stream=stream, rim=rim, run=run, narrow=narrow))


def _svg(written: str) -> Response:
    return Response(written.encode("utf-8"), media_type="image/svg+xml")


@router.get("/over-time")
def over_time(held: OfJob) -> Json:
    """How far the following of starts and stops is; once it is done, what histories there are and what they add."""
    return Json(_followed(held, held.state()))


@router.post("/over-time")
def follow(asked: FollowAsked, held: OfJob) -> Json:
    """Follow starts and stops of the job as it was saved, beside all else; or leave it off."""
    state = held.state()
    if asked.go:
        held.followed.go(state.job, state.judged)
    else:
        held.followed.stop()
    return Json(_followed(held, state))


def _followed(held: Held, state: State) -> dict[str, Any]:
    found = held.followed.found(state.judged)
    told = plain(held.followed.standing(state.judged))
    style = style_for(state.job.feature.system)
    added = [] if found is None else service.found_over_time(state.judged, found)
    return {
        **told,
        "revision": state.revision,
        "histories": [] if found is None else plain(service.histories_of(found)),
        "findings": [_finding(finding, style) for finding in added],
        "odds": plain(service.odds_told(state.judged if found is None else found)),
    }


@router.get("/over-time/{index}")
def history(index: Annotated[int, Path(ge=0, le=1000)], held: OfJob, stream: Stream = None) -> Json:
    """One history, with the drawings that it is shown in and where the water stands in them, time by time."""
    found = held.followed.found(held.state().judged)
    if found is None:
        raise Refusal(409, Problem(message="starts and stops of the job as it stands were not followed yet"))
    return Json(held.followed.motion(found, index, stream))


@router.get("/surface")
def surface(held: OfJob) -> Json:
    """How far the surfaces of the finished work are; once they are made, what drawings there are of them."""
    return Json(_made(held, held.state()))


@router.post("/surface")
def make_surface(asked: FollowAsked, held: OfJob) -> Json:
    """Make the surfaces of the job as it was saved, beside all else; or leave it off."""
    state = held.state()
    if asked.go:
        held.surfaces.go(state.job, state.judged)
    else:
        held.surfaces.stop()
    return Json(_made(held, state))


def _made(held: Held, state: State) -> dict[str, Any]:
    found = held.surfaces.found(state.judged)
    told: dict[str, Any] = plain(held.surfaces.standing(state.judged))
    return {**told, "drawings": [] if found is None else plain(service.surface_drawings(found))}


def _with_surfaces(held: Held) -> service.Judged:
    found = held.surfaces.found(held.state().judged)
    if found is None:
        raise Refusal(409, Problem(message="the surfaces of the job as it stands were not made yet"))
    return found


@router.get("/surface.glb")
def surface_file(held: OfJob) -> Response:
    """Ground, dug surface, liner, finished surface and the water on it, in three dimensions."""
    return Response(held.surfaces.glb(_with_surfaces(held)), media_type="model/gltf-binary")


@router.get("/surface/{name}.svg")
def surface_drawing(name: str, held: OfJob, narrow: Narrow = False) -> Response:
    """What to cut and what to build up, or a section through the finished work, by the name that it is listed with."""
    return _svg(held.surfaces.drawn(_with_surfaces(held), name, narrow=narrow))


@router.get("/visit.pdf")
def visit_page(held: OfJob) -> Response:
    """The page of the first visit, as it was left with the client."""
    content = service.visit_page_in(held.state().job)
    if content is None:
        raise Refusal(404, Problem(message="there is no page of a visit in this job"))
    headers = {"content-disposition": 'attachment; filename="visit.pdf"'}
    return Response(content, media_type="application/pdf", headers=headers)


@router.get("/packet.pdf")
def packet(held: OfJob) -> Response:
    """The papers of the job as one PDF, dated today."""
    content = held.packet(date=date.today().isoformat())
    headers = {"content-disposition": 'attachment; filename="packet.pdf"'}
    return Response(content, media_type="application/pdf", headers=headers)
