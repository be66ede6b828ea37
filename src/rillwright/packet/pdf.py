"""Sheets to PDF bytes: everything goes to the typesetter as data, and the same sheets give the same bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from importlib.resources import as_file, files
from typing import TYPE_CHECKING

from rillwright.drawings import FAMILY, LIGHT, draw_scale_bar
from rillwright.packet.blocks import picture
from rillwright.packet.paper import MARGIN, STRIP_MM, Sheet
from rillwright.packet.say import unbroken

if TYPE_CHECKING:
    import typst

_COLOURS = ("ink", "quiet", "grid", "water", "stone", "earth word", "stop", "watch")
_LINE = "#b9bfbd"  # between two rows of a table


def print_sheets(sheets: Sequence[Sheet], *, title: str, strip: Mapping[str, str]) -> bytes:
    """The sheets as one PDF.

    Parameters
    ----------
    sheets
        In their order.
    title
        Of the document.
    strip
        What stands along the foot of every page: feature, levels, checked, said.
    """
    pdf = _compiler(sheets, title, strip).compile(format="pdf")
    if not isinstance(pdf, bytes):
        raise TypeError(f"one PDF was expected, not {type(pdf)}")
    return pdf


def page_count(sheets: Sequence[Sheet], *, title: str, strip: Mapping[str, str]) -> int:
    """How many pages the sheets take; as for `print_sheets`."""
    found = _compiler(sheets, title, strip).query("<last>", field="value", one=True)
    return int(json.loads(found))


def _compiler(sheets: Sequence[Sheet], title: str, strip: Mapping[str, str]) -> typst.Compiler:
    import typst

    papers = {
        "title": title,
        "font": FAMILY,
        "colours": {**{name: LIGHT[name] for name in _COLOURS}, "line": _LINE},
        "margin": MARGIN,
        "strip": STRIP_MM,
        "sheets": [_sheet(sheet, strip) for sheet in sheets],
    }
    hand = (files("rillwright.packet") / "hand.typ").read_bytes()
    with as_file(files("rillwright.drawings") / "fonts") as folder:
        fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(folder)])
        return typst.Compiler(hand, font_paths=fonts, sys_inputs={"papers": json.dumps(papers)})


def _sheet(sheet: Sheet, strip: Mapping[str, str]) -> dict[str, object]:
    scale = f"scale {sheet.scale} · " if sheet.scale else ""
    return {
        "question": sheet.question,
        "paper": {"width": sheet.paper.width, "height": sheet.paper.height},
        "blocks": [_unbroken(block) for block in sheet.blocks],
        "feature": strip["feature"],
        "levels": strip["levels"],
        "checked": strip["checked"],
        "said": scale + strip["said"],
        "whose": sheet.whose,
        "bar": None if sheet.one_to is None else picture(draw_scale_bar(sheet.one_to)),
    }


def _unbroken(part: object) -> object:
    """The same blocks with numbers and units kept together; drawings are left as they are."""
    if isinstance(part, str):
        return unbroken(part)
    if isinstance(part, Mapping):
        return {key: value if key == "svg" else _unbroken(value) for key, value in part.items()}
    if isinstance(part, list | tuple):
        return [_unbroken(one) for one in part]
    return part
