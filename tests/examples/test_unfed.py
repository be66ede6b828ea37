"""An example whose long run ends one fall too low: the first fall stays dry, and that is what is said of it."""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path

import pytest

from rillwright import job
from rillwright.assessment import Build, Judged, NotRun, Severity, Water
from rillwright.drawings import draw_long_section, flat
from rillwright.drawings.display import Group, LevelTick, Polyline
from rillwright.judge import remedy_of, text_of
from rillwright.units import style_for


@cache
def _judged(folder: str) -> Judged:
    return job.judge(job.open(Path(folder)))


@pytest.fixture(scope="module")
def low(tmp_path_factory: pytest.TempPathFactory) -> Judged:
    folder = shutil.copytree(job.examples()["weavers-court"], tmp_path_factory.mktemp("court") / "court")
    file = folder / "feature.yaml"
    text = file.read_text(encoding="utf-8")
    assert "    to: rill\n" in text
    file.write_text(text.replace("    to: rill\n", "    to: b2\n"), encoding="utf-8")
    return _judged(str(folder))


def test_what_lies_above_every_run_is_unfed(low: Judged) -> None:
    water = low.assessment.water
    assert isinstance(water, Water)
    assert water.unfed == ("reaches/b1", "falls/f1")


def test_the_dry_crest_says_that_nothing_feeds_it(low: Judged) -> None:
    style = style_for("metric")
    (dry,) = [each for each in low.findings if each.code == "crest.dry" and each.severity is Severity.STOP]
    assert dry.element == "falls/f1"
    assert "No run brings water above ripple f1" in text_of(dry, style)
    assert "pump" not in remedy_of(dry, style)
    assert not [each for each in low.findings if each.code == "range.outside" and "fall f1" in text_of(each, style)]


def test_no_water_is_drawn_or_staked_there(low: Judged) -> None:
    drawing = draw_long_section(low, frame_mm=(380.0, 240.0))
    groups = [item for item in _groups(drawing.items) if item.path in ("reaches/b1", "falls/f1")]
    drawn = [part for one in groups for part in flat(one.items)]
    assert not [part for part in drawn if isinstance(part, Polyline) and part.pen == "water"]
    assert not [part for part in drawn if isinstance(part, LevelTick) and part.surface == "water"]
    build = low.assessment.build
    assert isinstance(build, Build)
    for stake in build.stakes:
        if stake.path in ("reaches/b1", "falls/f1"):
            assert stake.water_m is None
        elif stake.path.startswith("falls/"):
            assert stake.water_m is not None
    assert not isinstance(low.assessment.water, NotRun)


def _groups(items: tuple[object, ...]) -> list[Group]:
    found = [item for item in items if isinstance(item, Group)]
    return found + [inner for one in found for inner in _groups(one.items)]
