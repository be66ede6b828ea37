"""Answers as JSON, and every refusal in one form: all problems at once, in words."""

from __future__ import annotations

import errno
import json
import math
import os
from collections.abc import Mapping, Sequence
from enum import Enum
from typing import Any

from fastapi import Request, Response
from fastapi.exceptions import RequestValidationError
from msgspec import Raw, Struct
from msgspec.json import Encoder
from msgspec.structs import replace
from starlette.exceptions import HTTPException

from rillwright.app.requests import FORMAT
from rillwright.errors import Busy, InputError, NoAnswer, OutputError, Problem

_NO_ROOM = {errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC), errno.EIO}
_LONGEST_FOUND = 120
_ENCODER = Encoder()
_WORDS = {  # of what the framework refuses by a number alone
    400: "could not be read as JSON",
    404: "there is no such thing here",
    405: "that cannot be asked of it",
}


class Json(Response):
    """Any plain value as JSON, or text of JSON as `Raw`; letters that no text can hold are escaped."""

    media_type = "application/json"

    def render(self, content: Any) -> bytes:
        return encoded(content)


def encoded(content: Any) -> bytes:
    """A plain value as the bytes of JSON; a number that is none is null."""
    try:
        return _ENCODER.encode(content)
    except UnicodeEncodeError:  # half a letter, as of a name typed on another machine
        text = json.dumps(content, ensure_ascii=False, default=_parsed, separators=(",", ":"))
        return text.encode("utf-8", "backslashreplace")


def _parsed(raw: Raw) -> Any:
    return json.loads(bytes(raw))


def plain(value: Any) -> Any:
    """A value of ours as JSON has it; a number without bounds is null."""
    if isinstance(value, Enum):
        return value.value
    if value is None or isinstance(value, bool | int | str):
        return value
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, Struct):
        return {name: plain(getattr(value, name)) for name in value.__struct_fields__}
    if isinstance(value, Mapping):
        return {str(key): plain(each) for key, each in value.items()}
    return [plain(each) for each in value]


class Refusal(Exception):
    """An answer with another number than those that follow from our own errors."""

    def __init__(self, status: int, *problems: Problem) -> None:
        self.status, self.problems = status, problems
        super().__init__("; ".join(str(problem) for problem in problems))


def refused(status: int, problems: Sequence[Problem], **headers: str) -> Json:
    """A refusal."""
    return Json({"problems": plain(problems)}, status_code=status, headers=headers)


def number_of(error: OutputError) -> int:
    """507 where there is no room and 503 where another program writes: the phone tries later. 409: a person decides."""
    cause = error.__cause__
    if isinstance(error, Busy):
        return 503
    return 507 if isinstance(cause, OSError) and cause.errno in _NO_ROOM else 409


async def on_refusal(request: Request, error: Exception) -> Json:
    assert isinstance(error, Refusal)
    return refused(error.status, _without_place(request, error.problems))


async def on_input(request: Request, error: Exception) -> Json:
    assert isinstance(error, InputError)
    return refused(422, _without_place(request, error.problems))


async def on_no_answer(request: Request, error: Exception) -> Json:
    assert isinstance(error, NoAnswer)
    return refused(422, _without_place(request, [Problem(message=str(error))]))


async def on_output(request: Request, error: Exception) -> Json:
    assert isinstance(error, OutputError)
    return refused(number_of(error), _without_place(request, [Problem(message=str(error))]))


def _without_place(request: Request, problems: Sequence[Problem]) -> list[Problem]:
    """Problems that name files from the served folder on: where that lies on this machine is not said."""
    place = f"{request.app.state.house.folder}{os.sep}"

    def bare(text: str) -> str:
        return text.replace(place, "")

    return [
        replace(each, file=bare(each.file), message=bare(each.message), found=bare(each.found)) for each in problems
    ]


async def on_http(_: Request, error: Exception) -> Json:
    assert isinstance(error, HTTPException)
    message = _WORDS.get(error.status_code, str(error.detail))
    return refused(error.status_code, [Problem(message=message)], **(error.headers or {}))


async def on_crash(_: Request, error: Exception) -> Json:
    message = "something went wrong here, and nothing more was written; the terminal of the service says what"
    return refused(500, [Problem(message=message, found=type(error).__name__)])


async def on_sent(_: Request, error: Exception) -> Json:
    """What was sent is not what may be sent. Of another format that is said first: the rest follows from it."""
    assert isinstance(error, RequestValidationError)
    told = format_problem(error.body.get("format")) if isinstance(error.body, dict) else None
    if told is not None:
        return refused(409, [told])
    return refused(422, [_sent(each) for each in error.errors()])


def format_problem(said: object) -> Problem | None:
    """What to do where a page speaks another format than the service; None where it is the same, or none is said."""
    if not isinstance(said, int) or isinstance(said, bool) or said == FORMAT:
        return None
    if said > FORMAT:
        message = "this page is newer than the service: its readings stay on the device until the service is as new"
    else:
        message = "this page is older than the service: open it again; its readings stay on the device till then"
    return Problem(message=message, field="format", found=str(said)[:20], allowed=str(FORMAT))


def _sent(error: Mapping[str, Any]) -> Problem:
    place = [str(part)[:60] for part in error.get("loc", ()) if part != "body"]
    found = error.get("input")
    shown = "" if isinstance(found, dict | list) or found is None else repr(found)[:_LONGEST_FOUND]
    return Problem(message=str(error.get("msg", "cannot be used")), field="/".join(place), found=shown)
