"""Contours as drawn: to scale, every level with its surface, nothing over anything."""

from __future__ import annotations

import itertools
import math

import pytest

from rillwright.drawings import ContourLine, Drawing, Group, Polyline, draw_contours, flat, texts, write_svg


def ring(radius: float, level: float) -> ContourLine:
    points = tuple((radius * math.cos(math.tau * k / 90), radius * math.sin(math.tau * k / 90)) for k in range(90))
    return ContourLine(level_m=level, points=points, closed=True)


HILL = [ring(10.0 - k, 0.1 * k) for k in range(9)]
SHOTS = [(x, y) for x in range(-10, 11, 4) for y in range(-10, 11, 4)]


def drawn(system: str = "metric") -> Drawing:
    return draw_contours(HILL, shots=SHOTS, outlines=[HILL[3].points], name="A hill", every_m=0.1, system=system)


def lines_of(drawing: Drawing) -> list[Polyline]:
    group = next(item for item in drawing.items if isinstance(item, Group) and item.name == "contours")
    return [item for item in group.items if isinstance(item, Polyline)]


@pytest.mark.parametrize("system", ["metric", "us"])
def test_to_scale_and_in_the_frame(system: str) -> None:
    """A circle of 10 m is as wide as its scale says."""
    drawing = drawn(system)
    assert drawing.scale is not None
    xs = [x for x, _ in lines_of(drawing)[0].points]
    assert max(xs) - min(xs) == pytest.approx(20_000.0 / drawing.scale)
    for item in flat(drawing.items):
        if isinstance(item, Polyline):
            assert all(drawing.frame.has(point) for point in item.points)


def test_every_fifth_is_heavier() -> None:
    assert [line.pen == "earth" for line in lines_of(drawn())] == [k % 5 == 0 for k in range(9)]


def test_levels_name_their_surface_and_lie_over_nothing() -> None:
    drawing = drawn()
    words = texts(drawing)
    levels = [text.text for text, _ in words if "ground" in text.text]
    assert len(levels) == 9
    assert "±0.000 ground" in levels
    assert "A hill: contours every 100 mm, from 36 levels" in [text.text for text, _ in words]
    for (_, one), (_, other) in itertools.combinations(words, 2):
        assert not one.overlaps(other)
    assert not drawing.key


def test_the_same_bytes() -> None:
    assert write_svg(drawn()) == write_svg(drawn())


def test_what_is_not_drawn_is_said() -> None:
    many = [(0.01 * k, 0.0) for k in range(500)]
    drawing = draw_contours(HILL, shots=many, every_m=0.1, system="metric")
    assert any("500 levels, too many to be marked" in text.text for text, _ in texts(drawing))
    nothing = draw_contours([], every_m=0.1, system="metric")
    assert [text.text for text, _ in texts(nothing)] == ["Not drawn: no level is known there"]
