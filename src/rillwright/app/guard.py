"""What stands before everything: which host was called, from which page, by whom, and how much is sent."""

from __future__ import annotations

import ipaddress
import json
import re
import socket
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from typing import Any

from msgspec import Struct

from rillwright.app.access import Access
from rillwright.app.answers import plain
from rillwright.errors import InputError, Problem
from rillwright.job import LARGEST_PHOTO

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LARGEST_BODY = 2_000_000  # bytes; five hundred readings are a fifth of it
LONGEST_TOKEN = 200
_OF_PHOTOS = re.compile(r"/api/jobs/[^/]+/photos")
WITHOUT_TOKEN = ("/api/pair",)
HERE_ALONE = ("/api/devices", "/api/pairing", "/pairing")  # of this machine, never of a device
_LOOPBACK = ("localhost", "127.0.0.1", "::1")
_SAME = (b"same-origin", b"none")
SHUT = "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
_ALWAYS = {
    b"x-content-type-options": b"nosniff",
    b"referrer-policy": b"no-referrer",
    b"cross-origin-resource-policy": b"same-origin",
    b"cross-origin-opener-policy": b"same-origin",
    b"permissions-policy": b"camera=(), microphone=(), geolocation=()",
}


class Refused(Struct, frozen=True):
    """Why a request goes no further."""

    status: int
    message: str


class Guard:
    """An ASGI application round another. On loopback alone (`lan` false) nobody needs a token."""

    def __init__(self, app: App, access: Access, *, lan: bool) -> None:
        self.app, self.access, self.lan = app, access, lan
        self.names = {name.lower() for name in (*_LOOPBACK, *(_own_names() if lan else ()))}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        answering = _with_headers(send, scope["path"])
        found = self._refused(scope)
        body = b""
        if found is None:
            found, body = await _body(scope, receive)
        if found is not None:
            await _refuse(answering, found)
            return
        await self.app(scope, _again(body, receive), answering)

    def _refused(self, scope: Scope) -> Refused | None:
        headers = _headers(scope)
        host = headers.get(b"host", b"").decode("latin-1")
        if not self._own(_name_of(host)):
            return Refused(421, "this service does not go by that name: open it by the address that it told")
        origin = headers.get(b"origin")
        if origin is not None and origin.decode("latin-1") != f"{scope['scheme']}://{host}":
            return Refused(403, "another page asks for this; only the service's own pages may")
        if not scope["path"].startswith(("/api/", *HERE_ALONE)):
            return None  # pages hold nothing of any job
        if headers.get(b"sec-fetch-site", b"none") not in _SAME:
            return Refused(403, "another page asks for this; only the service's own pages may")
        here = _is_loopback(scope) and _name_of(host) in _LOOPBACK
        if scope["path"].startswith(HERE_ALONE):
            return None if here else Refused(403, "this is told and done on the machine itself alone")
        if here or scope["path"] in WITHOUT_TOKEN:
            return None
        return self._unknown(scope, headers.get(b"authorization", b"").decode("latin-1"))

    def _own(self, name: str) -> bool:
        """Whether a name is this machine's. A bare address is, within the network: no other page can stand under it."""
        return name in self.names or (self.lan and _is_address(name))

    def _unknown(self, scope: Scope, said: str) -> Refused | None:
        scheme, _, token = said.partition(" ")
        if scheme.lower() != "bearer" or not token or len(token) > LONGEST_TOKEN:
            return Refused(401, "this device is not paired: scan the square that the office shows")
        try:
            who = self.access.who(token.strip())
        except InputError as error:
            return Refused(503, str(error))
        if who is None:
            return Refused(401, "this device is not paired any more: scan the square that the office shows")
        scope["rillwright.who"] = who
        return None


def _headers(scope: Scope) -> dict[bytes, bytes]:
    """The headers; one that is sent twice counts as the two joined, which is no host, no origin and no token."""
    found: dict[bytes, bytes] = {}
    for name, value in scope["headers"]:
        key = name.lower()
        found[key] = found[key] + b", " + value if key in found else value
    return found


def _name_of(host: str) -> str:
    """A host without its port, in small letters."""
    if host.startswith("["):
        return host[1:].partition("]")[0].lower()
    return host.partition(":")[0].lower()


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def _is_loopback(scope: Scope) -> bool:
    client = scope.get("client")
    try:
        return client is not None and ipaddress.ip_address(client[0]).is_loopback
    except ValueError:
        return False


def _own_names() -> Iterable[str]:
    name = socket.gethostname()
    return (name, name.partition(".")[0], f"{name.partition('.')[0]}.local")


async def _body(scope: Scope, receive: Receive) -> tuple[Refused | None, bytes]:
    """What is sent, if it is not too much: what says so of itself is not read at all."""
    largest = LARGEST_PHOTO if _OF_PHOTOS.fullmatch(scope["path"]) else LARGEST_BODY
    too_much = Refused(413, f"too much was sent at once; up to {largest:,} bytes are taken")
    said = _headers(scope).get(b"content-length", b"0")
    if not said.isdigit() or int(said) > largest:
        return too_much, b""
    parts: list[bytes] = []
    total, more = 0, True
    while more:
        message = await receive()
        if message["type"] == "http.disconnect":
            return Refused(400, "what was sent was cut off"), b""
        parts.append(message.get("body", b""))
        total += len(parts[-1])
        if total > largest:
            return too_much, b""
        more = message.get("more_body", False)
    return None, b"".join(parts)


def _again(body: bytes, receive: Receive) -> Receive:
    """The body that was read already, then whatever else comes."""
    told = False

    async def once() -> Message:
        nonlocal told
        if told:
            return await receive()
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    return once


def _with_headers(send: Send, path: str) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = list(message.get("headers", []))
            there = {name.lower() for name, _ in headers}
            wanted = {**_ALWAYS, b"content-security-policy": SHUT.encode()}
            if path.startswith(("/api/", *HERE_ALONE)):
                wanted[b"cache-control"] = b"no-store"
            headers += [(name, value) for name, value in wanted.items() if name not in there]
            message = {**message, "headers": headers}
        await send(message)

    return sending


async def _refuse(send: Send, refused: Refused) -> None:
    body = json.dumps({"problems": [plain(Problem(message=refused.message))]}).encode()
    headers = [(b"content-type", b"application/json"), (b"content-length", str(len(body)).encode())]
    if refused.status in (400, 413):
        headers.append((b"connection", b"close"))  # the rest of it is not waited for
    if refused.status == 401:
        headers.append((b"www-authenticate", b"Bearer"))
    await send({"type": "http.response.start", "status": refused.status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
