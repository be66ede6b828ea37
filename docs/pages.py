"""Write the generated pages of this folder: limits, defaults, sources, findings. Run it by `python3 dev.py docs`.

A test compares each page with what is written here, so that no limit, default, source or finding code goes
undocumented.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterable
from pathlib import Path

from rillwright.sources import Default, Limit, Source, defaults, limits, sources

HERE = Path(__file__).resolve().parent
MADE = "<!-- Written by `python3 dev.py docs` from the tables of the package; change those, not this page. -->"
WORDS = {"at_least": "at least", "at_most": "at most"}


def table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> list[str]:
    """A Markdown table; bars and line ends inside cells are made harmless."""
    cells = [[cell.replace("|", "\\|").replace("\n", " ").strip() for cell in row] for row in rows]
    return ["| " + " | ".join(row) + " |" for row in (head, ("---",) * len(head), *cells)]


def page(title: str, intro: str, lines: Iterable[str]) -> str:
    return "\n".join([f"# {title}", "", MADE, "", intro, "", *lines]) + "\n"


def figure(value: float, unit: str) -> str:
    return f"{value:.4g} {unit}".replace(" -", "").rstrip()


def limit_row(limit: Limit) -> tuple[str, ...]:
    what = f"{limit.text}{' About people.' if limit.people else ''}"
    beyond = f"{limit.severity} beyond {figure(limit.bad, limit.unit)}"
    return f"`{limit.name}`", what, f"{WORDS[limit.sense]} {figure(limit.good, limit.unit)}", beyond, limit.source


def limits_page() -> str:
    intro = (
        "What findings judge against. Within the first figure all is well; between the two it is `watch`; beyond the\n"
        "second the named severity. A feature file may override any of them with a reason, and the finding says so."
    )
    rows = table(("limit", "what it says", "well", "worse", "source"), map(limit_row, limits()))
    return page("Limits", intro, rows)


def default_row(default: Default) -> tuple[str, ...]:
    band = (
        "" if default.low is None or default.high is None else f"{default.low:.4g} to {default.high:.4g} {default.unit}"
    )
    return f"`{default.name}`", default.text, default.typed, band, default.source


def defaults_page() -> str:
    intro = (
        "What is taken where nobody typed anything. Every assessment lists the ones that it used; any can be typed\n"
        "instead."
    )
    rows = table(("default", "what it is", "value", "band", "source"), map(default_row, defaults()))
    return page("Defaults", intro, rows)


def source_row(source: Source) -> tuple[str, ...]:
    text = ", ".join(str(part) for part in (source.authors, source.year, source.title, source.edition) if part)
    return f"`{source.id}`", text, "page seen" if source.seen else "page not opened", source.where, source.errata


def sources_page() -> str:
    intro = "Where limits, defaults, coefficients and formulas come from, and whether the page itself was opened."
    rows = table(("source", "text", "seen", "where its values were read", "errata"), map(source_row, sources()))
    return page("Sources", intro, rows)


def findings_page() -> str:
    intro = (
        "Every finding that a check can print, by its code. A code is never used twice and never changes its meaning.\n"
        "`stop`: do not build or run it so; `watch`: works, with a named risk; `ok`: checked against the readings given,\n"
        "and within its limit."
    )
    rows = (
        (f"`{kind.code}`", kind.title, f"`{kind.limit}`" if kind.limit else "computed", kind.remedy)
        for kind in importlib.import_module("rillwright.findings").CATALOGUE
    )
    return page("Findings", intro, table(("code", "what was checked", "limit", "what to do"), rows))


PAGES: dict[str, Callable[[], str]] = {
    "limits.md": limits_page,
    "defaults.md": defaults_page,
    "sources.md": sources_page,
    "findings.md": findings_page,
}


def main() -> None:
    for name, written in PAGES.items():
        (HERE / name).write_text(written(), encoding="utf-8", newline="\n")
        print(f"docs/{name}")


if __name__ == "__main__":
    main()
