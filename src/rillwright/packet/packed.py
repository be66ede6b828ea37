"""Sheets that follow one another on the same pages, where that leaves fewer of them half empty."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from rillwright.packet.paper import Sheet
from rillwright.packet.pdf import page_count

_ABOVE_MM = 8.0  # of white space over a question that begins on another's page


def packed(sheets: Sequence[Sheet], *, title: str, strip: Mapping[str, str]) -> list[Sheet]:
    """The sheets in their order, each set on after the one before where the two then take fewer pages.

    Parameters
    ----------
    sheets
        To be read, of one size.
    title
        Of the document.
    strip
        What stands along the foot of every page.
    """
    found: list[Sheet] = []
    pages: list[int] = []
    for sheet in sheets:
        own = page_count([sheet], title=title, strip=strip)
        if found and found[-1].paper == sheet.paper:
            both = _joined(found[-1], sheet)
            together = page_count([both], title=title, strip=strip)
            if together < pages[-1] + own:
                found[-1], pages[-1] = both, together
                continue
        found.append(sheet)
        pages.append(own)
    return found


def _joined(first: Sheet, second: Sheet) -> Sheet:
    """Two sheets as one; the question of the second begins where its own blocks do."""
    head, *rest = second.blocks
    begins = {**head, "above": _ABOVE_MM, "starts": second.question, "sticky": True}
    return replace(first, blocks=(*first.blocks, begins, *rest))
