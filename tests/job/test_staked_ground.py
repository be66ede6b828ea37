"""Stakes, operator's page and long section go by the ground as it was surveyed, not by a line between shots."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from rillwright import job
from rillwright.assessment import Build, Earth, Judged
from rillwright.drawings import draw_long_section
from rillwright.job import Job
from rillwright.shape import course_of, ground_levels, natural_tin


@pytest.fixture(scope="module", params=["orchard-press", "weavers-court"])
def judged(request: pytest.FixtureRequest) -> tuple[Job, Judged]:
    opened = job.open(job.examples()[request.param])
    return opened, job.judge(opened)


def test_the_ground_at_a_stake_is_that_of_the_survey(judged: tuple[Job, Judged]) -> None:
    opened, result = judged
    assert isinstance(result.assessment.build, Build)
    tin = natural_tin(opened.feature, opened.ground)
    assert tin is not None
    seen = 0
    for stream in opened.feature.streams:
        course = course_of(stream)
        own = {f"reaches/{reach.id}" for reach in stream.reaches} | {f"falls/{fall.id}" for fall in stream.falls}
        for stake in result.assessment.build.stakes:
            if stake.station_m is None or stake.path.partition(".")[0] not in own or stake.ground_m is None:
                continue
            (level,), _, _ = ground_levels(tin, course.places(np.array([stake.station_m])))
            assert stake.ground_m == pytest.approx(level, abs=0.005)
            seen += 1
    assert seen > 5


def test_the_long_section_draws_it(judged: tuple[Job, Judged]) -> None:
    """With the survey taken away it draws another ground."""
    _, result = judged
    earth = result.assessment.earth
    assert isinstance(earth, Earth)
    plain = replace(result, assessment=replace(result.assessment, earth=replace(earth, sections=())))
    assert draw_long_section(result) != draw_long_section(plain)
