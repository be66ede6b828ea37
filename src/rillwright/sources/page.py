"""The tables of the documentation, from the data itself."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.sources.catalogue import sources
from rillwright.sources.defaults import defaults
from rillwright.sources.limits import asked, limits
from rillwright.sources.packaged import grouped

_SENSES = {"at_least": "at least", "at_most": "at most"}


def _table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    lines = [head, tuple("---" for _ in head), *rows]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines) + "\n"


def limits_page() -> str:
    """All limits as a Markdown table, figures as the file has them."""
    typed = grouped("limits.toml")
    rows = []
    for row in limits():
        good, bad = str(typed[row.name]["good"]), str(typed[row.name].get("bad", ""))
        people = "people" if row.people else ""
        told = asked(row, good, bad)
        rows.append((f"`{row.name}`", _SENSES[row.sense], good, bad, row.severity, people, told, row.source))
    return _table(("name", "sense", "good", "bad", "beyond", "", "in words", "source"), rows)


def defaults_page() -> str:
    """All defaults as a Markdown table, figures as the file has them."""
    typed = grouped("defaults.toml")
    rows = []
    for row in defaults():
        ends = [str(typed[row.name][end]) for end in ("low", "high") if end in typed[row.name]]
        rows.append((f"`{row.name}`", row.typed, " to ".join(ends), row.text, row.source))
    return _table(("name", "value", "band", "in words", "source"), rows)


def catalogue_page() -> str:
    """All sources as a Markdown table."""
    rows = []
    for row in sources():
        title = ", ".join(part for part in (row.authors, row.title, row.edition, str(row.year or "")) if part)
        where = row.where + (f" Erratum: {row.errata}" if row.errata else "")
        rows.append((f"`{row.id}`", title, "seen" if row.seen else "not seen", where))
    return _table(("id", "source", "", "where read"), rows)


def whole_page(introduction: str) -> str:
    """The documentation page: its written introduction, then the three tables."""
    parts = (
        introduction.rstrip() + "\n",
        "## Limits\n\n" + limits_page(),
        "## Defaults\n\n" + defaults_page(),
        "## Catalogue of sources\n\n" + catalogue_page(),
    )
    return "\n".join(parts)
