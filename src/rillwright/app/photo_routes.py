"""Photos of a job: taken in as they are, told by their first bytes, handed out by their names in its folder."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request, Response

from rillwright import job as service
from rillwright.app.answers import Json, Refusal
from rillwright.app.house import OfJob, Who
from rillwright.errors import InputError

router = APIRouter(prefix="/jobs/{job}/photos")
_BINARY = {"schema": {"type": "string", "format": "binary"}}
_SENT = {"requestBody": {"required": True, "content": {"application/octet-stream": _BINARY, "image/*": _BINARY}}}


def told_of(photo: service.Photo) -> dict[str, Any]:
    """A photo as it is listed: its name, size, kind, and whether browsers show it."""
    return {"name": photo.name, "size": photo.size, "media_type": photo.kind.media_type, "shown": photo.kind.shown}


async def body_of(request: Request) -> bytes:
    """What is sent, whole: it was measured before it came here."""
    return await request.body()


@router.get("")
def photos(held: OfJob) -> Json:
    """The photos of the job that lie in its folder."""
    return Json([told_of(photo) for photo in service.photos_of(held.state().job)])


@router.post("", status_code=201, openapi_extra=_SENT)
def keep(content: Annotated[bytes, Depends(body_of)], held: OfJob, who: Who) -> Json:
    """Keep a photo, sent as it is; the same one sent again is kept once. What it is called is not asked."""
    return Json([told_of(photo) for photo in service.photos_of(held.keep_photo(content, who=who).job)], status_code=201)


@router.get("/{name}")
def photo(name: str, held: OfJob) -> Response:
    """One photo under the one type that it has; a kind that browsers do not show is handed out as a file."""
    try:
        found, content = service.read_photo(held.state().job, name)
    except InputError as error:
        raise Refusal(404, *error.problems) from error
    place = "inline" if found.kind.shown else "attachment"
    headers = {
        "content-disposition": f'{place}; filename="{found.name}"',
        "content-encoding": "identity",  # packed already
    }
    return Response(content, media_type=found.kind.media_type, headers=headers)
