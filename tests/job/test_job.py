"""The one service: opening, changing, saving, printing, and what it never writes over."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rillwright import job
from rillwright.errors import InputError, OutputError

EXAMPLES = job.examples()


def copy(tmp_path: Path, name: str = "orchard-press") -> Path:
    return Path(shutil.copytree(EXAMPLES[name], tmp_path / "job"))


def opened(tmp_path: Path, name: str = "orchard-press") -> job.Job:
    return job.open(copy(tmp_path, name))


@pytest.mark.parametrize(
    ("location", "typed"),
    [
        (("pond", "depth"), "27 1/2 in"),
        (("stream", "width"), "4'-0 1/2\""),
        (("datum",), "apron"),
        (("site", "groundwater"), "1.5 m below apron"),
        (("note",), "#*_<b> 'quoted' \"twice\""),
    ],
    ids=lambda value: "-".join(map(str, value)) if isinstance(value, tuple) else "",
)
def test_a_changed_job_is_the_job_that_would_be_read_back(
    location: tuple[str, ...], typed: str, tmp_path: Path
) -> None:
    changed = opened(tmp_path).with_value(location, typed)
    again = job.open(job.save(changed).path)
    assert again.feature == changed.feature
    assert again.surveyed == changed.surveyed
    assert job.judge(again, earlier=job.judge(changed)) == job.judge(again)


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_saving_touches_nothing_but_the_changed_line(name: str, tmp_path: Path) -> None:
    before = opened(tmp_path, name)
    saved = job.save(before)
    assert job.save(saved).path.read_bytes() == saved.path.read_bytes()
    job.save(saved.with_value(("name",), "Another name"))
    old, new = saved.as_read.splitlines(), saved.path.read_text(encoding="utf-8").splitlines()
    assert len(old) == len(new)
    assert [(a, b) for a, b in zip(old, new, strict=True) if a != b] == [(f"name: {before.feature.name}",
                                                                           "name: Another name")]  # fmt: skip
    assert not [path for path in saved.path.parent.iterdir() if path.name.startswith(".")]


def test_a_refused_value_changes_nothing(tmp_path: Path) -> None:
    before = opened(tmp_path)
    with pytest.raises(InputError) as caught:
        before.with_value(("pond", "depth"), "2 gal")
    assert caught.value.problems[0].field == "pond.depth"
    assert before.path.read_text(encoding="utf-8") == before.as_read


def test_all_books_that_are_wrong_are_named_at_once(tmp_path: Path) -> None:
    folder = copy(tmp_path)
    file = folder / "feature.yaml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("[books/levels.csv]", "[lost.csv, books/levels.csv, bad.csv]"), encoding="utf-8")
    (folder / "bad.csv").write_text("point,backsight,rod\nbolt,four,ft-in\nbolt,,ft-in\n", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        job.open(folder)
    told = [(Path(problem.file).name, problem.line) for problem in caught.value.problems]
    assert told[0][0] == "feature.yaml"
    assert caught.value.problems[0].found == "lost.csv"
    assert ("bad.csv", 2) in told
    assert ("bad.csv", 3) in told


@pytest.mark.parametrize("way", ["feature.yaml", "books/levels.csv", "prices.csv"])
def test_papers_never_take_the_place_of_what_the_job_is_read_from(way: str, tmp_path: Path) -> None:
    before = opened(tmp_path)
    judged = job.judge(before)
    with pytest.raises(OutputError, match=r"\.pdf"):
        job.papers(before, judged, before.path.parent / way, over=True)
    assert before.path.read_text(encoding="utf-8") == before.as_read


def test_tables_never_take_the_place_of_a_book(tmp_path: Path) -> None:
    folder = copy(tmp_path)
    file = folder / "feature.yaml"
    book = folder / "books" / "day-levels.csv"
    (folder / "books" / "levels.csv").rename(book)
    file.write_text(file.read_text(encoding="utf-8").replace("books/levels.csv", "books/day-levels.csv"), "utf-8")
    typed = book.read_bytes()
    before = job.open(folder)
    with pytest.raises(OutputError, match="day-levels"):
        job.papers(before, job.judge(before), folder / "books" / "day.pdf", over=True)
    assert book.read_bytes() == typed
    assert sorted(path.name for path in book.parent.iterdir()) == ["day-levels.csv"]


def test_the_same_job_prints_the_same_bytes(tmp_path: Path) -> None:
    before = opened(tmp_path)
    judged = job.judge(before)
    one = job.papers(before, judged, tmp_path / "one.pdf", date="2026-05-06")
    other = job.papers(before, judged, tmp_path / "other.pdf", date="2026-05-06")
    assert one.pdf.read_bytes() == other.pdf.read_bytes()
    pairs = list(zip(one.others, other.others, strict=True))
    assert len(pairs) >= 3
    assert all(a.read_bytes() == b.read_bytes() for a, b in pairs)


def test_a_price_book_beside_the_file_is_used_and_its_faults_are_named(tmp_path: Path) -> None:
    folder = copy(tmp_path)
    own = folder / "prices.csv"
    own.write_text(
        "item,unit,low,high,currency,hours_low,hours_high,note\nsoil_out_m3,m3,10,20,EUR,0,0,mine\n", encoding="utf-8"
    )
    price = job.judge(job.open(folder)).assessment.price
    assert (price.currency, price.invented) == ("EUR", False)  # type: ignore[union-attr]
    own.write_text("item,unit\nsoil_out_m3,m3\n", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        job.open(folder)
    assert {problem.file for problem in caught.value.problems} == {"prices.csv"}


def test_a_short_height_is_answered_with_how_much_is_short() -> None:
    found = job.fit_height(0.30, system="us", drops=(4, 4))
    assert found.result.count == 0
    assert found.result.least_height - found.problem.height == found.result.short_by > 0


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_the_falls_of_an_example_fit_its_own_height(name: str) -> None:
    fitted = job.fit_job(job.open(EXAMPLES[name]), drops=(1, 12))
    assert fitted
    for each in fitted:
        best = each.result.arrangements[0]
        spent = sum(best.pitches) + sum(drop.drop for drop in best.drops)
        assert spent + best.left_over == each.problem.height


def test_a_job_opened_again_is_the_job_opened_afresh(tmp_path: Path) -> None:
    before = opened(tmp_path)
    folder = before.path.parent
    book = folder / "books" / "levels.csv"
    text = book.read_text(encoding="utf-8")
    line = next(row for row in text.splitlines() if row.startswith("head,"))
    book.write_text(text.replace(line, line.replace("0 3/4", "1 3/4")), encoding="utf-8")
    again = job.open(folder, earlier=before)
    assert again == job.open(folder)
    assert again.surveyed != before.surveyed
    file = folder / "feature.yaml"
    file.write_text(before.as_read.replace("depth: 2 ft", "depth: 30 in"), encoding="utf-8")
    assert job.open(folder, earlier=again) == job.open(folder) != again
