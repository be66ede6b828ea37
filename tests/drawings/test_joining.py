"""Drawings of a job on which streams join: what its sections, its plan and its film show. Invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from rillwright import job
from rillwright.assessment import Assessment, NotRun
from rillwright.drawings import draw_long_section, draw_motion, draw_plan
from rillwright.drawings.display import Area, Group
from rillwright.drawings.expand import flat
from rillwright.water import over_time
from tests.feature.joining import SITE


@cache
def assessed(folder: Path) -> Assessment:
    (folder / "feature.yaml").write_text(SITE, encoding="utf-8")
    found = job.judge(job.open(folder)).assessment
    assert not isinstance(found.shape, NotRun)
    assert not isinstance(found.water, NotRun)
    return replace(found, over_time=over_time(found.feature, found.shape, found.water))


@pytest.fixture(scope="module")
def becks(tmp_path_factory: pytest.TempPathFactory) -> Assessment:
    return assessed(tmp_path_factory.mktemp("becks"))


def groups(drawing: object, name: str) -> list[Group]:
    found: list[Group] = []

    def walk(items: tuple[object, ...]) -> None:
        for item in items:
            if isinstance(item, Group):
                if item.name == name:
                    found.append(item)
                walk(item.items)

    walk(drawing.items)  # type: ignore[attr-defined]
    return found


def test_each_bed_of_the_plan_is_as_wide_as_it_is(becks: Assessment) -> None:
    """1.2 m at 1:n beside 0.9 m: the wash of the main stream is that much wider below."""
    drawing = draw_plan(becks)
    assert drawing.scale
    wash = next(item for each in groups(drawing, "stream") for item in flat(each.items) if isinstance(item, Area))
    xs = sorted({round(x, 3) for x, _ in wash.points})
    assert max(xs) - min(xs) == pytest.approx(1200.0 / drawing.scale, rel=1e-3)
    assert xs[-2] - xs[1] == pytest.approx(900.0 / drawing.scale, rel=1e-3)


def test_past_its_end_the_section_washes_the_bed_that_is_joined(becks: Assessment) -> None:
    paths = {each.path for each in groups(draw_long_section(becks, stream="side"), "running")}
    assert "reaches/meeting" in paths
    assert "ponds/pond" not in {each.path for each in groups(draw_long_section(becks, stream="side"), "water")}


def test_its_film_shows_the_water_that_it_falls_into(becks: Assessment) -> None:
    """The bed's level rises from dry to what it is at the end of its own stream's film."""
    film = draw_motion(becks, 0, stream="side")
    (basin,) = film.basins
    assert basin.path == "reaches/meeting"
    assert len(basin.level) == len(film.times_s)
    assert basin.level[-1] < basin.level[0]  # higher on paper is less
    assert draw_motion(becks, 0, stream="main").basins[0].path == "ponds/pond"
