"""The questions of a first visit: so that a command and a screen ask the same."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rillwright.sources import default, machines, soils

SAME = "same"
STREAM = "stream"
BY_HAND = "by hand"
LOOKS = ("quiet", "lively", "loud")
Kind = Literal["reading", "length", "look", "machine", "soil"]


@dataclass(frozen=True, slots=True)
class Question:
    """One question: key of its answer, the question in plain words, its kind, and a hint on what may be typed.

    `taken` is what is taken without an answer: a word, or the name of a default in `sources`; None where it must be
    answered.
    """

    key: str
    words: str
    kind: Kind
    taken: str | None
    hint: str
    optional: bool = False

    def default(self, units: str) -> str | None:
        """What is taken without an answer, as a person with `us` or `metric` units would type it."""
        if self.taken is None or "." not in self.taken:
            return self.taken
        named = default(self.taken)
        if named.kind != "length" or units == "us":
            return named.typed
        rounded = 100 if named.number >= 0.5 else 10
        millimetres = round(named.number * 1000 / rounded) * rounded
        return f"{millimetres / 1000:g} m" if millimetres >= 1000 else f"{millimetres} mm"

    def allowed(self) -> str:
        """The words that may be answered; empty where it is a quantity."""
        if self.kind == "look":
            return "quiet, lively, loud, or a number of falls from 1 to 12"
        if self.kind == "machine":
            return ", ".join([*(row.name for row in machines()), BY_HAND])
        return ", ".join(row.key for row in soils()) if self.kind == "soil" else ""


_READ = "as the rod reads: 4' 7 3/8\", 4.61 ft, 1.406 m"
_LONG = "12 ft, 3' 6\", 3.6 m"

QUESTIONS = (
    Question("benchmark_reading", "Rod reading on the benchmark", "reading", None, _READ),
    Question(
        "paving_reading", "Rod reading on the paving ('same' if the benchmark is the paving)", "reading", SAME, _READ
    ),
    Question("head_reading", "Rod reading at the stream head", "reading", None, _READ),
    Question("lowest_reading", "Rod reading at the lowest ground round the pond", "reading", None, _READ),
    Question("pond_length", "Length of the pond", "length", "pond.length", _LONG),
    Question("pond_width", "Width of the pond", "length", "pond.width", _LONG),
    Question("pond_depth", "Depth of the pond, from the water down", "length", "pond.depth", _LONG),
    Question("stream_length", "Length of the stream", "length", "stream.length", _LONG),
    Question("stream_width", "Width of the stream", "length", "stream.width", _LONG),
    Question("look", "Quiet, lively or loud, or a number of falls", "look", "look.default", "lively, or 3"),
    Question("access_width", "Width of the access", "length", "site.access_width", _LONG),
    Question("machine", "Machine", "machine", "small loader", "a listed one, or by hand"),
    Question("waterline_below", "Waterline below the paving", "length", "pond.waterline_below_paving", "4 in, 100 mm"),
    Question(
        "pipe_run", "Pipe run ('stream' for the stream's length and a fifth more)", "length", STREAM, "24 ft, 7.5 m"
    ),
    Question("soil", "Soil", "soil", "site.soil", "a listed one", optional=True),
    Question("groundwater", "Groundwater below the paving", "length", "", "5 ft, 1.5 m", optional=True),
)
