"""One grammar for naming a part of a feature: `collection/id` or `collection/id.part`, as in `falls/f3.crest`.

Where a part is met at several places, the place follows: `falls/f3.crest@left`.
"""

from __future__ import annotations

import re

from msgspec import Struct

from rillwright.errors import InputError, Problem

COLLECTIONS = (
    "feature", "site", "marks", "books", "ponds", "streams", "reaches", "falls", "runs", "pumps", "rims", "laps",
    "penetrations", "islands", "intakes", "liners", "accesses", "footings", "paving", "buildings", "trees", "services",
    "points",
)  # fmt: skip
_PATH = re.compile(r"(?P<collection>[a-z]+)/(?P<id>[A-Za-z0-9_-]+)(?:\.(?P<part>[a-z_]+))?(?:@(?P<place>[a-z0-9_-]+))?")


class ElementPath(Struct, frozen=True):
    """An element of a feature, or one part of it, or one place on that."""

    collection: str
    id: str
    part: str = ""
    place: str = ""

    def __str__(self) -> str:
        part, place = f".{self.part}" if self.part else "", f"@{self.place}" if self.place else ""
        return f"{self.collection}/{self.id}{part}{place}"

    @classmethod
    def parse(cls, text: str) -> ElementPath:
        """Read a path.

        Raises
        ------
        InputError
            If the text is not of the grammar or its collection is unknown.
        """
        match = _PATH.fullmatch(text.strip())
        if match is None or match["collection"] not in COLLECTIONS:
            raise InputError(
                Problem(
                    message="not the path of an element",
                    found=repr(text),
                    allowed="collection/id, collection/id.part or collection/id.part@place, collection one of "
                    + ", ".join(COLLECTIONS),
                )
            )
        return cls(match["collection"], match["id"], match["part"] or "", match["place"] or "")
