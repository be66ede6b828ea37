"""How a finding names an element: as everything that people read does."""

from __future__ import annotations

from rillwright.feature import named, named_in, spoken

__all__ = ["SITE", "WHOLE", "book_path", "named", "named_in", "spoken", "where_on"]

WHOLE = "feature/whole"
SITE = "site/whole"


def book_path(book: str) -> str:
    """The path of a level book, from its file name."""
    stem = book.replace("\\", "/").rsplit("/", maxsplit=1)[-1].removesuffix(".csv")
    return "books/" + "".join(letter if letter.isalnum() or letter in "-_" else "-" for letter in stem)


def where_on(crest: str) -> str:
    """Where on a crest something holds, as a sentence goes on with it; nothing where it holds for all of it."""
    kind, _, number = crest.partition(" ")
    if kind == "stone":
        return f", at its stone {number} from the left,"
    return f", at its {crest}," if crest else ""
