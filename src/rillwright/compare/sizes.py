"""How large ponds and streams are, where the water is held, and levels that a shot or a pencil moved."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Body, Feature, Judged, Level, Stream
from rillwright.compare.result import Change, Direction
from rillwright.compare.telling import change, named, tells


def size_changes(before: Judged, after: Judged) -> Iterator[Change]:
    """Bodies by length, width, depth and waterline; streams by length and width; levels one by one."""
    then, now = before.assessment.feature, after.assessment.feature
    bodies = {body.id: body for body in then.bodies}
    for body in now.bodies:
        if body.id in bodies:
            yield from _body(now, bodies[body.id], body)
    streams = {stream.id: stream for stream in then.streams}
    for stream in now.streams:
        if stream.id in streams:
            yield from _stream(now, streams[stream.id], stream)
    levels = dict(_levels(then))
    for path, level in _levels(now):
        if path in levels and tells(levels[path].m, level.m, "m"):
            yield _level(now, path, levels[path], level)


def _body(feature: Feature, was: Body, body: Body) -> Iterator[Change]:
    pairs = ((was.length_m, body.length_m), (was.width_m, body.width_m), (was.depth_m, body.depth_m))
    if any(tells(a, b, "m") for a, b in pairs):
        path = f"ponds/{body.id}"
        yield change(
            "pond.size",
            path,
            "{name} is {long} by {wide} and {deep} deep; it was {once_long} by {once_wide} and {once_deep} deep.",
            direction=Direction.CHANGED,
            before=was.depth_m,
            after=body.depth_m,
            unit="m",
            parameters=(
                ("name", named(feature, path), ""),
                *((f"once_{name}", pair[0], "m") for name, pair in zip(("long", "wide", "deep"), pairs, strict=True)),
                *((name, pair[1], "m") for name, pair in zip(("long", "wide", "deep"), pairs, strict=True)),
            ),
        )


def _stream(feature: Feature, was: Stream, stream: Stream) -> Iterator[Change]:
    if tells(was.length_m, stream.length_m, "m") or tells(was.width_m, stream.width_m, "m"):
        path = f"streams/{stream.id}"
        yield change(
            "stream.size",
            path,
            "{name} is {after} long and {wide} wide; it was {before} long and {once_wide} wide.",
            direction=Direction.CHANGED,
            before=was.length_m,
            after=stream.length_m,
            unit="m",
            parameters=(
                ("name", named(feature, path), ""),
                ("wide", stream.width_m, "m"),
                ("once_wide", was.width_m, "m"),
            ),
        )


def _levels(feature: Feature) -> Iterator[tuple[str, Level]]:
    """Levels to which people build; those that only follow from one of them are left out."""
    for body in feature.bodies:
        yield f"ponds/{body.id}.waterline", body.waterline
    for stream in feature.streams:
        yield f"streams/{stream.id}.head", stream.head
        for fall in stream.falls:
            yield f"falls/{fall.id}.crest", fall.crest
    for lap in feature.laps:
        yield f"laps/{lap.id}.upturn", lap.upturn


_WHAT = {"waterline": "The waterline", "head": "The bed at the head", "crest": "The crest", "upturn": "The upturn"}


def _level(feature: Feature, path: str, was: Level, level: Level) -> Change:
    where, _, part = path.rpartition(".")
    return change(
        "level",
        path,
        f"{_WHAT[part]} of {{name}} stands {{by}} {'higher' if level.m > was.m else 'lower'} than it did ({{origin}}).",
        direction=Direction.CHANGED,
        before=was.m,
        after=level.m,
        unit="m",
        parameters=(("name", named(feature, where), ""), ("origin", level.origin.value, "")),
    )
