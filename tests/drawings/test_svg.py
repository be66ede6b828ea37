"""The SVG: true size, words as words, markup harmless, the same bytes each time."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.drawings import Area, Circle, Dimension, Drawing, Group, LevelTick, Polyline, Text, View, write_svg
from rillwright.drawings.svg import number

SVG = "{http://www.w3.org/2000/svg}"


def sheet(*items: object, width: float = 200.0, height: float = 100.0) -> Drawing:
    return Drawing(name="test", alt="a test", width_mm=width, height_mm=height, items=items)  # type: ignore[arg-type]


def read(drawing: Drawing) -> ElementTree.Element:
    return ElementTree.fromstring(write_svg(drawing))


@pytest.mark.parametrize("scale", [10.0, 24.0, 48.0, 50.0, 100.0])
def test_a_known_length_is_right_on_paper(scale: float) -> None:
    view = View(scale=scale, origin=(3.0, 1.0), at=(10.0, 90.0))
    root = read(sheet(Polyline(points=view.line(((3.0, 1.0), (4.5, 3.0))), pen="ink")))
    assert root.get("width") == "200mm"
    assert root.get("viewBox") == "0 0 200 100"  # one unit is one millimetre
    line = root.find(f"{SVG}polyline")
    assert line is not None
    (x0, y0), (x1, y1) = (map(float, pair.split(",")) for pair in line.get("points", "").split())
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    assert length == pytest.approx(2500.0 / scale, abs=0.2)  # 1.5 m by 2 m: 3-4-5
    assert y1 < y0  # up in the world is up on paper


def test_markup_in_names_is_harmless() -> None:
    evil = "<script>alert(\"x\")</script> & 'quoted' ]]> \x00 \ud800 #let"
    drawing = sheet(
        Group(name=evil, path=evil, items=(Text(x=1, y=9, text=evil),)),
        LevelTick(at=(5, 5), number="<b>", surface="water", note="&amp;"),
    )
    root = read(drawing)
    assert not root.findall(f".//{SVG}script")
    words = [text.text for text in root.iter(f"{SVG}text")]
    assert words[0] == evil.replace("\x00", "\ufffd").replace("\ud800", "\ufffd")
    assert "<b>" in words


@given(st.text(max_size=60))
def test_any_name_can_be_read_back(name: str) -> None:
    (text,) = read(sheet(Text(x=1, y=9, text=name))).iter(f"{SVG}text")
    expected = re.sub("[^\t\n\r -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", "\ufffd", name)
    assert (text.text or "") == expected.replace("\r\n", "\n").replace("\r", "\n")


def test_every_kind_of_item_is_written_and_the_bytes_stay_the_same() -> None:
    drawing = sheet(
        Area(points=((0, 0), (9, 0), (9, 9)), fill="water wash", pen="water", holes=(((2, 1), (3, 1), (3, 2)),)),
        Circle(centre=(5, 5), radius_mm=2, pen="ink"),
        Dimension(start=(0, 20), end=(50, 20), offset_mm=-8, text="2.50 m"),
        LevelTick(at=(5, 50), number="+1.000", surface="bed", built=True),
        Text(x=9, y=9, text="words", weight="semibold", angle_deg=90, italic=True, anchor="middle"),
    )
    first = write_svg(drawing)
    assert first == write_svg(drawing)
    root = ElementTree.fromstring(first)
    assert {element.tag.removeprefix(SVG) for element in root.iter()} >= {"path", "circle", "polyline", "text", "g"}
    assert "2.50 m" in first
    assert root.get("font-family") == "'Source Sans 3'"  # unquoted, a family name may not hold a bare digit (CSS Fonts)


@pytest.mark.parametrize(
    ("value", "text"), [(0.0, "0"), (-0.0001, "0"), (12.34567, "12.346"), (5.1, "5.1"), (-3.0, "-3"), (100.0, "100")]
)
def test_numbers_are_rounded(value: float, text: str) -> None:
    assert number(value) == text


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_a_coordinate_that_is_no_number_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="coordinate"):
        write_svg(sheet(Polyline(points=((0, 0), (value, 1)), pen="ink")))


def test_lines_of_one_pen_in_a_row_are_one_shape_and_all_there() -> None:
    hatch = tuple(Polyline(points=((float(x), 0.0), (x + 2.0, 3.0)), pen="ink") for x in range(5))
    dashed = tuple(Polyline(points=((float(x), 5.0), (x + 2.0, 8.0)), pen="doubted") for x in range(2))
    ring = Polyline(points=((0.0, 9.0), (4.0, 9.0), (4.0, 12.0)), pen="ink", closed=True)
    root = read(sheet(*hatch, ring, *dashed, hatch[0]))
    (one,) = root.findall(f"{SVG}path")
    ways = [[tuple(map(float, pair.split(","))) for pair in way.split()] for way in one.get("d", "").split("M")[1:]]
    assert ways == [list(line.points) for line in hatch]
    assert [element.tag.removeprefix(SVG) for element in root][-4:] == ["polygon", "polyline", "polyline", "polyline"]
