"""The ground of files and jobs, read, told, drawn and written."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from rillwright import job
from rillwright.errors import InputError, OutputError
from rillwright.exchange import read_dxf

PLANE = """point,easting,northing,level,line
a,0,0,100,
b,10,0,101,
c,10,10,100.5,
d,0,10,99.5,
e,4,3,100.25,
"""  # z = 100 + 0.1 x - 0.05 y
METRES = job.GroundSaid(unit="m")


@pytest.fixture
def plane(tmp_path: Path) -> Path:
    path = tmp_path / "plane.csv"
    path.write_text(PLANE, encoding="utf-8")
    return path


def test_a_plane_told(plane: Path) -> None:
    """Volume above 99: 125; surface 100.6231 (closed forms)."""
    found = job.ground_of([plane], METRES)
    told = job.ground_told(found)
    assert (told.shots, told.merged) == (5, 0)
    assert told.area_m2 == pytest.approx(100.0)
    assert told.surface_m2 == pytest.approx(100.6231, abs=1e-4)
    assert (told.lowest_m, told.lowest_at, told.highest_at) == (99.5, (0.0, 10.0), (10.0, 0.0))
    assert job.earth_to_level(found, 99.0).cut_m3 == pytest.approx(125.0)
    (spot,) = job.spots_on(found, [(8.0, 2.0)])
    assert spot.level_m == pytest.approx(100.7)
    assert spot.nearest in ("point b", "point e")
    line = job.section_over(found, [(0.0, 0.0), (10.0, 10.0)], step_m=1.0)
    assert line.level_m == pytest.approx(100.0 + 0.05 * line.xy[:, 0])


def without_files(place: Path) -> Path:
    """An example whose file names no levels of the ground."""
    folder = Path(shutil.copytree(job.examples()["orchard-press"], place / "bare"))
    text = (folder / "feature.yaml").read_text(encoding="utf-8")
    line = next(row for row in text.splitlines(keepends=True) if row.startswith("ground:"))
    (folder / "feature.yaml").write_text(text.replace(line, ""), encoding="utf-8")
    return folder


def test_the_jobs_own_levels(tmp_path: Path) -> None:
    """Points and paving with a place; the bolt in the wall is no ground. What of the pond lies off them is said.

    The files that the job names are in it too: with them all of the pond is known.
    """
    whole = job.ground_of([job.examples()["orchard-press"]])
    assert whole.tin.named(len(whole.tin.xyz) - 1) == "point t12"
    assert not any(covered.leaves for _, covered in job.outlines_on(whole))
    found = job.ground_of([without_files(tmp_path)])
    named = sorted(found.tin.named(row) for row in range(len(found.tin.xyz)))
    assert named == [f"point {each}" for each in ("apron", "g1", "g2", "head", "low", "tree")]
    ((name, covered),) = job.outlines_on(found)
    assert name == "pond pond"
    assert 0.1 < covered.guessed_share < 0.5


def test_files_and_jobs_together(plane: Path, tmp_path: Path) -> None:
    folder = tmp_path / "job"
    shutil.copytree(job.examples()["orchard-press"], folder)
    alone, both = job.ground_of([folder]), job.ground_of([folder, plane], METRES)
    assert len(both.tin.xyz) == len(alone.tin.xyz) + 5
    assert both.job is not None


def test_drawn_and_written(plane: Path, tmp_path: Path) -> None:
    """The DXF is read back: its contours stand every 0.25 m; the SVG names each level and its surface."""
    found = job.ground_of([plane], METRES)
    assert job.interval_of(found, system="metric") == pytest.approx(0.2)
    assert job.interval_of(found, system="us") == pytest.approx(6 * 0.0254)
    text = job.ground_dxf(found, every_m=0.25)
    back = read_dxf(text.encode(), file="back")
    assert sorted({round(line.xyz[0, 2], 6) for line in back.lines}) == [99.75, 100.0, 100.25, 100.5, 100.75]
    assert len(back.xyz) == 5
    svg = job.ground_svg(found, every_m=0.25, system="metric")
    assert svg == job.ground_svg(found, every_m=0.25, system="metric")
    assert re.findall(r"\+(\d+\.\d+) ground", svg)
    out = tmp_path / "a.svg"
    job.write_ground(out, svg, over=False)
    assert out.read_text(encoding="utf-8") == svg
    with pytest.raises(OutputError, match="written over"):
        job.write_ground(out, svg, over=False)


def test_what_is_refused(plane: Path, tmp_path: Path) -> None:
    for path, told in (
        (plane, "does not say in which unit"),
        (tmp_path / "lost.las", "is not there"),
        (tmp_path / "lost.csv", "is not there"),
        (tmp_path / "lost.bin", "no kind of file that holds ground"),
    ):
        with pytest.raises(InputError, match=told):
            job.ground_of([path])
