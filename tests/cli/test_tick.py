"""`rillwright tick` as typed: what it shows, what it writes, what it refuses."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rillwright import job
from rillwright.cli.program import program
from rillwright.errors import InputError

PNG = b"\x89PNG\r\n\x1a\n" + bytes(40)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))


def tick(folder: Path, *words: str, typed: str = "") -> Result:
    return CliRunner().invoke(program, ["tick", str(folder), *words], input=typed)


def plain(result: Result) -> str:
    assert result.exception is None, result.exception
    return " ".join(result.output.split())


def states(folder: Path) -> dict[str, job.HoldState]:
    return {each.hold.id: each for each in job.holds(job.open(folder))}


def test_all_hold_points_are_listed_with_what_is_missing(folder: Path) -> None:
    said = plain(tick(folder))
    assert said.startswith(f"0 of {len(states(folder))} hold points done")
    tick(folder, "services", "--all", "--initials", "KA")
    tick(folder, "cut.l-pond", "--line", "look", "--initials", "KA")
    said = plain(tick(folder))
    assert "done services" in said
    assert "missing: 2 to tape, initials of lead" in said
    assert not (set(states(folder)) - set(said.split()))


def test_one_is_shown_line_by_line_with_what_is_wanted(folder: Path) -> None:
    said = plain(tick(folder, "dig.pond"))
    pond = job.open(folder).planned.body("pond")
    assert f"tape length of the hole at the waterline wanted {pond.length_m / 0.3048:.0f}' 0\"" in said
    assert "initials of lead and operator" in said
    assert not (folder / "holds.csv").exists()


def test_a_line_is_ticked_by_its_number_or_its_beginning_and_withdrawn(folder: Path) -> None:
    name = "tape width of the hole at the waterline"
    number = 1 + [item.name for item in states(folder)["dig.pond"].items].index(name)
    which = ("--line", str(number), "--line", "photo")
    said = plain(tick(folder, "dig.pond", *which, "--initials", "KA", "--note", "12' 1\""))
    assert f"done: {name} (KA)" in said
    item = states(folder)["dig.pond"].item(name)
    assert (item.done, item.initials, item.note) == (True, "KA", "12' 1\"")
    said = plain(tick(folder, "dig.pond", "--line", "tape width", "--initials", "KA", "--withdraw"))
    assert "undone: tape width" in said
    assert not states(folder)["dig.pond"].item(name).done
    assert len((folder / "holds.csv").read_text(encoding="utf-8").splitlines()) == 4, "nothing is taken out"


def test_what_was_taped_wrong_and_signed_early_is_kept_and_asked_about(folder: Path) -> None:
    said = plain(tick(folder, "dig.pond", "--line", "tape width", "--initials", "KA", "--note", "99 ft"))
    assert "asked about, and kept: width of the hole at the waterline: 99 ft was taped, and 12' 0\" is wanted" in said
    assert "asked about: 99 ft was taped" in plain(tick(folder, "dig.pond"))
    said = plain(tick(folder, "dig.pond", "--line", "initial lead", "--initials", "KA"))
    assert "while this is open before it: Buried services" in said


def test_what_is_missing_is_asked_for(folder: Path) -> None:
    said = tick(folder, "services", "--note", "ticket of 3 May", typed="1, 2\nKA\n")
    assert "Which lines" in said.output
    assert [item.done for item in states(folder)["services"].items][:3] == [True, True, False]


def test_the_work_that_went_on_unchecked_is_told(folder: Path) -> None:
    said = plain(tick(folder, "liner.pond", "--all", "--initials", "KA"))
    assert "the work went on before it was checked" in said


def test_a_photo_is_kept_by_its_digest_and_named(folder: Path, tmp_path: Path) -> None:
    picture = tmp_path / "seal.png"
    picture.write_bytes(PNG)
    assert tick(folder, "spill.r3", "--line", "photo", "--initials", "KA", "--photo", str(picture)).exit_code == 0
    (kept,) = (folder / "files").iterdir()
    assert kept.read_bytes() == PNG
    assert states(folder)["spill.r3"].item("photograph the seal before it is hidden").note == f"photo files/{kept.name}"
    picture.write_bytes(b"#!/bin/sh\n")
    refused = tick(folder, "spill.r3", "--line", "photo", "--initials", "KA", "--photo", str(picture))
    assert isinstance(refused.exception, InputError)
    assert len(list((folder / "files").iterdir())) == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("dig.pnd",), "dig.pond"),
        (("dig.pond", "--line", "99", "--initials", "K"), "1 to"),
        (("dig.pond", "--line", "shoot", "--initials", "K"), "lines begin so"),
        (("dig.pond", "--line", "1", "--all", "--initials", "K"), "do not go together"),
        (("--initials", "K"), "name the hold point"),
        (("dig.pond", "--all", "--initials", " "), "initials"),
    ],
    ids=["unknown", "no such line", "many lines", "line and all", "no hold point", "nobody"],
)
def test_what_cannot_be_meant_is_refused_and_nothing_written(words: tuple[str, ...], said: str, folder: Path) -> None:
    refused = tick(folder, *words)
    assert refused.exit_code != 0
    assert said in f"{refused.output} {refused.exception}"
    assert not (folder / "holds.csv").exists()


def test_help_names_every_option() -> None:
    said = CliRunner().invoke(program, ["tick", "--help"]).output
    for option in ("--line", "--all", "--initials", "--who", "--note", "--photo", "--withdraw", "--day"):
        assert option in said
    assert "holds.csv" in said
