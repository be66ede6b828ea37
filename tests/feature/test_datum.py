"""The datum is a mark that there is."""

from __future__ import annotations

import pytest

from rillwright.errors import InputError
from rillwright.feature import Document, complete

TEXT = """\
format: 1
name: Invented
datum: {datum}
marks:
  - {{id: pin, role: benchmark, level: 0 m}}
  - {{id: sill, role: benchmark, level: 0.2 m}}
pond: {{id: pond, outline: {{oval: [3 m, 2 m]}}, waterline: 0 m, depth: 0.6 m, intake: {{kind: skimmer}}}}
"""


def test_a_datum_that_is_no_mark_is_refused_with_the_marks_there_are() -> None:
    with pytest.raises(InputError) as found:
        complete(Document.read(TEXT.format(datum="nail"), file="feature.yaml"))
    (problem,) = found.value.problems
    assert (problem.field, problem.line, problem.found, problem.allowed) == ("datum", 3, "nail", "pin, sill")


def test_a_datum_that_is_a_mark_is_taken() -> None:
    assert complete(Document.read(TEXT.format(datum="sill"), file="feature.yaml")).datum == "sill"
