"""What is left of the dig is told once: by the finished surface where it was made, else by the sizes of the parts."""

from __future__ import annotations

import pytest

from rillwright import job
from rillwright.assessment import Judged, NotRun


def left_over_m3(judged: Judged) -> float:
    (found,) = (each for each in judged.findings if each.code == "earth.spoil")
    return float(next(value for name, value, _ in found.parameters if name == "out"))


def test_the_finding_and_the_sheet_say_the_same() -> None:
    opened = job.open(job.examples()["weavers-court"])
    quick = job.judge(opened)
    whole = job.finish(opened, quick)
    earth, finished = quick.assessment.earth, whole.assessment.finished
    assert not isinstance(earth, NotRun)
    assert not isinstance(finished, NotRun)
    assert left_over_m3(quick) == pytest.approx(earth.soil_out_m3)
    assert left_over_m3(whole) == pytest.approx(finished.soil.out_m3)
