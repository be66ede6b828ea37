"""Labels: none over another, none out of the frame, none lost."""

from __future__ import annotations

import itertools

from hypothesis import given
from hypothesis import strategies as st

from rillwright.drawings import Box, Label, place, text_box
from rillwright.drawings.layout import spread, tiers

FRAME = Box(left=0.0, top=0.0, right=120.0, bottom=80.0)
words = st.text(alphabet="abcdefghij 0123456789.", min_size=1, max_size=24).filter(lambda text: text.strip() == text)
points = st.tuples(st.floats(0, 120), st.floats(0, 80))
some = st.lists(st.builds(lambda text, at: Label(text=text, at=at), words, points), max_size=25)
obstacles = st.lists(
    st.builds(lambda at: Box(left=at[0], top=at[1], right=at[0] + 15, bottom=at[1] + 9), points), max_size=4
)


@given(some, obstacles)
def test_random_labels_never_overlap_nor_leave_the_frame_nor_get_lost(labels: list[Label], taken: list[Box]) -> None:
    placing = place(labels, FRAME, taken=taken)
    boxes = [placed.box for placed in placing.placed]
    for one, other in itertools.combinations(boxes, 2):
        assert not one.overlaps(other)
    for placed in placing.placed:
        assert FRAME.holds(placed.box)
        assert placed.box.grown(1e-6).holds(text_box(placed.text))
        assert not any(placed.box.overlaps(box) for box in taken)
    plain = [placed.label.text for placed in placing.placed if placed.number is None]
    assert sorted(plain + [text for _, text in placing.key]) == sorted(label.text for label in labels)
    marked = {placed.number for placed in placing.placed if placed.number is not None}
    assert marked | set(placing.unmarked) == {number for number, _ in placing.key}


def test_no_leader_runs_through_words() -> None:
    labels = [Label(text=f"stake S{n}, stone top", at=(50 + 7 * (n % 3), 30 + 5 * (n // 3))) for n in range(14)]
    placing = place(labels, FRAME)
    for placed in placing.placed:
        if placed.leader:
            (x0, y0), (x1, y1) = placed.leader
            for other in placing.placed:
                if other is not placed:
                    inner = other.box.grown(-0.05)
                    assert not any(inner.has((x0 + (x1 - x0) * t / 50, y0 + (y1 - y0) * t / 50)) for t in range(51)), (
                        placed.label.text,
                        other.label.text,
                    )


def test_what_finds_no_room_goes_to_the_key() -> None:
    small = Box(left=0.0, top=0.0, right=30.0, bottom=12.0)
    labels = [Label(text=f"a label far too long to fit {n}", at=(15.0, 6.0)) for n in range(3)]
    placing = place(labels, small)
    assert [number for number, _ in placing.key] == [1, 2, 3]
    assert {placed.text.text for placed in placing.placed} <= {"1", "2", "3"}
    assert placing.placed


@given(st.lists(st.tuples(st.floats(0, 100), st.floats(0.5, 9)), min_size=1, max_size=12))
def test_spread_keeps_order_and_room(pairs: list[tuple[float, float]]) -> None:
    pairs.sort()
    wanted, sizes = [p[0] for p in pairs], [p[1] for p in pairs]
    found = spread(wanted, sizes, 0.0, 100.0, gap=0.5)
    if sum(sizes) + 0.5 * (len(sizes) - 1) > 100.0 + 1e-9:
        assert found is None
        return
    assert found is not None
    assert found[0] >= -1e-9
    assert found[-1] + sizes[-1] <= 100.0 + 1e-6
    for left, size, after in zip(found, sizes, found[1:], strict=False):
        assert left + size + 0.5 <= after + 1e-6


def test_spread_leaves_alone_what_does_not_touch() -> None:
    assert spread([5.0, 30.0, 60.0], [10.0, 10.0, 10.0], 0.0, 100.0, gap=1.0) == (5.0, 30.0, 60.0)


def test_tiers_are_added_only_when_one_row_is_too_short() -> None:
    slots = tiers([0.0, 20.0, 40.0], [25.0, 25.0, 25.0], 0.0, 100.0, gap=1.0, most=3)
    assert slots is not None
    assert {slot.tier for slot in slots} == {0}
    slots = tiers([0.0, 20.0, 40.0, 60.0], [40.0] * 4, 0.0, 110.0, gap=1.0, most=3)
    assert slots is not None
    assert {slot.tier for slot in slots} == {0, 1}
    assert tiers([0.0] * 40, [40.0] * 40, 0.0, 100.0, gap=1.0, most=3) is None
