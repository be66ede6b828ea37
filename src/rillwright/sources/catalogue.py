"""The catalogue of sources: every limit, default and coefficient names one of these, or common practice."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from rillwright.sources.packaged import picked, text_of


class Source(Struct, frozen=True, kw_only=True):
    """A text that can be cited. `seen` is True only where somebody opened the page that is used."""

    id: str
    authors: str
    year: int | None
    title: str
    edition: str
    where: str  # where the values used here were read
    seen: bool
    errata: str


@cache
def _table() -> dict[str, Source]:
    import tomllib

    entries = tomllib.loads(text_of("catalogue.toml"))["source"]
    return {
        entry["id"]: Source(
            id=entry["id"],
            authors=entry["authors"],
            year=entry.get("year"),
            title=entry["title"],
            edition=entry.get("edition", ""),
            where=entry["where"],
            seen=entry["seen"],
            errata=entry.get("errata", ""),
        )
        for entry in entries
    }


def sources() -> tuple[Source, ...]:
    """All sources, in the order of the catalogue."""
    return tuple(_table().values())


def source(id: str) -> Source:
    """The source of that id; 'common practice' is one of them. Raises KeyError with near matches."""
    return picked(_table(), id, "source")
