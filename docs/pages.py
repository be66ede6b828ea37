"""Write the generated pages of this folder: limits, defaults, sources, findings. Run it by `python3 dev.py docs`.

A test compares each page with what is written here, so that no limit, default, source or finding code goes
undocumented. Words above the tables of `method/sources.md` are written by hand and kept.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterable
from pathlib import Path

from rillwright.sources.page import whole_page

HERE = Path(__file__).resolve().parent
FINDINGS = """# Findings

<!-- Written by `python3 dev.py docs` from the catalogue of findings; change that, not this page. -->

Every finding that a check can print, by its code. A code is never used twice and never changes its meaning.
`stop`: do not build or run it so. `watch`: works, with a named risk. `ok`: checked against the readings given, and
within its limit. The limits stand in [sources, limits, defaults](method/sources.md); a feature file may override any of
them with a reason, and the finding says so. Local codes and licensed practice go before all of them.

"""


def table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    """A Markdown table; bars and line ends inside cells are made harmless."""
    cells = [[cell.replace("|", "\\|").replace("\n", " ").strip() for cell in row] for row in rows]
    return "".join("| " + " | ".join(row) + " |\n" for row in (head, ("---",) * len(head), *cells))


def findings_page() -> str:
    """All findings of the catalogue, by code."""
    rows = (
        (f"`{kind.code}`", kind.title, f"`{kind.limit}`" if kind.limit else "computed", kind.remedy)
        for kind in importlib.import_module("rillwright.findings").CATALOGUE
    )
    return FINDINGS + table(("code", "what was checked", "limit", "what to do"), rows)


def sources_page() -> str:
    """The tables of `sources`, below the words that stand on the page."""
    written = (HERE / "method" / "sources.md").read_text(encoding="utf-8")
    return whole_page(written.split("\n## Limits\n", maxsplit=1)[0])


PAGES: dict[str, Callable[[], str]] = {"method/sources.md": sources_page, "findings.md": findings_page}


def main() -> None:
    for name, written in PAGES.items():
        (HERE / name).write_text(written(), encoding="utf-8", newline="\n")
        print(f"docs/{name}")


if __name__ == "__main__":
    main()
