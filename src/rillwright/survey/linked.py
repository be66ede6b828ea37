"""Whether a book hangs together: every set-up tied to a mark of known level or to the set-ups before it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rillwright.errors import Problem
from rillwright.survey.book import KnownLevel, Reading, Sight

Station = tuple[str, bool]  # set-up, and whether its rod is a direct one: the two never share a height of instrument


def station_name(station: Station) -> str:
    """How a set-up is called where its two kinds of rod have to be told apart."""
    return f"{station[0]} (laser)" if station[1] else station[0]


def unlinked(file: str, readings: Sequence[Reading], known: Mapping[str, KnownLevel]) -> list[Problem]:
    """A problem for each set-up that no mark ties to a known level, or to the first set-up where none is known."""
    backsighted = {r.point for r in readings if r.sight is Sight.BACK}
    touched: dict[Station, dict[str, None]] = {}
    first_line: dict[Station, int] = {}
    for r in readings:
        station = (r.setup, r.rod.direct)
        first_line.setdefault(station, r.line)
        points = touched.setdefault(station, {})
        if r.point in backsighted or r.point in known:
            points[r.point] = None
    reached = _reached(touched, known)
    return [
        Problem(
            message=f"set-up {station_name(s)!r} does not link: it sights no mark whose level is known or carried",
            file=file,
            line=first_line[s],
            field="setup",
            found=", ".join(points) or "no benchmark and no turning point",
            allowed="a backsight on a benchmark with its level, or on a turning point of another set-up",
        )
        for s, points in touched.items()
        if s not in reached
    ]


def _reached(touched: Mapping[Station, Mapping[str, None]], known: Mapping[str, KnownLevel]) -> set[Station]:
    at: dict[str, list[Station]] = {}
    for station, points in touched.items():
        for point in points:
            at.setdefault(point, []).append(station)
    first = next((list(points)[:1] for points in touched.values() if points), [])
    edge = [point for point in at if point in known] or first
    seen, reached = set(edge), set[Station]()
    while edge:
        for station in at.get(edge.pop(), ()):
            if station not in reached:
                reached.add(station)
                fresh = [p for p in touched[station] if p not in seen]
                seen.update(fresh)
                edge += fresh
    return reached
