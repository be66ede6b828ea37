"""The screens as they were built, each with its own strict policy: only what it holds itself may run in it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path

from fastapi import APIRouter, Request, Response

from rillwright.app.answers import Refusal
from rillwright.errors import Problem

STATIC = Path(__file__).resolve().parents[1] / "static"
FIRST = ("index.html", "job.html", "visit.html", "day.html", "hand.html")
TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".woff2": "font/woff2",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".webmanifest": "application/manifest+json",
}
WORKER = "default-src 'none'; connect-src 'self'; base-uri 'none'; frame-ancestors 'none'"  # it fetches pages, no more
_KEPT = (".woff2", ".png")

router = APIRouter(include_in_schema=False)


def policy(digests: Mapping[str, list[str]]) -> str:
    """The content policy of a page with these digests of its own scripts and styles."""

    def own(kind: str) -> str:
        return " ".join(f"'{each}'" for each in digests.get(kind, ())) or "'none'"

    return (
        f"default-src 'none'; script-src {own('script')}; style-src {own('style')}; font-src 'self'; "
        "connect-src 'self'; img-src 'self' data: blob:; worker-src 'self'; manifest-src 'self'; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )


@router.get("/")
def first(request: Request) -> Response:
    """The first of the pages that is there."""
    found = next((name for name in FIRST if (STATIC / name).is_file()), None)
    if found is None:
        message = "the screens were not built: install the package anew, without RILLWRIGHT_WEB_SKIP"
        raise Refusal(404, Problem(message=message))
    return page(found, request)


@router.get("/{name}")
def page(name: str, request: Request) -> Response:
    """A file of the screens, by its name in their listing."""
    listed = {file.name: file for file in STATIC.iterdir() if file.suffix in TYPES} if STATIC.is_dir() else {}
    if name not in listed:
        raise Refusal(404, Problem(message="there is no such page here", found=repr(name[:60])))
    content = listed[name].read_bytes()
    suffix = listed[name].suffix
    tag = f'"{hashlib.sha256(content).hexdigest()[:32]}"'
    headers = {"etag": tag, "cache-control": "public, max-age=86400" if suffix in _KEPT else "no-cache"}
    if suffix == ".html":
        headers["content-security-policy"] = policy(_digests().get(name, {}))
    elif suffix == ".js":
        headers["content-security-policy"] = WORKER
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    return Response(content, media_type=TYPES[suffix], headers=headers)


def _digests() -> dict[str, dict[str, list[str]]]:
    try:
        found: dict[str, dict[str, list[str]]] = json.loads((STATIC / "policy.json").read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}  # then nothing runs, which is told by an empty page rather than by a loose policy
    return found
