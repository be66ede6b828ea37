"""What a visit comes to, file and page: the falls agree, nothing worries by default alone, and one page holds it."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest
from msgspec.structs import replace
from tests.app.pictures import PICTURES
from tests.packet import ink
from tests.packet.test_packet import assert_inside, packed

from rillwright import job
from rillwright.assessment import NotRun
from rillwright.errors import InputError
from rillwright.packet.worries import worst_of
from rillwright.units import show, style_for
from rillwright.visit import Answers, find_stair

FEET = Answers(benchmark_reading="4' 2\"", head_reading="1' 3 5/16\"", lowest_reading="4' 9\"")
METRES = Answers(benchmark_reading="1.250 m", head_reading="0.423 m", lowest_reading="1.460 m")
SMALL = {"pond_length": "8 ft", "pond_width": "6 ft"}
ALL = {
    "paving_reading": "4' 4\"", "pond_length": "14 ft", "pond_width": "9 ft", "pond_depth": "2' 6\"",
    "stream_length": "26 ft", "stream_width": "3' 6\"", "look": "loud", "access_width": "5 ft",
    "machine": "small loader", "waterline_below": "5 in", "pipe_run": "34 ft", "soil": "type B", "groundwater": "7 ft",
    "held": "at rest", "own_machine": "4 ft, 10 ft, 900 lb at 6 ft", "power_distance": "40 ft",
    "power_protected": "yes", "units": "us", "rod": "ft-in", "name": "The tannery corner",
}  # fmt: skip
STREAMS = {
    "lively": FEET,
    "quiet": replace(FEET, look="quiet", head_reading="3' 0 13/16\""),
    "loud at rest": replace(FEET, look="loud", held="at rest", **SMALL),
    "four at rest": replace(FEET, look="4", held="at rest"),
    "low": replace(FEET, head_reading="4' 1 3/16\""),
    "metres": METRES,
    "metres at rest": replace(METRES, look="3", held="at rest"),
    "high": replace(METRES, head_reading="0.011 m", look="quiet"),
}


@pytest.fixture
def unprinted(monkeypatch: pytest.MonkeyPatch) -> None:
    """The page is left out where it is not what is looked at: typesetting takes longer than all the rest."""
    monkeypatch.setattr("rillwright.packet.visit_page", lambda *_, **__: b"%PDF")


@pytest.mark.usefixtures("unprinted")
@pytest.mark.parametrize("which", STREAMS)
def test_the_last_fall_is_as_high_as_it_was_counted(which: str, tmp_path: Path) -> None:
    """Its height is the crest less the running water; what was counted is within the mark it was counted in."""
    done = job.visit(STREAMS[which], tmp_path / "yard")
    water = done.judged.assessment.water
    assert not isinstance(water, NotRun)
    seen, balance = water.crests[-1].fall_height_m.value, water.balances[0]
    stair = find_stair(STREAMS[which], running_below_m=balance.held_m - balance.running_level_m.value)
    assert seen == pytest.approx(stair.last_m, abs=0.001)
    step = done.job.feature.step_m
    drops = [fall.drop_m for fall in done.job.feature.falls]
    assert drops == pytest.approx(stair.drops_m, abs=0.5 * step if "rest" in which else 1e-4)
    style = style_for(done.job.feature.system)
    assert f"seen {show(seen, 'length', style)} high over the running water" in done.staircase
    height = next(row for row in job.key_numbers(done.judged) if row.label == "height there is")
    assert "over the running water" in height.note


@pytest.mark.usefixtures("unprinted")
@pytest.mark.parametrize("which", STREAMS)
def test_no_default_of_ours_is_a_worry_of_its_own(which: str, tmp_path: Path) -> None:
    """Splash lined for the tallest fall with its stone, the rim 3 in over all that the water may stand at."""
    found = job.visit(STREAMS[which], tmp_path / "yard").judged.findings
    graded = {f.code: f.severity.value for f in found if f.code in ("rim.low", "splash.narrow", "berm.high")}
    assert graded == {"rim.low": "ok", "splash.narrow": "ok", "berm.high": "ok"}


@pytest.mark.usefixtures("unprinted")
@pytest.mark.parametrize("kind", PICTURES)
def test_a_photo_is_kept_by_its_hash_and_called_what_it_is(kind: str, tmp_path: Path) -> None:
    picture = tmp_path / "Yard.JPG"  # whatever it is called
    picture.write_bytes(PICTURES[kind])
    done = job.visit(replace(FEET, photo=str(picture)), tmp_path / "yard")
    name = f"files/{hashlib.sha256(PICTURES[kind]).hexdigest()}.{kind}"
    assert (done.folder / name).read_bytes() == PICTURES[kind] == picture.read_bytes()
    assert done.photo == done.folder / name
    assert done.job.document.said.photos == [name]


@pytest.mark.parametrize("name", ["lost.jpg", "empty.png", "folder.jpg", "page.jpg", "drawing.svg", "large.jpg"])
def test_a_photo_that_cannot_be_used_is_said_and_nothing_is_written(name: str, tmp_path: Path) -> None:
    (tmp_path / "empty.png").touch()
    (tmp_path / "folder.jpg").mkdir()
    (tmp_path / "page.jpg").write_bytes(b"<html><script>1</script></html>")
    (tmp_path / "drawing.svg").write_bytes(b"<svg xmlns='http://www.w3.org/2000/svg'/>")
    with (tmp_path / "large.jpg").open("wb") as large:
        large.write(PICTURES["jpg"])
        large.truncate(job.LARGEST_PHOTO + 1)
    answers = replace(FEET, photo=str(tmp_path / name))
    with pytest.raises(InputError) as caught:
        job.visit(answers, tmp_path / "yard")
    assert [problem.field for problem in caught.value.problems] == ["photo"]
    assert job.refused(answers, "photo") is not None
    assert not (tmp_path / "yard").exists()


PAGES = {
    "nothing but the readings": FEET,
    "metres": METRES,
    "quiet": STREAMS["quiet"],
    "more than fit": replace(METRES, look="9", head_reading="0.95 m"),
    "under water": replace(FEET, head_reading="6' 0\""),
    "twelve": replace(
        FEET, benchmark_reading="12' 0\"", head_reading="0' 0\"", lowest_reading="12' 7\"", look="12",
        stream_length="60 ft",
    ),
    "everything": replace(FEET, **ALL),
}  # fmt: skip


@pytest.mark.parametrize("which", PAGES)
def test_one_page_says_what_was_taken_and_what_did_not_fit(which: str, tmp_path: Path) -> None:
    done = job.visit(PAGES[which], tmp_path / "yard", date="25 Nov 2026")
    (page,) = ink.read(done.page.read_bytes()).pages
    words = ink.words(page)
    assert_inside(page, words)
    assert not [(a.text, b.text) for i, a in enumerate(words) for b in words[i + 1 :] if a.overlaps(b)]
    text = packed(" ".join(word.text for word in words))
    for taken in done.taken:
        assert packed(f"{taken.words} {taken.value}") in text
    for note in done.notes:
        assert packed(note) in text
    assert packed("Any depth can drown a child") in text
    assert packed("sides, so many up to one across") in text
    paths = re.compile(r"^(pond|stream|liner|run|site|laps?)[./][a-z]")
    assert not [word.text for word in words if paths.match(word.text)], (
        "no path of the file: the page is for the client"
    )
    assert packed(PAGES[which].notes) in text
    assert ("Notanswered" in text) == bool(done.taken) == (which != "everything")
    for matter in worst_of(done.judged):
        assert packed(matter.finding.remedy.partition("{")[0]) in text
