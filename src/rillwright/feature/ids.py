"""Ids: which elements have none, and which are still free."""

from __future__ import annotations

from typing import Any

from rillwright.feature.schema import FeatureSaid
from rillwright.feature.yaml_text import Location

SITE_PARTS = (  # lists of the site: key, noun, and the first id that is given
    ("access", "access", "a1"),
    ("footings", "footing", "f1"),
    ("paving", "paving", "paved1"),
    ("buildings", "building", "house1"),
    ("trees", "tree", "tree1"),
    ("service_lines", "service line", "service1"),
)


def parts(said: FeatureSaid, one: str, many: str) -> list[tuple[Location, Any]]:
    """The parts of a kind with their locations, whether the file says one or a list."""
    single = getattr(said, one)
    if single is not None:
        return [((one,), single)]
    return [((many, index), part) for index, part in enumerate(getattr(said, many))]


def first_without_id(said: FeatureSaid) -> tuple[Location, str] | None:
    """The first element without an id, and an id that is still free for it."""
    rows: list[tuple[Location, Any, str, str]] = []
    for one, many in (("pond", "ponds"), ("stream", "streams"), ("run", "runs")):
        rows += [(location, part, one, one) for location, part in parts(said, one, many)]
    for location, pond in parts(said, "pond", "ponds"):
        rows += [((*location, "rims", i), rim, "rim", "r1") for i, rim in enumerate(pond.rims)]
        rows += _through(pond, location)
        if pond.intake is not None:
            rows.append(((*location, "intake"), pond.intake, "intake", "intake"))
    for location, stream in parts(said, "stream", "streams"):
        for i, row in enumerate(stream.course):
            rows += _through(row, (*location, "course", i))
    for location, run in parts(said, "run", "runs"):
        if run.pump is not None:
            rows.append(((*location, "pump"), run.pump, "pump", "p1"))
        rows += [((*location, "pumps", i), pump, "pump", "p1") for i, pump in enumerate(run.pumps or [])]
        rows += [((*location, "outlets", i), each, "outlet", "o1") for i, each in enumerate(run.outlets or [])]
    rows += [(("pump_list", i), pump, "listed", "listed1") for i, pump in enumerate(said.pump_list)]
    rows += [(("laps", i), lap, "lap", "l1") for i, lap in enumerate(said.laps)]
    if said.site is not None:
        for kind, noun, first in SITE_PARTS:
            rows += [(("site", kind, i), part, noun, first) for i, part in enumerate(getattr(said.site, kind))]
    taken: dict[str, set[str]] = {}
    for _, part, kind, _ in rows:
        if part.id is not None:
            taken.setdefault(kind, set()).add(part.id)
    for location, part, kind, first in rows:
        if part.id is None:
            return location, _free(first, taken.get(kind, set()))
    return None


def _through(part: Any, location: Location) -> list[tuple[Location, Any, str, str]]:
    """What goes through the liner of a pond or a bed, and its islands."""
    found = []
    for key, noun, first in (("penetrations", "penetration", "through1"), ("islands", "island", "island1")):
        found += [((*location, key, i), each, noun, first) for i, each in enumerate(getattr(part, key, ()))]
    return found


def _free(first: str, taken: set[str]) -> str:
    stem = first.rstrip("0123456789")
    number = int(first[len(stem) :] or 1)
    candidate = first
    while candidate in taken:
        number += 1
        candidate = f"{stem}{number}"
    return candidate
