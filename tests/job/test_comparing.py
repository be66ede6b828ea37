"""Two jobs and more on the command line, in JSON, and as a change order on paper."""

from __future__ import annotations

import json
import re
import shutil
import sys
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

import pytest
from msgspec.structs import replace
from tests.packet import ink

from rillwright import job
from rillwright.cli import main
from rillwright.compare import change_order
from rillwright.errors import InputError, OutputError

EXAMPLES = job.examples()


class Done(NamedTuple):
    returncode: int
    stdout: str
    stderr: str


Command = Callable[..., Done]


@pytest.fixture(name="pair")
def _pair(tmp_path: Path) -> tuple[Path, Path]:
    """A job, and the same with a deeper pond and a lower berm."""
    before, after = (Path(shutil.copytree(EXAMPLES["orchard-press"], tmp_path / name)) for name in ("a", "b"))
    file = after / "feature.yaml"
    text = file.read_text(encoding="utf-8")
    changed = text.replace("depth: 2 ft\n", "depth: 30 in\n").replace("berm: 9 in", "berm: 3 in")
    assert changed != text
    file.write_text(changed, encoding="utf-8")
    return before, after


@pytest.fixture(name="command")
def _command(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Command:
    """Types the command; gives exit code, output, errors."""

    def typed(*arguments: object) -> Done:
        monkeypatch.setattr(sys, "argv", ["rillwright", "compare", *map(str, arguments)])
        with pytest.raises(SystemExit) as end:
            main()
        told = capsys.readouterr()
        return Done(int(end.value.code or 0), told.out, told.err)

    return typed


def test_what_changed_is_told_worst_first_and_a_new_stop_ends_with_1(pair: tuple[Path, Path], command: Command) -> None:
    done = command(*pair)
    assert done.returncode == 1, done.stderr
    first = done.stdout.index("STOP  worse  rims/low-side")
    assert first < done.stdout.index("Piece l-pond is cut") < done.stdout.index("price range")
    assert "no rod reads them" in done.stdout
    assert command(pair[0], pair[0]).returncode == 0


def test_the_same_in_json(pair: tuple[Path, Path], command: Command) -> None:
    found = json.loads(command(*pair, "--json").stdout)
    assert found["to"][0]["stops"] == 1
    assert [row["code"] for row in found["table"]["rows"]][:3] == ["stop", "watch", "height"]
    height = next(row for row in found["table"]["rows"] if row["code"] == "height")
    assert height["unit"] == "m"
    assert height["low"][0] == height["low"][1] == pytest.approx(32.5 * 0.0254)  # 2' 8 1/2"


def test_three_stand_side_by_side(pair: tuple[Path, Path], command: Command) -> None:
    done = command(*pair, EXAMPLES["weavers-court"])
    assert done.stdout.count("price range") >= 3
    assert "L/s" in done.stdout
    assert "US gal/h" in done.stdout


@pytest.mark.parametrize("arguments", [(), ("nowhere",), ("nowhere", "nothing")], ids=["none", "one", "not there"])
def test_what_cannot_be_compared_is_told(arguments: tuple[str, ...], command: Command) -> None:
    done = command(*arguments)
    assert done.returncode == 2
    assert done.stderr
    assert "Traceback" not in done.stderr


def test_every_problem_of_every_job_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError) as told:
        job.compare_jobs([tmp_path / "one", tmp_path / "two"])
    assert len(told.value.problems) == 2


def test_a_change_order_says_who_why_and_what_it_takes(pair: tuple[Path, Path], tmp_path: Path) -> None:
    out = tmp_path / "order.pdf"
    compared = job.compare_jobs(pair)
    job.order_paper(compared, out, date="3 May", asked_by="the {owner} #1", why="deeper *for* winter")
    page = ink.read(out.read_bytes()).pages[0]
    text = " ".join(word.text for word in ink.words(page)).replace("\u200b", "")
    packed = re.sub(r"\s", "", text)
    for said in ("3May", "the{owner}#1", "deeper*for*winter", "agreed:name", "Arange,notaquote", "liner", "more"):
        assert said in packed
    assert not re.search(r"\b(odds|probab|likel|per cent|safe|proved)", text, flags=re.IGNORECASE)
    with pytest.raises(OutputError, match="is there already"):
        job.order_paper(compared, out)
    job.order_paper(compared, out, over=True)


def test_the_difference_of_an_order_is_the_difference_of_its_prices(pair: tuple[Path, Path]) -> None:
    before, after = job.compare_jobs(pair).judged
    order = change_order(before, after)
    prices = [state.assessment.price for state in (before, after)]
    assert order.difference == tuple(
        sorted(getattr(prices[1], end) - getattr(prices[0], end) for end in ("low", "high"))
    )
    assert order.difference > (Decimal(0), Decimal(0))
    back = change_order(after, before)
    assert back.difference == (-order.difference[1], -order.difference[0])
    assert {row.item: (row.after, row.before) for row in back.quantities} == {
        row.item: (row.before, row.after) for row in order.quantities
    }
    assert {"liner_m2", "dig_m3"} <= {row.item for row in order.quantities}
    assert change_order(before, before).quantities == ()


def test_two_currencies_are_not_subtracted(pair: tuple[Path, Path]) -> None:
    before, after = job.compare_jobs(pair).judged
    price = after.assessment.price
    other = replace(after, assessment=replace(after.assessment, price=replace(price, currency="EUR")))
    order = change_order(before, other)
    assert "USD" in order.no_price
    assert order.difference == (Decimal(0), Decimal(0))
