"""A depth that the sides of a pond never reach: told, and a stop where another pond was meant."""

from __future__ import annotations

import pytest

from rillwright.assess import Inputs, assess
from rillwright.assessment import NotRun, Severity
from rillwright.errors import InputError
from rillwright.feature import Document, complete
from rillwright.findings import find
from rillwright.judge import remedy_of, text_of
from rillwright.sources import price_book
from rillwright.units import US
from rillwright.visit import Answers, check

POND = (
    "format: 1\nname: Invented\nunits: us\n"
    "pond: {{id: pond, waterline: 0 in, outline: {{oval: [14 ft, 9 ft]}}, depth: {}}}\n"
)


@pytest.mark.parametrize(
    ("depth", "severity"), [("2 ft", Severity.OK), ("8 ft", Severity.WATCH), ("90 ft", Severity.STOP)]
)
def test_what_the_sides_never_reach(depth: str, severity: Severity) -> None:
    """The sides of an oval of 14 by 9 ft, with its usual shelf, meet 7 ft down: by its own geometry."""
    feature = complete(Document.read(POND.format(depth), file="feature.yaml"))
    found = find(assess(Inputs(feature=feature, surveyed=NotRun("no book"), prices=price_book())))
    (told,) = [each for each in found if each.code == "pond.shallow"]
    assert told.severity is severity
    if severity is Severity.STOP:
        assert "90' 0\" wished for" in text_of(told, US)
        assert remedy_of(told, US).startswith("Build nothing of it")


def test_a_depth_beyond_all_ponds_is_refused_by_name() -> None:
    with pytest.raises(InputError) as refused:
        complete(Document.read(POND.format("1e9 ft"), file="feature.yaml"))
    (problem,) = refused.value.problems
    assert "depth" in problem.field
    assert problem.allowed == "up to 30 m"


def test_a_bed_longer_than_all_streams_is_refused_by_name() -> None:
    rill = "stream:\n  head: 20 in\n  course:\n    - {bed: b1, length: 300000 m}\n    - {fall: f1}\n"
    with pytest.raises(InputError) as refused:
        complete(Document.read(POND.format("2 ft") + rill, file="feature.yaml"))
    (problem,) = refused.value.problems
    assert problem.allowed == "up to 1000 m"


def test_a_visit_takes_what_the_file_takes() -> None:
    """Common practice, no source: nothing of a water feature is taped longer than 1000 m or dug deeper than 30 m."""
    check(Answers(units="metric", rod="metric", stream_length="900 m", **READ))
    for key, typed, allowed in (("stream_length", "1001 m", "to 1000 m"), ("pond_depth", "31 m", "to 30 m")):
        with pytest.raises(InputError) as refused:
            check(Answers(units="metric", rod="metric", **{key: typed}, **READ))
        assert refused.value.problems[0].allowed.endswith(allowed)


READ = {
    "benchmark_reading": "1.20 m", "paving_reading": "same", "head_reading": "0.60 m", "lowest_reading": "1.40 m"
}  # fmt: skip
