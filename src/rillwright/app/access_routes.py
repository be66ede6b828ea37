"""Pairing a device by a code that is good once; on the machine itself: the square to scan, the devices, withdrawal."""

from __future__ import annotations

import base64
import io
from typing import Any

from fastapi import APIRouter, Request, Response

from rillwright.app.answers import Json, Refusal, plain
from rillwright.app.guard import SHUT
from rillwright.app.house import Here
from rillwright.app.requests import PairAsked
from rillwright.errors import Problem

router = APIRouter()
here = APIRouter(include_in_schema=False)
_PAGE = """<!doctype html><html lang="en"><meta charset="utf-8"><title>Pair a phone</title>
<h1>Pair a phone</h1><p>Scan this with the phone's camera. It is good for one phone and for an hour; load this page
again for the next one.</p><img alt="The address to open on the phone, as a square to scan" src="{picture}">
<p>Whoever has scanned it reads and writes all jobs of this folder until you withdraw his device.</p></html>
"""


@router.post("/pair")
def pair(asked: PairAsked, house: Here) -> Json:
    """A token for the device that shows a good code; it is told once."""
    found = house.access.pair(asked.code, asked.name)
    if found is None:
        message = "this square is not good any more: it pairs one device, within an hour. Ask for another one"
        raise Refusal(403, Problem(message=message, field="code"))
    return Json({"token": found.token, "who": found.name})


@here.get("/api/devices")
def devices(house: Here) -> Json:
    """The devices that were paired."""
    return Json([{"name": each.name, "paired": each.paired} for each in house.access.devices()])


@here.delete("/api/devices/{name}")
def withdraw(name: str, house: Here) -> Json:
    """Let a device in no more."""
    if not house.access.withdraw(name):
        raise Refusal(404, Problem(message="no device of that name is paired", found=repr(name[:60])))
    return Json({"withdrawn": plain(name)})


@here.get("/pairing.svg")
def square(house: Here, request: Request) -> Response:
    """A new code as a square to scan; the one before it is void."""
    return Response(svg_of(_link(house, request)), media_type="image/svg+xml")


@here.get("/pairing")
def pairing(house: Here, request: Request) -> Response:
    """The same on a page."""
    picture = base64.b64encode(svg_of(_link(house, request)).encode()).decode()
    page = _PAGE.format(picture=f"data:image/svg+xml;base64,{picture}")
    headers = {"content-security-policy": SHUT.replace("default-src 'none'", "default-src 'none'; img-src data:")}
    return Response(page, media_type="text/html; charset=utf-8", headers=headers)


def _link(house: Here, request: Request) -> str:
    address: Any = request.app.state.address
    if not address:
        raise Refusal(409, Problem(message="no other device can reach this service: start it with --lan"))
    return pairing_link(str(address), house.access.new_code())


def pairing_link(address: str, code: str) -> str:
    """The address with the code behind its #, which no browser sends and no log holds."""
    return f"{address}/#pair={code}"


def svg_of(link: str) -> str:
    """A square to scan."""
    import segno

    out = io.BytesIO()
    segno.make(link, error="m").save(out, kind="svg", scale=8, border=4, light="#ffffff", xmldecl=False)
    return out.getvalue().decode()


def terminal_square(link: str) -> str:
    """The same for a terminal."""
    import segno

    out = io.StringIO()
    segno.make(link, error="l").terminal(out, compact=True, border=2)
    return out.getvalue()
