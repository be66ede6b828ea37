"""The long section over ground that lies below the dig: what is solid, what is fill."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from rillwright.drawings.profile import cut_and_fill


def area(outline: Sequence[tuple[float, float]]) -> float:
    pairs = list(zip(outline, (*outline[1:], outline[0]), strict=True))
    return abs(0.5 * sum([a[0] * b[1] - b[0] * a[1] for a, b in pairs]))


def test_ground_that_crosses_the_dig() -> None:
    """Dig level at 0; ground from 0.5 down to -0.5 over 10 m: fill under the second half, 5 x 0.5 / 2 m2."""
    solid, fills = cut_and_fill(((0.0, 0.0), (10.0, 0.0)), ((0.0, 0.5), (10.0, -0.5)))
    assert [point[0] for point in solid] == pytest.approx([0.0, 5.0, 10.0])
    assert [point[1] for point in solid] == pytest.approx([0.0, 0.0, -0.5])
    assert sum([area(fill) for fill in fills]) == pytest.approx(1.25)


def test_an_upright_face_over_low_ground() -> None:
    """Two beds, 1.0 and 0.4 m over level ground, 2 m each, a face between: 2.0 + 0.8 m2; the ground is solid."""
    dig = ((0.0, 1.0), (2.0, 1.0), (2.0, 0.4), (4.0, 0.4))
    solid, fills = cut_and_fill(dig, ((0.0, 0.0), (4.0, 0.0)))
    assert {z for _, z in solid} == {0.0}
    assert sum([area(fill) for fill in fills]) == pytest.approx(2.8)


def test_all_dug_is_no_fill() -> None:
    dig = ((0.0, 0.0), (2.0, -0.2), (2.0, -0.5), (4.0, -0.5))
    assert cut_and_fill(dig, ((0.0, 0.1), (4.0, 0.1))) == (dig, ())
