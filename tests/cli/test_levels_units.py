"""A level book is told in the units of its rod: one unit in a column, no millimetre lost, a loop by the inch."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from rillwright.cli.program import program

US = """\
point,surface,backsight,intermediate,foresight,rod,note
benchmark,mark,4 ft 2 in,,,ft-in,
tp,mark,5 ft 1 in,,4 ft 9 1/4 in,,
benchmark,mark,,,4 ft 5 1/4 in,,
"""
METRIC = """\
point,surface,backsight,intermediate,foresight,rod,note
benchmark,mark,1.900,,,metric,
head,ground,,0.359,,,
low,ground,,2.031,,,
tp,mark,1.500,,1.200,,
benchmark,mark,,,2.198,,
"""


@pytest.mark.parametrize(
    ("book", "told", "never"),
    [
        (US, ["DOES NOT CLOSE, 1/2 in high, 5/32 in allowed"], "mm"),
        (METRIC, ["1.540 m", "-0.132 m", "2.0 mm high"], " in "),
    ],
    ids=["us", "metric"],
)
def test_levels_are_told_in_the_units_of_the_rod(book: str, told: list[str], never: str, tmp_path: Path) -> None:
    """Half an inch: 4' 2" + 5' 1" less 4' 9 1/4" and 4' 5 1/4" is 1/2"; 1.900 + 1.500 - 1.200 - 2.198 m is
    2 mm, half of it taken off each set-up: 1.900 - 0.359 - 0.001 and 1.900 - 2.031 - 0.001 m."""
    file = tmp_path / "book.csv"
    file.write_text(book, encoding="utf-8")
    found = CliRunner().invoke(program, ["levels", str(file)], standalone_mode=False)
    assert found.exception is None
    for words in told:
        assert words in found.output
    (loop,) = [line for line in found.output.splitlines() if line.startswith("Loop")]
    assert never not in loop
