"""How a finding names an element."""

from __future__ import annotations

_NOUNS = {
    "ponds": "pond",
    "streams": "stream",
    "reaches": "bed",
    "falls": "fall",
    "runs": "pipe run",
    "pumps": "pump",
    "rims": "rim",
    "laps": "lap",
    "intakes": "intake",
    "liners": "liner",
    "accesses": "access",
    "footings": "footing",
    "marks": "mark",
    "books": "level book",
}
WHOLE = "feature/whole"
SITE = "site/whole"


def named(path: str) -> str:
    """An element in words: `rims/r2` is 'rim r2', the feature as a whole 'the feature'."""
    collection, _, id = path.partition("/")
    if path in (WHOLE, SITE):
        return f"the {collection}"
    return f"{_NOUNS[collection]} {id}" if collection in _NOUNS else path


def book_path(book: str) -> str:
    """The path of a level book, from its file name."""
    stem = book.replace("\\", "/").rsplit("/", maxsplit=1)[-1].removesuffix(".csv")
    return "books/" + "".join(letter if letter.isalnum() or letter in "-_" else "-" for letter in stem)
