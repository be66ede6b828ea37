"""One rule in both places: what a visit writes is what `fit` of the kept job accepts, or both say what is short."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from rillwright import job
from rillwright.fit import Span, Wish, counted, fit
from rillwright.job.fitting import Fitted
from rillwright.job.visiting import settled
from rillwright.sources import limit

# Found by a builder on a first visit: eight ripples were written, and refused by the job.
BUILDER = job.Answers(
    benchmark_reading="4' 8 1/2\"", head_reading="1' 10 3/4\"", lowest_reading="6' 0 1/4\"", pond_length="14 ft",
    pond_width="9 ft", pond_depth="2' 6\"", stream_length="24 ft", stream_width="3 ft", look="quiet",
)  # fmt: skip


def visited(answers: job.Answers) -> tuple[job.Job, job.Judged, tuple[str, ...], Fitted]:
    with tempfile.TemporaryDirectory() as folder:
        kept, judged, notes = settled(answers, Path(folder))
        (found,) = job.fit_job(kept, judged=judged, best=1)
    return kept, judged, notes, found


def written(kept: job.Job, found: Fitted) -> Fitted:
    """The question with every drop that the visit wrote wished for as it stands."""
    unit, stream = found.problem.unit, kept.feature.streams[0]
    wishes = [
        Wish(at=index + 1, drop=Span(drop, drop))
        for index, fall in enumerate(stream.falls[:-1])
        if (drop := counted(fall.drop_m, unit)) > 0
    ]
    problem = replace(found.problem, wishes=tuple(wishes))
    return replace(found, problem=problem, result=fit(problem, best=1))


def agrees(answers: job.Answers) -> bool:
    """Whether it fits, once what is said of it was held against what fits."""
    kept, judged, notes, found = visited(answers)
    said = [note for note in notes if note.startswith("Nothing fits")]
    if not found.result.count:
        assert said == [found.short[0]]
        return False
    assert said == []
    (own,) = written(kept, found).result.arrangements
    last = next(each for each in judged.findings if each.code == "fall.last")
    assert own.last_height >= limit("falls.last").bad / 0.0254 * 16 - 0.5 or found.problem.unit == "1 mm"
    assert last.value is not None
    assert last.value >= limit("falls.last").bad - 0.001  # as it runs, to the whole unit in which heights are counted
    return True


def test_the_builder_s_visit_fits() -> None:
    """Seven ripples of 4 in and a last fall of 10 in, seen over the running water: nothing is bent."""
    kept, _, notes, found = visited(BUILDER)
    assert agrees(BUILDER)
    assert notes == ()
    assert [fall.wished_ripple for fall in kept.feature.streams[0].falls] == [True] * 7 + [False]
    assert found.result.count > 1
    assert found.short == ()


def test_what_is_bent_is_said_alike_and_the_nearest_is_given() -> None:
    """1 in of height and a spill stone of 3 in are seen as 4 in: 4 in short of the least last fall, 8 in."""
    _, _, notes, found = visited(replace(BUILDER, head_reading="4' 11 1/2\"", waterline_below="4 in"))
    assert "Nothing fits: it needs 4 in more height than there is." in notes
    assert found.short[0] in notes
    assert found.nearest is not None
    assert [drop.kind for drop in found.nearest.drops] == ["ripple"]


SIXTEENTHS = st.integers(min_value=16 * -6, max_value=16 * 150)  # of the ground at the head over the benchmark
LOOKS = st.sampled_from(["quiet", "lively", "loud", *map(str, range(1, 13))])


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    up=SIXTEENTHS, look=LOOKS, length=st.integers(4, 60), metric=st.booleans(), wide=st.sampled_from(["2 ft", "4 ft"])
)
@example(up=540, look="quiet", length=24, metric=False, wide="3 ft")
def test_what_a_visit_writes_fits_or_both_say_so(up: int, look: str, length: int, metric: bool, wide: str) -> None:
    agree(up, look, length, metric=metric, wide=wide)


def agree(up: int, look: str, length: int, *, metric: bool, wide: str) -> None:
    """A visit of that height, look, stream length [ft] and width."""
    at_mark = 16 * 160
    if metric:
        mark, head, low = (f"{round(count * 1.5875)} mm" for count in (at_mark, at_mark - up, at_mark + 100))
        answers = replace(BUILDER, benchmark_reading=mark, head_reading=head, lowest_reading=low, units="metric")
    else:
        mark, head, low = (f"{count // 16} {count % 16}/16 in" for count in (at_mark, at_mark - up, at_mark + 100))
        answers = replace(BUILDER, benchmark_reading=mark, head_reading=head, lowest_reading=low, rod="inches")
    agrees(replace(answers, look=look, stream_length=f"{length} ft", stream_width=wide))


@pytest.mark.deep
@settings(max_examples=1500, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(up=SIXTEENTHS, look=LOOKS, length=st.integers(4, 60))
def test_a_grid_of_readings(up: int, look: str, length: int) -> None:
    agree(up, look, length, metric=False, wide="3 ft")
