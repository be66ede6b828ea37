"""Reading shots.csv: a bad line harms no other, a cut-off one is known, and no reading is left out."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.survey import SHOTS_HEADER, Shot, ShotState, read_shots, reduce_shots, write_shot

ROW = Shot(uuid="u1", time="2026-05-04T08:00:00+02:00", setup="2026-05-04/1", rod="ft-in", path="marks/bolt",
           surface="mark", reading="4' 2 1/2\"", note='said "so", twice')  # fmt: skip
LINE = write_shot(ROW)

anything = st.text(max_size=60)
cells = st.text(st.characters(blacklist_categories=("Cs", "Cc", "Zl", "Zp")), min_size=1, max_size=40).map(str.strip)
rows = st.builds(
    Shot,
    uuid=st.uuids().map(str),
    time=cells,
    who=anything,
    setup=anything,
    rod=anything,
    path=anything,
    surface=anything,
    reading=cells.filter(lambda cell: bool(" ".join(cell.split())) and any(c.isprintable() and c != " " for c in cell)),
    state=st.sampled_from([state.value for state in ShotState]),
    re=anything,
    note=anything,
)


def test_a_row_comes_back_as_it_was_written() -> None:
    sheet = read_shots(SHOTS_HEADER + LINE, file="shots.csv")
    assert sheet.shots[0].cells == ROW.cells
    assert sheet.shots[0].line == 2
    assert not sheet.unread


@given(st.lists(rows, max_size=8))
def test_any_rows_come_back_one_by_one(written: list[Shot]) -> None:
    text = SHOTS_HEADER + "".join(write_shot(row) for row in written)
    sheet = read_shots(text, file="shots.csv")
    assert [shot.uuid for shot in sheet.shots] == [row.uuid for row in written]
    assert not sheet.unread
    assert "".join(write_shot(shot) for shot in sheet.shots) == text.removeprefix(SHOTS_HEADER)


@given(st.lists(rows, min_size=1, max_size=5), st.integers(min_value=0))
def test_cut_anywhere_only_the_last_line_suffers(written: list[Shot], where: int) -> None:
    lines = [write_shot(row) for row in written]
    whole = SHOTS_HEADER + "".join(lines)
    cut = where % (len(whole) + 1)
    sheet = read_shots(whole[:cut], file="shots.csv")
    ends = [len(SHOTS_HEADER) + sum(map(len, lines[: i + 1])) for i in range(len(lines))]
    acknowledged = [row.uuid for row, end in zip(written, ends, strict=True) if end <= cut]
    assert [shot.uuid for shot in sheet.shots][: len(acknowledged)] == acknowledged
    assert len(sheet.shots) <= len(acknowledged) + 1  # a line that lacks only its end is whole
    assert len(sheet.unread) <= 1


@given(st.text(max_size=300))
def test_any_text_under_the_header_is_read_or_named(text: str) -> None:
    sheet = read_shots(SHOTS_HEADER + text, file="shots.csv")
    lines = [line for line in text.split("\n") if line.strip("\r").strip()]
    assert len(sheet.shots) + len(sheet.unread) == len(lines)


@given(st.lists(rows, max_size=8))
def test_whatever_is_written_is_reduced_and_none_left_out(written: list[Shot]) -> None:
    shots = reduce_shots(written, marks={})
    assert [shot.shot.uuid for shot in shots.shots] == [row.uuid for row in written]
    assert all(shot.level_m is None and shot.questions for shot in shots.shots)


@pytest.mark.parametrize("header", ["uuid,time\n", "point,backsight\nbolt,4\n", "\x00\x01\n", "uuid;time;who\n"])
def test_another_file_is_refused_and_never_written_to(header: str) -> None:
    with pytest.raises(InputError, match="not the header"):
        read_shots(header, file="shots.csv")


def test_a_line_between_is_named_and_left() -> None:
    sheet = read_shots(SHOTS_HEADER + LINE + "scribble\n" + LINE.replace("u1", "u2"), file="shots.csv")
    assert [shot.uuid for shot in sheet.shots] == ["u1", "u2"]
    assert [(line.line, line.text, line.torn) for line in sheet.unread] == [(3, "scribble", False)]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"reading": ""}, "reading"),
        ({"note": "x" * 501}, "note"),
        ({"uuid": " "}, "uuid"),
        ({"state": "lost"}, "state"),
    ],
    ids=["no reading", "too long", "no uuid", "no such state"],
)
def test_what_cannot_be_a_row_is_not_written(change: dict[str, str], field: str) -> None:
    from msgspec.structs import replace

    with pytest.raises(InputError) as caught:
        write_shot(replace(ROW, **change))
    assert [problem.field for problem in caught.value.problems] == [field]


def test_a_note_of_several_lines_stays_one_row() -> None:
    line = write_shot(Shot(uuid="u", time="t", reading="1.0", note="one\r\ntwo\u2028three"))
    assert line.count("\n") == 1
    assert read_shots(SHOTS_HEADER + line, file="shots.csv").shots[0].note == "one two three"
