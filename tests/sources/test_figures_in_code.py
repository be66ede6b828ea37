"""Coefficients stand in tables with unit and source; the layers that work on a feature hold none of their own."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import rillwright

HOME = Path(rillwright.__file__).parent
LAYERS = ("shape", "water", "liner", "containment", "stone", "earth", "takeoff", "build", "price")
PLAIN = {0.0, 0.25, 0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 1000.0, 3600.0}  # of closed forms and of units
HAIR = 1e-3  # what is smaller is there for floats
KNOWN = {  # figure by file, and why it is no coefficient
    ("containment/places.py", 1.96): "95 in 100 of a normal error: closed form",
    ("containment/over_finished.py", 0.01): "how near a surface's edge to that of the liner is one with it [m]",
    ("earth/plan.py", 0.1): "how closely a line is looked at [m]",
    ("water/circuit.py", 1.1): "how far a drawn curve goes on",
    ("water/narrows.py", 0.05): "what is left of a bed that an island closes: that is told",
    ("water/places.py", 0.008): "how finely a slide is cut [m]",
    ("water/crests.py", 1.5): "power of the depth over a crest",
    ("price/running.py", 365.25): "days in a year, by the Julian calendar",
    ("shape/ground_amiss.py", 0.3048): "a foot, by definition",
    ("shape/ground_amiss.py", 0.0254): "an inch, by definition",
    ("shape/joints.py", 0.3): "sine of an angle from which two streams are as good as parallel",
    ("shape/pond.py", 0.3048): "a foot, by definition",
    ("shape/slices.py", 0.0254): "an inch, by definition",
    ("shape/sides.py", 0.05): "how finely a side is cut",
    ("shape/course.py", 12.0): "a rounded bend in steps of a twelfth of half a turn",
    ("shape/rims.py", 0.01): "between the upper and the lower top of a step [m]",
    ("shape/around.py", 0.1): "how straight the end of the ground is drawn [m]",
    ("shape/around.py", 60.0): "how far a batter is followed [m]",
    ("shape/finished.py", 0.1): "no layer's edge lies so far from that of the liner [m]",
    ("shape/finished.py", 0.15): "how finely sides are cut [m]",
    ("shape/pond_patches.py", 0.999): "just above where sides meet",
    ("shape/stream_patches.py", 0.02): "how far areas reach over the edge that cuts them [m]",
}


def figures(file: Path) -> set[float]:
    tree = ast.parse(file.read_text(encoding="utf-8"))
    found = {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, float)}
    return {value for value in found if value not in PLAIN and value > HAIR}


@pytest.mark.parametrize("layer", LAYERS)
def test_a_layer_holds_no_coefficient(layer: str) -> None:
    found = {
        (file.relative_to(HOME).as_posix(), value) for file in (HOME / layer).glob("*.py") for value in figures(file)
    }
    assert found <= set(KNOWN)


def test_a_coefficient_would_be_seen(tmp_path: Path) -> None:
    file = tmp_path / "pipe.py"
    file.write_text("def loss(k):\n    return 1.25 * k\n", encoding="utf-8")
    assert figures(file) == {1.25}


def test_what_is_known_is_still_there() -> None:
    assert all(value in figures(HOME / name) for name, value in KNOWN)
