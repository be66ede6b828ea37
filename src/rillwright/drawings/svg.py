"""The display list as SVG at true size: the same bytes for the same drawing."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence

from rillwright.drawings.display import Area, Circle, Drawing, Group, Item, Point, Polyline, Simple, Text
from rillwright.drawings.expand import simple
from rillwright.drawings.measure import FAMILY, WEIGHTS, font_size_mm
from rillwright.drawings.palette import LIGHT, PENS

HALO_MM = 0.9  # both sides of a stroke together
_FAMILY = f"'{FAMILY}'"  # quoted: a name that holds a bare digit is not read otherwise
_ESCAPES = {ord("&"): "&amp;", ord("<"): "&lt;", ord(">"): "&gt;", ord('"'): "&quot;", ord("'"): "&#39;"}


def escape(text: str) -> str:
    """Words as they may stand in SVG: markup made harmless, characters that XML forbids shown as U+FFFD."""
    return "".join(letter if _allowed(ord(letter)) else "\ufffd" for letter in text).translate(_ESCAPES)


def _allowed(code: int) -> bool:
    return code in (0x9, 0xA, 0xD) or 0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or code >= 0x10000


def number(value: float) -> str:
    """A coordinate [mm] to a thousandth, without needless zeros.

    Raises
    ------
    ValueError
        If it is not a finite number.
    """
    if not math.isfinite(value):
        raise ValueError(f"a drawing cannot hold the coordinate {value}")
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def write(drawing: Drawing, *, colours: Mapping[str, str] = LIGHT, background: bool = False) -> str:
    """A drawing as the text of an SVG file, width and height in millimetres, one unit one millimetre.

    Parameters
    ----------
    drawing
        What to write.
    colours
        Palette by meaning.
    background
        Whether to lay the palette's paper under it, as screens need.
    """
    width, height = number(drawing.width_mm), number(drawing.height_mm)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" font-family="{_FAMILY}" fill="none" stroke-linejoin="round" role="img">',
        f"<title>{escape(drawing.name)}</title>",
        f"<desc>{escape(drawing.alt)}</desc>",
    ]
    if background:
        lines.append(f'<rect width="{width}" height="{height}" fill="{colours["paper"]}"/>')
    lines += _items(drawing.items, colours)
    lines.append("</svg>")
    return "\n".join(lines) + "\n"


def _items(items: Iterable[Item], colours: Mapping[str, str]) -> Iterable[str]:
    for pen, alike in itertools.groupby(simple(items), _one_path):
        if pen is not None:
            yield _lines([line for line in alike if isinstance(line, Polyline)], pen, colours)
        else:
            yield from _one_by_one(alike, colours)


def _one_path(item: Simple | Group) -> str | None:
    """The pen of an open line without dashes: those of one pen in a row make one shape, which screens show sooner."""
    return item.pen if isinstance(item, Polyline) and not item.closed and not PENS[item.pen].dash_mm else None


def _lines(lines: Sequence[Polyline], pen: str, colours: Mapping[str, str]) -> str:
    if len(lines) == 1:
        return f'<polyline points="{_points(lines[0].points)}"{_stroke(pen, colours)}/>'
    ways = "".join(f"M{_points(line.points)}" for line in lines)
    return f'<path d="{ways}"{_stroke(pen, colours)}/>'


def _one_by_one(items: Iterable[Simple | Group], colours: Mapping[str, str]) -> Iterable[str]:
    for item in items:
        if isinstance(item, Group):
            path = f' data-path="{escape(item.path)}"' if item.path else ""
            yield f'<g data-layer="{escape(item.name)}"{path}>'
            yield from _items(item.items, colours)
            yield "</g>"
        elif isinstance(item, Polyline):
            tag = "polygon" if item.closed else "polyline"
            yield f'<{tag} points="{_points(item.points)}"{_stroke(item.pen, colours)}/>'
        elif isinstance(item, Area):
            outline = "".join(f"M{_points(ring)}Z" for ring in (item.points, *item.holes))
            rule = ' fill-rule="evenodd"' if item.holes else ""
            yield f'<path d="{outline}" fill="{colours[item.fill]}"{rule}{_stroke(item.pen, colours)}/>'
        elif isinstance(item, Circle):
            fill = f' fill="{colours[item.fill]}"' if item.fill else ""
            at = f'cx="{number(item.centre[0])}" cy="{number(item.centre[1])}" r="{number(item.radius_mm)}"'
            yield f"<circle {at}{fill}{_stroke(item.pen, colours)}/>"
        elif isinstance(item, Text):
            yield _text(item, colours)


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def _stroke(pen_name: str | None, colours: Mapping[str, str]) -> str:
    if pen_name is None:
        return ""
    pen = PENS[pen_name]
    dash = f' stroke-dasharray="{" ".join(number(part) for part in pen.dash_mm)}"' if pen.dash_mm else ""
    return f' stroke="{colours[pen.colour]}" stroke-width="{number(pen.width_mm)}"{dash}'


def _text(item: Text, colours: Mapping[str, str]) -> str:
    x, y = number(item.x), number(item.y)
    parts = [f'x="{x}" y="{y}" font-size="{number(font_size_mm(item.size_mm, italic=item.italic))}"']
    parts.append(f'fill="{colours[item.colour]}"')
    if item.halo:  # round caps and joins, under the letters
        parts.append(
            f'stroke="{colours[item.halo]}" stroke-width="{number(HALO_MM)}" stroke-linejoin="round" '
            'paint-order="stroke fill"'
        )
    if item.anchor != "start":
        parts.append(f'text-anchor="{item.anchor}"')
    if item.of:
        parts.append(f'data-of="{escape(item.of)}"')
    weight = WEIGHTS[item.weight]  # said twice: not every reader of SVG turns a weight into the variable font's axis
    parts.append(f'font-weight="{weight}" style="font-variation-settings:\'wght\' {weight}"')
    if item.italic:
        parts.append('font-style="italic"')
    if item.angle_deg:
        parts.append(f'transform="rotate({number(-item.angle_deg)} {x} {y})"')
    return f"<text {' '.join(parts)}>{escape(item.text)}</text>"
