"""Makes the screens' font anew: `python web/font.py`, with fonttools and brotli installed.

The letters, figures and signs that the screens use, upright, from regular to semibold, out of the font that papers and
drawings are set in. A font that is cut down may not bear its name (SIL Open Font License 1.1), so it has another.
"""

from __future__ import annotations

from pathlib import Path

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

WEB = Path(__file__).parent
WHOLE = WEB.parent / "src" / "rillwright" / "drawings" / "fonts" / "SourceSans3.ttf"
NAME = "Rillwright Sans"
SIGNS = "–—‘’“”•…′″⁄−×±≤≥≈→←↑↓²³½⅓⅔¼¾⅛⅜⅝⅞€"
LETTERS = [*range(0x20, 0x7F), *range(0xA0, 0x180), *map(ord, SIGNS)]


def make() -> None:
    font = TTFont(WHOLE)
    options = Options(layout_features=["kern", "mark", "mkmk", "ccmp", "locl", "frac", "numr", "dnom", "tnum", "zero"])
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14]
    options.notdef_outline = True
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=LETTERS)
    subsetter.subset(font)
    font = instantiateVariableFont(font, {"wght": (400, 400, 600)})
    for record in font["name"].names:
        if record.nameID in (1, 3, 4, 16):
            record.string = NAME
        elif record.nameID == 6:
            record.string = NAME.replace(" ", "")
    font.flavor = "woff2"
    font.recalcTimestamp = False
    font.save(WEB / "public" / "sans.woff2")


if __name__ == "__main__":
    make()
