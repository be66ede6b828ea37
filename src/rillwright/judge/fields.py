"""Where in the feature file a value is typed that nobody has typed yet, and what it is called."""

from __future__ import annotations

from typing import Any

from rillwright.assessment import DefaultUsed, Feature
from rillwright.feature import wording

_FOR_ALL = ("gravel", "grain", "bank")  # said once for all beds of a stream; a bed may say its own
_ONE = {"ponds": "pond", "streams": "stream", "runs": "run"}


def field_of(used: DefaultUsed, feature: Feature) -> str:
    """The field of the file, as `pond.shelf.width` or `stream.course.f1.spill_stone`; nothing for a method's own.

    Where there are several ponds, streams or runs they stand in a list under their ids: `ponds/upper.shelf.width`.
    """
    owner, _, part = used.path.partition(".")
    collection, _, id = owner.partition("/")
    if collection == "feature":
        return part
    if collection in ("site", "liners"):
        return f"{collection.removesuffix('s')}.{part}"
    if collection in _ONE:
        return f"{_body(collection, id, feature)}.{part}"
    if collection in ("reaches", "falls"):
        stream = next((each for each in feature.streams if id in [link.id for link in each.links]), None)
        if stream is None:
            return used.path
        whole = _body("streams", stream.id, feature)
        return f"{whole}.{part}" if collection == "reaches" and part in _FOR_ALL else f"{whole}.course.{id}.{part}"
    if collection == "rims":
        body = next((each for each in feature.bodies if id in [rim.id for rim in each.rims]), None)
        return used.path if body is None else f"{_body('ponds', body.id, feature)}.rims.{id}.{part}"
    return used.path if collection in ("laps", "marks", "accesses", "footings") else ""


_HEADS: dict[str, tuple[str | int, ...]] = {  # where the values of a collection stand in the file
    "feature": (),
    "site": ("site",),
    "liners": ("liner",),
    "ponds": ("pond",),
    "rims": ("pond", "rims", 0),
    "streams": ("stream",),
    "reaches": ("stream", "course", 0),
    "falls": ("stream", "course", 0),
    "runs": ("run",),
    "laps": ("laps", 0),
    "marks": ("marks", 0),
    "accesses": ("site", "access", 0),
    "footings": ("site", "footings", 0),
}
_COURSE = {"reaches": "bed", "falls": "fall"}


def label_of(used: DefaultUsed, feature: Feature) -> str:
    """What the value is called in the trade's words, as 'width of the crest'; nothing for a method's own."""
    field = field_of(used, feature)
    if not field:
        return ""
    owner, _, part = used.path.partition(".")
    collection, _, id = owner.partition("/")
    for_all = collection == "reaches" and part in _FOR_ALL
    entry: Any = {_COURSE[collection]: id} if collection in _COURSE else None
    head = _HEADS["streams" if for_all else collection]
    label = wording((*head, *part.split(".")), {"stream": {"course": [entry]}} if entry else None).label
    return f"{label}, the intake" if part.startswith("intake.") else label


def _body(collection: str, id: str, feature: Feature) -> str:
    alone = {"ponds": feature.bodies, "streams": feature.streams, "runs": feature.runs}[collection]
    return _ONE[collection] if len(alone) == 1 else f"{collection}/{id}"
