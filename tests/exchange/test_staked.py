"""Stakes out to a surveyor and what was found back in."""

from __future__ import annotations

from functools import cache

import pytest

from rillwright import job
from rillwright.assessment import Build, Surface
from rillwright.errors import InputError
from rillwright.exchange import found_from_points, points_of_stakes, read_points_csv, write_points_csv


@cache
def build() -> Build:
    found = job.judge(job.open(job.examples()["orchard-press"])).assessment.build
    assert isinstance(found, Build)
    return found


def test_every_surface_with_a_place_goes_out_and_comes_back() -> None:
    stakes = build().stakes
    text = write_points_csv(points_of_stakes(stakes))
    found = found_from_points(read_points_csv(text, file="stakes.csv"), stakes, file="stakes.csv")
    wanted = {
        (stake.id, surface): stake.level_m(surface)
        for stake in stakes
        for surface in Surface
        if stake.level_m(surface) is not None and stake.at is not None
    }
    assert {(one.at, one.surface): pytest.approx(one.level_m, abs=1e-5) for one in found} == wanted


def test_pegs_have_a_place_and_no_level() -> None:
    pegs = [point for point in points_of_stakes(build().stakes) if point.id.endswith("-peg")]
    assert len(pegs) == sum(stake.peg is not None for stake in build().stakes)
    assert {(point.level_m, point.surface) for point in pegs} == {(None, None)}


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("s999,1,2,3,,dig", "no stake"),
        ("s1,1,2,0.5,,", "no surface"),
        ("s1,1,2,,,dig", "no level"),
    ],
    ids=["unknown stake", "no surface", "no level"],
)
def test_what_cannot_be_placed_is_told(line: str, what: str) -> None:
    points = read_points_csv(f"P,N,E,Z,D,S\n{line}\n", file="found.csv")
    with pytest.raises(InputError, match=what):
        found_from_points(points, build().stakes, file="found.csv")
