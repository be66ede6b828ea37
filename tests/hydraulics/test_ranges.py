"""Just inside and just outside of every published range: the flag turns there and nowhere else."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from rillwright.errors import InputError
from rillwright.hydraulics import (
    Section,
    blodgett_n,
    broad_crest_square_edge,
    by_limerinos,
    ergun_slope,
    ergun_speed,
    ferguson_speed,
    francis,
    friction_factor,
    jarrett_n,
    kindsvater_carter,
    kindsvater_carter_coefficients,
    limerinos_n,
    normal_depth,
    power_curve,
    rand_drop,
    rehbock,
    tilted_crest,
)

G = 9.80665


def _square_edge(head: float, length: float, crest: float) -> str:
    return broad_crest_square_edge(head, 1.0, crest_length_m=length, crest_height_m=crest).outside


def _gravel(reynolds: float) -> str:
    speed = reynolds * (1 - 0.4) * 1e-6 / 0.01
    slope = ergun_slope(speed, grain_m=0.01, porosity=0.4, viscosity_m2s=1e-6)
    return ergun_speed(slope, grain_m=0.01, porosity=0.4, viscosity_m2s=1e-6).outside


# What is asked, the end of its range, whether the range lies above it. Limits: see docs/method/water.md.
EDGES: dict[str, tuple[Callable[[float], str], float, bool]] = {
    "Francis head": (lambda x: francis(x, 2.0).outside, 0.06, True),
    "Francis width": (lambda x: francis(0.2, x).outside, 0.6, True),
    "Francis crest": (lambda x: francis(0.2, 2.0, crest_height_m=x).outside, 0.4, True),
    "Kindsvater-Carter head": (lambda x: kindsvater_carter(x, 2.0, crest_height_m=0.3).outside, 0.03, True),
    "Kindsvater-Carter h/P": (lambda x: kindsvater_carter(x, 2.0, crest_height_m=0.2).outside, 0.5, False),
    "Kindsvater-Carter width": (lambda x: kindsvater_carter(0.1, x, crest_height_m=0.2).outside, 0.15, True),
    "Kindsvater-Carter crest": (lambda x: kindsvater_carter(0.1, 2.0, crest_height_m=x).outside, 0.10, True),
    "Rehbock head": (lambda x: rehbock(x, 2.0, crest_height_m=0.8).outside, 0.03, True),
    "Rehbock most head": (lambda x: rehbock(x, 2.0, crest_height_m=0.8).outside, 0.75, False),
    "Rehbock h/P": (lambda x: rehbock(x, 2.0, crest_height_m=0.4).outside, 0.4, False),
    "Rehbock width": (lambda x: rehbock(0.1, x, crest_height_m=0.4).outside, 0.3, True),
    "Rehbock crest": (lambda x: rehbock(0.1, 2.0, crest_height_m=x).outside, 0.3, True),
    "square edge, longest": (lambda x: _square_edge(0.1, x, 1.0), 1.0, False),
    "square edge, shortest": (lambda x: _square_edge(0.33, x, 2.0), 1.0, True),
    "square edge, crest": (lambda x: _square_edge(0.35, 2.0, x), 0.65, True),
    "Rand least": (lambda x: rand_drop((x * G) ** 0.5, 1.0).outside, 5.4e-4, True),
    "Rand most": (lambda x: rand_drop((x * G) ** 0.5, 1.0).outside, 1.0, False),
    "Jarrett least R": (lambda x: jarrett_n(x, 0.01).outside, 0.15, True),
    "Jarrett most R": (lambda x: jarrett_n(x, 0.01).outside, 1.68, False),
    "Jarrett least S": (lambda x: jarrett_n(0.5, x).outside, 0.002, True),
    "Jarrett most S": (lambda x: jarrett_n(0.5, x).outside, 0.04, False),
    "Limerinos least R": (lambda x: limerinos_n(x, 0.05).outside, 0.31, True),
    "Limerinos most R": (lambda x: limerinos_n(x, 0.05).outside, 3.32, False),
    "Limerinos least d84": (lambda x: limerinos_n(1.0, x).outside, 0.019, True),
    "Limerinos most d84": (lambda x: limerinos_n(1.0, x).outside, 0.747, False),
    "Blodgett least": (lambda x: blodgett_n(x, 0.1).outside, 0.15, True),
    "Blodgett most": (lambda x: blodgett_n(x, 0.1).outside, 18.5, False),
    "Ferguson least": (lambda x: ferguson_speed(x, 0.02, 0.1).outside, 0.01, True),
    "Ferguson most": (lambda x: ferguson_speed(x, 0.02, 0.1).outside, 3.0, False),
    "Ergun least": (_gravel, 1.0, True),
    "Ergun most": (_gravel, 2300.0, False),
}


@pytest.mark.parametrize(("ask", "edge", "above"), EDGES.values(), ids=EDGES.keys())
def test_edge(ask: Callable[[float], str], edge: float, above: bool) -> None:
    inside, outside = (edge * 1.001, edge * 0.999) if above else (edge * 0.999, edge * 1.001)
    assert ask(inside) == ""
    assert ask(outside) != ""


def test_laminar_ends_at_2000() -> None:
    assert friction_factor(2000, 1e-4) == pytest.approx(64 / 2000, rel=1e-15)
    assert friction_factor(1999.9, 1e-4) == pytest.approx(64 / 1999.9, rel=1e-15)
    assert friction_factor(2030, 1e-4) > 64 / 2030


def test_exponents_up_to_20() -> None:
    assert power_curve([(0, 8), (9, 8 - 8 * 0.9**19.9), (10, 0)]).exponent == pytest.approx(19.9)
    with pytest.raises(InputError, match="20"):
        power_curve([(0, 8), (9, 8 - 8 * 0.9**20.1), (10, 0)])


def test_limerinos_reaches_down_to_its_own_stones() -> None:
    """At R = d84 exactly the normal depth is still found."""
    bed = Section(bottom_m=2.0)
    depth = 0.1 * 2.0 / (2.0 - 2 * 0.1) * 1.001  # R = b y/(b + 2y), a hair above 0.1
    wet = bed.at(depth)
    law = by_limerinos(0.1)
    flow = law.speed(wet, 0.01).speed_ms * wet.area_m2
    assert normal_depth(flow, bed, 0.01, law=law).depth_m == pytest.approx(depth, rel=1e-9)


def test_kb_at_the_rows_of_its_table() -> None:
    """ISO 1438, from memory."""
    for share, kb_mm in ((0.1, 2.4), (0.2, 2.4), (0.4, 2.7), (0.6, 3.6), (0.8, 4.2), (1.0, -0.9)):
        assert kindsvater_carter_coefficients(share)[2] * 1000 == pytest.approx(kb_mm, rel=1e-12)


def test_dry_share_of_a_stone_far_out_of_level() -> None:
    """All of C h^1.5 on a wedge: Q = C b (2/5) h^2.5 / tilt gives h and the wet share h / tilt."""
    flow, width, tilt, c = 0.001, 0.6, 0.05, 1.6
    low_end = (flow * 5 * tilt / (2 * c * width)) ** 0.4
    ours = tilted_crest(flow, width, tilt_m=tilt, coefficient=c)
    assert low_end < tilt
    assert ours.low_end_m == pytest.approx(low_end, rel=1e-12)
    assert ours.dry_share == pytest.approx(1 - low_end / tilt, rel=1e-12)
    assert ours.ratio is None
