"""What fits, as it is told: the file's own pitches, no near twins, and why nothing fits in words."""

from __future__ import annotations

import itertools
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from rillwright import job
from rillwright.cli.program import program

B1, B2 = "{bed: b1, length: 1.6 m, pitch: 10 mm}", "{bed: b2, length: 1.5 m, pitch: 10 mm}"


def court(tmp_path: Path, changes: dict[str, str]) -> job.Fitted:
    """What fits the court's stream once its file is changed."""
    folder = shutil.copytree(job.examples()["weavers-court"], tmp_path / "court")
    file = folder / "feature.yaml"
    text = file.read_text(encoding="utf-8")
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    file.write_text(text, encoding="utf-8")
    (found,) = job.fit_job(job.open(folder))
    return found


def test_the_pitches_of_the_file_are_kept(tmp_path: Path) -> None:
    """60 mm in the first bed, 12 mm in the second, what the file says in the others: no other pitch is proposed."""
    found = court(tmp_path, {B1: B1.replace("10 mm", "60 mm"), B2: B2.replace("10 mm", "12 mm")})
    assert found.result.arrangements
    assert {one.pitches for one in found.result.arrangements} == {(60, 12, 0, 10, 0, -10)}


def test_a_pitch_that_nobody_typed_is_free(tmp_path: Path) -> None:
    found = court(tmp_path, {B1: "{bed: b1, length: 1.6 m}"})
    assert [bed.pitch is None for bed in found.problem.beds] == [True, *[False] * 5]


@pytest.mark.parametrize("name", sorted(job.examples()))
def test_no_two_that_are_listed_are_near_twins(name: str) -> None:
    for found in job.fit_job(job.open(job.examples()[name])):
        assert found.result.arrangements
        shapes = [
            (sorted((d.kind, d.drop) for d in one.drops[:-1]), one.last_height) for one in found.result.arrangements
        ]
        for (one, last), (other, then) in itertools.combinations(shapes, 2):
            apart = [abs(last - then), *(abs(a[1] - b[1]) for a, b in zip(one, other, strict=True))]
            assert [kind for kind, _ in one] != [kind for kind, _ in other] or max(apart) > found.problem.step


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--height", "4 in"], "1 arrangement fits, from the head down"),
        (["--height", "5 ft", "--look", "quiet", "--falls", "2"], "leave 9 5/8 in of the height unspent"),
        (["--height", "5 ft", "--look", "quiet", "--falls", "2"], "It would fit with 1 drop more."),
        (["--height", "20 in", "--falls", "6"], "it needs 4 in more height than there is"),
        (["--height", "20 in", "--falls", "6"], "It would fit with 1 ripple fewer"),
    ],
)
def test_it_is_told_in_words(words: list[str], told: str) -> None:
    found = CliRunner().invoke(program, ["fit", *words], standalone_mode=False)
    assert found.exception is None
    assert told in found.output


def test_over_a_buried_reservoir_the_height_counts_down_to_its_cover() -> None:
    """The last fall ends on the stone, not on the water that stands hidden under it (definition of the fall seen)."""
    opened = job.open(job.examples()["clinic-forecourt"])
    body, stream = opened.feature.bodies[0], opened.feature.streams[0]
    assert body.cover_m is not None
    assert body.cover_m > body.waterline.m + 0.05
    (found,) = job.fit_job(opened)
    assert found.metres(found.problem.height) == pytest.approx(stream.head.m - body.cover_m, abs=0.001)
    assert found.problem.running_below_held == 0
    assert "cover" in found.down_to
    best = found.result.arrangements[0]
    assert found.metres(best.last_height) == pytest.approx(
        found.metres(best.drops[-1].drop + found.problem.spill_stone), abs=1e-9
    )
