"""Every limit, default and table row names a source that the catalogue knows."""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path

import pytest

from rillwright import sources
from rillwright.units import KINDS

_DATA = Path(sources.__file__).parent
_TABLES = sorted(_DATA.glob("*.csv"))


def test_ids_are_unique_and_said_once() -> None:
    ids = [source.id for source in sources.sources()]
    assert len(ids) == len(set(ids))
    assert sources.source(sources.COMMON_PRACTICE).seen is False


def test_every_source_says_where_it_was_read() -> None:
    for source in sources.sources():
        assert source.title, source.id
        assert len(source.where) >= 8, source.id
        if not source.seen:
            assert any(
                word in source.where
                for word in ("memory", "as ", "no text", "nowhere", "not opened", "values", "named")
            ), source.id


@pytest.mark.parametrize("entry", [*sources.limits(), *sources.defaults()], ids=lambda entry: entry.name)
def test_limits_and_defaults_name_a_source(entry: sources.Limit | sources.Default) -> None:
    assert sources.source(entry.source).id == entry.source
    assert entry.text.endswith(".")
    assert entry.unit or entry.kind == "word"


@pytest.mark.parametrize("table", _TABLES, ids=lambda table: table.name)
def test_tables_name_sources(table: Path) -> None:
    lines = [line for line in table.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    rows = list(csv.DictReader(lines, strict=True))
    assert rows
    for row in rows:
        assert None not in row, row
        assert None not in row.values(), row
        for column in ("source", "swell_source"):
            if column in row:
                sources.source(row[column])
        assert row.get("seen", "yes") in ("yes", "no")


def test_unknown_names_are_told_what_is_near() -> None:
    with pytest.raises(KeyError, match=r"rim\.freeboard"):
        sources.limit("rim.freebord")
    with pytest.raises(KeyError, match=r"pond\.depth"):
        sources.default("pond.dept")
    with pytest.raises(KeyError, match=r"epanet-2\.2"):
        sources.source("epanet")
    with pytest.raises(KeyError, match="short elbow"):
        sources.fitting("shortt elbow")
    with pytest.raises(KeyError, match="there are"):
        sources.soil("xyzzy")


@pytest.mark.parametrize("limit", sources.limits(), ids=lambda limit: limit.name)
def test_limits_are_in_order(limit: sources.Limit) -> None:
    assert limit.kind in KINDS  # a feature may override any limit, typed in that kind
    assert limit.severity in ("stop", "watch")
    if limit.sense == "at_least":
        assert limit.good >= limit.bad
    else:
        assert limit.sense == "at_most"
        assert limit.good <= limit.bad


def test_defaults_lie_in_their_bands() -> None:
    for default in sources.defaults():
        if isinstance(default.value, str):
            assert default.low is None
            assert default.high is None
            assert default.word
            continue
        assert default.number == default.value
        assert default.low is None or default.low <= default.value, default.name
        assert default.high is None or default.value <= default.high, default.name


def test_words_and_numbers_are_not_mixed_up() -> None:
    with pytest.raises(TypeError, match="is a word"):
        _ = sources.default("look.default").number
    with pytest.raises(TypeError, match="is a number"):
        _ = sources.default("pond.depth").word


def test_defaults_agree_with_one_another_and_with_the_limits() -> None:
    number = {d.name: d.value for d in sources.defaults() if not isinstance(d.value, str)}
    assert number["crest.c"] == pytest.approx((number["crest.c_low"] + number["crest.c_high"]) / 2)
    assert number["flow.lively"] == pytest.approx((number["flow.quiet"] + number["flow.loud"]) / 2)
    assert number["liner.lap_run"] >= sources.limit("lap.run").good
    assert number["rim.berm_spare"] >= sources.limit("rim.freeboard").good
    assert number["liner.spare"] >= sources.limit("liner.spare").good
    assert number["underlay.mass"] >= sources.limit("underlay.mass").good
    assert number["fit.least_last"] >= sources.limit("falls.last").bad
    assert sources.limit("falls.ripple_low").good <= number["look.ripple"] <= sources.limit("falls.ripple_high").good
    low, high = sources.limit("pump.spare_low").good, sources.limit("pump.spare_high").good
    assert low <= number["pump.duty_factor"] - 1 <= high
    sources.soil(sources.default("site.soil").word)
    sources.gradation(sources.default("gravel.grading").word)
    sources.misclosure_rule(sources.default("survey.rule").word)


def test_default_fittings_are_in_the_table() -> None:
    assert sources.default_fittings() == (("entrance", 1), ("short elbow", 4), ("swing check", 1), ("gate", 1))
    total = sum(sources.fitting(kind).k * count for kind, count in sources.default_fittings())
    assert total == pytest.approx(0.5 + 4 * 0.9 + 2.5 + 0.2)  # EPANET 2.2 User Manual, table 3.3 (seen)


def test_dangers_are_stops_and_marked_for_people() -> None:
    for name in ("dig.protect_depth", "dig.side", "dig.engineer_depth", "lift.share", "footing.clearance"):
        limit = sources.limit(name)
        assert limit.people, name
        assert limit.severity == "stop", name
    for name in ("rim.freeboard", "bank.freeboard", "upturn.freeboard", "lap.run", "berm.embankment"):
        assert sources.limit(name).severity == "stop", name


def test_importing_the_layer_reads_no_file() -> None:
    code = (
        "import sys, rillwright.units; opened = []\n"
        "sys.addaudithook(lambda event, args: opened.append(str(args[0])) if event == 'open' else None)\n"
        "import rillwright.sources\n"
        "print([name for name in opened if name.endswith(('.toml', '.csv'))])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": str(_DATA.parents[1])},
    )
    assert run.stdout.strip() == "[]"
