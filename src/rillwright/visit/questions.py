"""The questions of a first visit: so that a command and a screen ask the same."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from rillwright.sources import default, machines, soils

SAME = "same"
STREAM = "stream"
BY_HAND = "by hand"
LOOKS = ("quiet", "lively", "loud")
YES_OR_NO = ("yes", "no")
HELD = ("while running", "at rest")
Kind = Literal[
    "reading", "length", "look", "machine", "soil", "way of holding", "yes or no", "own machine", "photo", "notes"
]


class Question(Struct, frozen=True):
    """One question: key of its answer, the question in plain words, its kind, and a hint on what may be typed.

    `taken` is what is taken without an answer: a word, or the name of a default in `sources`; None where it must be
    answered. `field` is where the answer stands in the feature file, or in the book.
    """

    key: str
    words: str
    kind: Kind
    taken: str | None
    hint: str
    field: str
    optional: bool = False

    @property
    def number(self) -> int | None:
        """Which of the nine it is, or a part of; None for what is optional."""
        return next((count for count, keys in enumerate(NINE, start=1) if self.key in keys), None)

    @property
    def touched(self) -> str:
        """The question where words are touched: without what a keyboard would have to type."""
        return self.words.partition(" (")[0]

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
        listed = {"soil": [row.key for row in soils()], "way of holding": HELD, "yes or no": YES_OR_NO}
        return ", ".join(listed.get(self.kind, ()))


NINE = (
    ("benchmark_reading", "paving_reading"),
    ("head_reading",),
    ("lowest_reading",),
    ("pond_length", "pond_width", "pond_depth"),
    ("stream_length", "stream_width"),
    ("look",),
    ("access_width", "machine"),
    ("waterline_below",),
    ("pipe_run",),
)
_READ = "as the rod reads: 4' 7 3/8\", 4.61 ft, 1.406 m"
_LONG = "12 ft, 3' 6\", 3.6 m"
_BOOK = "books/visit.csv"

QUESTIONS = (
    Question("benchmark_reading", "Rod reading on the benchmark", "reading", None, _READ, _BOOK),
    Question(
        "paving_reading",
        "Rod reading on the paving ('same' if the benchmark is the paving)",
        "reading",
        SAME,
        _READ,
        "marks",
    ),
    Question("head_reading", "Rod reading at the stream head", "reading", None, _READ, _BOOK),
    Question("lowest_reading", "Rod reading at the lowest ground round the pond", "reading", None, _READ, _BOOK),
    Question("pond_length", "Length of the pond", "length", "pond.length", _LONG, "pond.outline"),
    Question("pond_width", "Width of the pond", "length", "pond.width", _LONG, "pond.outline"),
    Question("pond_depth", "Depth of the pond, from the water down", "length", "pond.depth", _LONG, "pond.depth"),
    Question("stream_length", "Length of the stream", "length", "stream.length", _LONG, "stream.course"),
    Question("stream_width", "Width of the stream", "length", "stream.width", _LONG, "stream.width"),
    Question(
        "look", "Quiet, lively or loud, or a number of falls", "look", "look.default", "lively, or 3", "stream.look"
    ),
    Question("access_width", "Width of the access", "length", "site.access_width", _LONG, "site.access"),
    Question("machine", "Machine", "machine", "small loader", "a listed one, or by hand", "site.access"),
    Question(
        "waterline_below",
        "Waterline below the paving",
        "length",
        "pond.waterline_below_paving",
        "4 in, 100 mm",
        "pond.waterline",
    ),
    Question(
        "pipe_run",
        "Pipe run ('stream' for the stream's length and a fifth more)",
        "length",
        STREAM,
        "24 ft, 7.5 m",
        "run.length",
    ),
    Question("soil", "Soil", "soil", "site.soil", "a listed one", "site.soil", optional=True),
    Question(
        "groundwater", "Groundwater below the paving", "length", "", "5 ft, 1.5 m", "site.groundwater", optional=True
    ),
    Question(
        "held", "The pond is topped up", "way of holding", "pond.holding", "a listed one", "pond.held", optional=True
    ),
    Question(
        "own_machine",
        "A machine of your own: width, reach, lift at radius",
        "own machine",
        "",
        "3 ft, 9 ft, 600 lb at 6 ft, by its own chart",
        "site.access",
        optional=True,
    ),
    Question(
        "power_distance", "Power: how far from the pump", "length", "", "40 ft, 12 m", "site.power", optional=True
    ),
    Question(
        "power_protected",
        "Power: is its supply protected by a residual current device",
        "yes or no",
        "",
        "yes, no",
        "site.power",
        optional=True,
    ),
    Question(
        "photo", "A photo: its file", "photo", "", "JPEG, PNG, WebP or HEIC; it is copied", "photos", optional=True
    ),
    Question(
        "notes",
        "Notes: services, footings, neighbours, sight lines",
        "notes",
        "",
        "in your own words",
        "site.note",
        optional=True,
    ),
)
