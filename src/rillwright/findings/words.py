"""How a finding names an element."""

from __future__ import annotations

from collections.abc import Collection

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
    "points": "point",
}
WHOLE = "feature/whole"
SITE = "site/whole"


def named(path: str, *, reservoirs: Collection[str] = ()) -> str:
    """An element in words: `rims/r2` and its parts are 'rim r2', the feature as a whole 'the feature'.

    Something that is called what it is, like a pond with the id 'pond', is 'the pond'. Bodies named in `reservoirs` are
    no ponds.
    """
    collection, _, id = path.partition("/")
    if path in (WHOLE, SITE):
        return f"the {collection}"
    if collection not in _NOUNS:
        return path
    id = id.partition(".")[0]
    noun = "reservoir" if collection == "ponds" and id in reservoirs else _NOUNS[collection]
    return f"the {noun}" if id == noun.split()[-1] else f"{noun} {id}"


def book_path(book: str) -> str:
    """The path of a level book, from its file name."""
    stem = book.replace("\\", "/").rsplit("/", maxsplit=1)[-1].removesuffix(".csv")
    return "books/" + "".join(letter if letter.isalnum() or letter in "-_" else "-" for letter in stem)
