"""Write the generated pages of this folder: limits, defaults, sources, findings. Run it by `python3 dev.py docs`.

A test compares each page with what is written here, so that no limit, default, source or finding code goes
undocumented. Words above the tables of `method/sources.md` are written by hand and kept.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from rillwright.findings import page as whole_findings_page
from rillwright.sources.page import whole_page

HERE = Path(__file__).resolve().parent


def findings_page() -> str:
    """All findings, by area and code."""
    return whole_findings_page()


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
