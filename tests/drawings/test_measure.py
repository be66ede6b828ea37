"""Widths of words from the font, held against the setting of the same words by typst, a general-purpose typesetter."""

from __future__ import annotations

import json
from importlib.resources import as_file, files
from pathlib import Path

import pytest

from rillwright.drawings import FAMILY, Text, font_size_mm, text_box, typeset, width_mm
from rillwright.drawings.measure import cap_height

WORDS = ("+0.870 stone top", "fall f3 at 6.70 m", "Height there is", "4′ 7⅜″", "¹⁵⁄₁₆", "−0.856 dig", "HAMBURGEFONTS")


def typst_width_mm(words: str, weight: int, folder: Path) -> float:
    import typst

    source = folder / "width.typ"
    (folder / "words.json").write_text(json.dumps(words), encoding="utf-8")
    source.write_text(
        f'#set text(font: "{FAMILY}", size: 100pt, weight: {weight}, kerning: false, ligatures: false)\n'
        '#context [#metadata(measure(text(json("words.json"))).width.mm()) <width>]\n',
        encoding="utf-8",
    )
    with as_file(files("rillwright.drawings") / "fonts") as fonts:
        loaded = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(fonts)])
        found = typst.Compiler(str(source), root=str(folder), font_paths=loaded).query(
            "<width>", field="value", one=True
        )
    return float(found)


@pytest.mark.parametrize("weight", ["regular", "semibold"])
@pytest.mark.parametrize("words", WORDS)
def test_widths_are_those_of_the_typesetter(words: str, weight: str, tmp_path: Path) -> None:
    size_mm = 100 * 25.4 / 72
    ours = width_mm(words, size_mm * cap_height(), weight=weight)
    theirs = typst_width_mm(words, {"regular": 400, "semibold": 600}[weight], tmp_path)
    assert ours == pytest.approx(theirs, rel=2e-3)


def test_a_capital_has_the_height_that_is_asked_for() -> None:
    assert font_size_mm(2.0) * cap_height() == pytest.approx(2.0)
    assert cap_height() == pytest.approx(0.66, abs=0.005)  # OS/2 table of the font


def test_boxes_follow_anchor_and_angle() -> None:
    flat = text_box(Text(x=50, y=50, text="water", anchor="middle"))
    assert (flat.left + flat.right) / 2 == pytest.approx(50)
    turned = text_box(Text(x=50, y=50, text="water", anchor="middle", angle_deg=90))
    assert turned.height == pytest.approx(flat.width)
    assert turned.right > 50 - 2.0 > turned.left
    assert text_box(Text(x=50, y=50, text="water", anchor="end")).right == pytest.approx(50)


@pytest.mark.parametrize(
    ("typed", "set_text"),
    [
        ("4' 7 3/8\"", "4′ 7⅜″"),
        ("4'-7 15/16\"", "4′-7¹⁵⁄₁₆″"),
        ("3/8 in", "⅜″"),
        ("-1' 2 1/2\"", "−1′ 2½″"),
        ("0.21 m", "0.21 m"),
        ("1100 to 1300 US gal/h", "1100 to 1300 US gal/h"),
    ],
)
def test_fractions_are_set_as_fractions(typed: str, set_text: str) -> None:
    assert typeset(typed) == set_text
