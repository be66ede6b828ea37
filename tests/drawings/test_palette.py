"""Colours told apart in grey and by people who see fewer of them.

Lightness and colour difference by CIE 1976 L*a*b* (CIE 15; from memory); simulated colour blindness by the full
severity matrices of Machado, Oliveira and Fernandes (2009) on linear RGB, typed from memory; contrast by WCAG 2.2.
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from rillwright.drawings import DARK, LIGHT, PENS

SEEING = {
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
MEANINGS = ("ink", "water", "stone", "earth", "built", "stop", "watch")
# fills that touch, and colours that alone could be taken for one another where a page is printed in grey
IN_GREY = (
    ("paper", "water wash"),
    ("paper", "stone wash"),
    ("water wash", "stone wash"),
    ("stop", "watch"),
    ("stop", "built"),
    ("watch", "built"),
    ("built", "water"),
    ("ink", "water"),
    ("ink", "stone"),
    ("ink", "earth"),
    ("ink", "built"),
    ("water", "stone"),
    ("water", "earth"),
    ("spare wash", "watch wash"),
    ("watch wash", "stop wash"),
    ("water wash", "stop wash"),
    ("paper", "watch wash"),
)


def linear(colour: str) -> np.ndarray:
    part = np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def lab(rgb: np.ndarray) -> np.ndarray:
    t = TO_XYZ @ np.clip(rgb, 0, 1) / np.array([0.9505, 1.0, 1.089])
    f = np.where(t > 0.008856, np.cbrt(t), 7.787 * t + 16 / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def contrast(a: str, b: str) -> float:
    low, high = sorted(float(TO_XYZ[1] @ linear(colour)) for colour in (a, b))
    return (high + 0.05) / (low + 0.05)


def test_lab_of_white_and_of_a_grey() -> None:
    # CIE: white is 100, 0, 0; linear 0.184 of white is L* 50 by the cube root
    assert lab(linear("#ffffff")) == pytest.approx([100, 0, 0], abs=0.05)
    assert lab(np.full(3, 0.18419))[0] == pytest.approx(50.0, abs=0.02)


@pytest.mark.parametrize("seeing", SEEING)
@pytest.mark.parametrize("pair", list(itertools.combinations(MEANINGS, 2)), ids="-".join)
def test_told_apart_by_colour_blind_people(seeing: str, pair: tuple[str, str]) -> None:
    a, b = (lab(np.array(SEEING[seeing]) @ linear(LIGHT[name])) for name in pair)
    assert np.linalg.norm(a - b) >= 8.0  # 2.3 is just noticeable


@pytest.mark.parametrize("pair", IN_GREY, ids="-".join)
def test_told_apart_in_grey(pair: tuple[str, str]) -> None:
    a, b = (lab(linear(LIGHT[name]))[0] for name in pair)
    assert abs(a - b) >= 5.0


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("name", ["ink", "quiet", "water", "stone word", "earth word", "built", "stop", "watch"])
def test_words_stand_out_from_the_paper(palette: dict[str, str], name: str) -> None:
    assert contrast(palette[name], palette["paper"]) >= 4.5  # WCAG 2.2, 1.4.3


def test_built_is_heavier_than_planned_and_doubted_is_dashed() -> None:
    planned = [
        pen.width_mm
        for name, pen in PENS.items()
        if name not in ("built", "liner", "gap", "footing", "rim low", "rim spills", "spill")
    ]
    assert PENS["built"].width_mm > max(planned)
    assert PENS["doubted"].dash_mm
    assert PENS["ground guessed"].dash_mm
    assert PENS["liner guessed"].dash_mm
    assert [name for name, pen in PENS.items() if pen.colour == "built"] == ["built", "doubted"]
    assert {pen.colour for pen in PENS.values()} <= set(LIGHT) == set(DARK)
