"""One grammar for naming a part of a feature: `collection/id` or `collection/id.part`, as in `falls/f3.crest`."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rillwright.errors import InputError, Problem

COLLECTIONS = (
    "feature", "site", "marks", "books", "ponds", "streams", "reaches", "falls", "runs", "pumps", "rims", "laps",
    "intakes", "liners", "accesses", "footings",
)  # fmt: skip
_PATH = re.compile(r"(?P<collection>[a-z]+)/(?P<id>[A-Za-z0-9_-]+)(?:\.(?P<part>[a-z_]+))?")


@dataclass(frozen=True, slots=True)
class ElementPath:
    """An element of a feature, or one part of it."""

    collection: str
    id: str
    part: str = ""

    def __str__(self) -> str:
        return f"{self.collection}/{self.id}" + (f".{self.part}" if self.part else "")

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
                    allowed="collection/id or collection/id.part, collection one of " + ", ".join(COLLECTIONS),
                )
            )
        return cls(match["collection"], match["id"], match["part"] or "")
