"""Islands typed in ponds and beds: their outlines, tops and names; what is refused."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from rillwright.errors import InputError
from rillwright.feature import Document, Feature, complete
from rillwright.shape import pond_edge, shape

TEXT = """\
format: 1
name: Invented
units: metric
pond:
  id: pond
  waterline: 0 m
  depth: 0.8 m
  side: 2
  shelf: none
  outline: {rectangle: [6 m, 4 m]}
  islands: [%s]
stream:
  id: rill
  head: 0.6 m
  width: 0.8 m
  path: [[0 m, 6 m], [0 m, 2 m]]
  course:
    - {bed: b1, length: 2 m, islands: [%s]}
    - {fall: f1, drop: 0.2 m}
    - {bed: b2}
    - {fall: f2}
"""
ROCK = "{id: rock, outline: {rectangle: [1 m, 0.5 m]}, top: 0.2 m}"
TUFT = "{outline: {oval: [0.4 m, 0.2 m], centre: [0 m, 5 m], turn: 90 deg}}"


def made(pond: str = "", bed: str = "") -> Feature:
    return complete(Document.read(TEXT % (pond, bed), file="feature.yaml"))


def test_they_are_completed() -> None:
    found = made(ROCK, TUFT)
    (rock,), (tuft,) = found.bodies[0].islands, found.reaches[0].islands
    assert (rock.id, rock.of, rock.top_m) == ("rock", "ponds/pond", 0.2)
    assert rock.area_m2 == pytest.approx(0.5)
    assert (tuft.id, tuft.of) == ("b1-island1", "reaches/b1")
    assert tuft.top_m == pytest.approx(12 * 0.0254)
    assert tuft.area_m2 == pytest.approx(math.pi * 0.2 * 0.1, rel=0.01)
    assert "islands/b1-island1.top" in {entry.path for entry in found.defaults_used}
    assert found.reaches[0].open_width_m == pytest.approx(0.8 - tuft.area_m2 / 2.0)


def test_a_pond_holds_less_by_its_island() -> None:
    """Straight sides two up to one across: the hole less the island, which grows downwards. Prismoids: closed form."""
    with_it, without = shape(made(ROCK)).ponds[0], shape(made()).ponds[0]
    assert without.area_m2 - with_it.area_m2 == pytest.approx(0.5)
    foot = (1.0 + 0.8) * (0.5 + 0.8)  # 0.4 m further out on every side, 0.8 m down
    middle = (1.0 + 0.4) * (0.5 + 0.4)
    assert without.gross_m3 - with_it.gross_m3 == pytest.approx(0.8 / 6.0 * (0.5 + 4.0 * middle + foot), rel=1e-6)
    assert with_it.perimeter_m - without.perimeter_m == pytest.approx(3.0)
    assert pond_edge(made(ROCK).bodies[0]).length_m == pytest.approx(pond_edge(made().bodies[0]).length_m)


@pytest.mark.parametrize(
    "pond",
    [
        "{outline: {rectangle: [1 m, 1 m], centre: [3 m, 0 m]}}",
        "{outline: {rectangle: [9 m, 1 m]}}",
        f"{ROCK}, {ROCK.replace('rock', 'other')}",
        "{outline: {points: [[0 m, 0 m], [1 m, 1 m], [1 m, 0 m], [0 m, 1 m]]}}",
    ],
    ids=["over the edge", "across", "over another", "crosses itself"],
)
def test_an_island_out_of_its_water_is_refused(pond: str) -> None:
    with pytest.raises(InputError, match=r"open water|crosses itself"):
        made(pond)


def test_an_id_is_used_once() -> None:
    with pytest.raises(InputError, match="used twice"):
        made(ROCK, TUFT.replace("{outline", "{id: rock, outline", 1))


def test_without_islands_nothing_changes() -> None:
    bed = made().reaches[0]
    assert bed.open_width_m == bed.width_m == replace(bed, islands=()).open_width_m
