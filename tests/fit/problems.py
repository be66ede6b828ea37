"""Small random problems that can be asked, and that a walk over every arrangement still answers."""

from __future__ import annotations

from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.fit import CHARACTERS, KINDS, Bed, Built, FitProblem, Span, Wish, fit

_spans = st.tuples(st.integers(-2, 4), st.integers(0, 4)).map(lambda pair: Span(pair[0], pair[0] + pair[1]))
_beds = st.builds(Bed, length=st.none() | st.integers(1, 60), pitch=st.none() | _spans)
_wished = st.tuples(st.integers(1, 14), st.integers(0, 8)).map(lambda pair: Span(pair[0], pair[0] + pair[1]))
_wishes = st.builds(
    Wish,
    at=st.just("last") | st.integers(1, 5),
    drop=st.none() | _wished,
    kind=st.none() | st.sampled_from(KINDS),
)


@st.composite
def small_problems(draw: st.DrawFn) -> FitProblem:
    """Up to five drops, few steps in each."""
    step = draw(st.integers(1, 4))
    ripple_low = draw(st.integers(1, 8))
    ripple = Span(ripple_low, ripple_low + draw(st.integers(0, 2 * step)))
    fall_low = draw(st.integers(1, 14))
    least = draw(st.integers(1, 5))
    built = draw(st.lists(st.builds(Built, pitch=st.integers(-1, 3), drop=st.integers(1, 9)), max_size=3))
    if draw(st.booleans()):
        built.append(Built(pitch=draw(st.integers(0, 3)), drop=None))
    return FitProblem(
        unit="1 mm",
        height=draw(st.integers(-5, 60)),
        step=step,
        pitch_step=draw(st.integers(1, 3)),
        pitch=draw(_spans),
        ripple=ripple,
        fall=Span(fall_low, fall_low + draw(st.integers(0, 4 * step))),
        lively_fall=draw(st.integers(0, 12)),
        grade=draw(st.none() | st.just(Span(0, 60)) | st.just(Span(20, 90))),
        beds=tuple(draw(st.lists(_beds, max_size=5))),
        built=tuple(built),
        wishes=tuple(draw(st.lists(_wishes, max_size=2))),
        drops=Span(least, draw(st.integers(least, 5))),
        least_last=draw(st.just(0) | st.integers(1, 14)),
        spill_stone=draw(st.integers(0, 3)),
        running_below_held=draw(st.integers(0, 2)),
        most_left=draw(st.none() | st.integers(0, 6)),
        character=draw(st.sampled_from(CHARACTERS)),
    )


def can_be_asked(problem: FitProblem) -> bool:
    """Whether the problem is one; what is refused is tested elsewhere."""
    try:
        fit(problem, best=0)
    except InputError:
        return False
    return True
