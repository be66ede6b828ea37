"""What is asked: a height budget, what a drop and a bed may be, what is wished for, and what is built already."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.fit.reading import Reader

Unit = Literal["1/16 in", "1 mm"]
Kind = Literal["ripple", "fall"]
Character = Literal["quiet", "lively", "loud"]

UNITS: tuple[Unit, ...] = ("1/16 in", "1 mm")
KINDS: tuple[Kind, ...] = ("ripple", "fall")
CHARACTERS: tuple[Character, ...] = ("quiet", "lively", "loud")
MOST_DROPS = 40


class Span(NamedTuple):
    """From `low` to `high`, both allowed."""

    low: int
    high: int


_ONE_TO_TWELVE = Span(1, 12)


class Bed(Struct, frozen=True, kw_only=True):
    """One bed above its drop: its length if known, and the pitch that it may have over that whole length."""

    length: int | None = None
    pitch: Span | None = None  # None: by the grade if there is one and a length, else the problem's pitch


class Built(Struct, frozen=True, kw_only=True):
    """A bed that exists with the pitch it has, and its drop, or None where the drop below it is still to be made."""

    pitch: int
    drop: int | None


class Wish(Struct, frozen=True, kw_only=True):
    """A drop that somebody wants: the position counted from the head (1, 2, ...) or 'last', a span, a kind."""

    at: int | Literal["last"]
    drop: Span | None = None
    kind: Kind | None = None


class FitProblem(Struct, frozen=True, kw_only=True):
    """The question, whole: every length is an integer count of `unit`. Start from `standard_problem`."""

    unit: Unit
    height: int  # bed at the stream head less the held water
    step: int  # the marking step: new drops are multiples of it
    pitch_step: int
    pitch: Span  # what a bed may pitch down, unless it says otherwise
    ripple: Span
    fall: Span
    lively_fall: int  # the height that lively falls come near to
    grade: Span | None = None  # pitch in thousandths of the length, for beds with a length and no pitch of their own
    beds: tuple[Bed, ...] = ()
    built: tuple[Built, ...] = ()
    wishes: tuple[Wish, ...] = ()
    drops: Span = _ONE_TO_TWELVE  # how many
    least_last: int = 0  # of the last fall as it is seen
    spill_stone: int = 0  # thickness of the spill stones above their beds
    running_below_held: int = 0  # held level less running level of the pond
    most_left: int | None = None  # the most that may be left over; None: any
    character: Character = "lively"

    @property
    def last_adds(self) -> int:
        """What the last fall is seen higher than its drop from bed to held water."""
        return self.spill_stone + self.running_below_held

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> FitProblem:
        """The problem that a JSON object states; what it leaves out is as in `standard_problem`.

        Raises
        ------
        InputError
            Naming every field that is unknown, missing or of the wrong kind.
        """
        reader = Reader(data)
        unit = reader.choice("unit", UNITS, default="1/16 in", needed=True)
        found = _read(reader, standard_problem(unit, height=reader.whole("height", 0, needed=True)))
        reader.close()
        return found

    def to_json(self) -> dict[str, Any]:
        """The problem as a JSON object with every field written out."""
        return {
            "unit": self.unit,
            "height": self.height,
            "step": self.step,
            "pitch_step": self.pitch_step,
            "pitch": list(self.pitch),
            "ripple": list(self.ripple),
            "fall": list(self.fall),
            "lively_fall": self.lively_fall,
            "grade": _span_json(self.grade),
            "beds": [{"length": bed.length, "pitch": _span_json(bed.pitch)} for bed in self.beds],
            "built": [{"pitch": built.pitch, "drop": built.drop} for built in self.built],
            "wishes": [{"at": w.at, "drop": _span_json(w.drop), "kind": w.kind} for w in self.wishes],
            "drops": list(self.drops),
            "least_last": self.least_last,
            "spill_stone": self.spill_stone,
            "running_below_held": self.running_below_held,
            "most_left": self.most_left,
            "character": self.character,
        }


def standard_problem(unit: Unit, *, height: int) -> FitProblem:
    """The problem with every default of its unit: common practice, no source; change it with `replace`."""
    if unit == "1/16 in":
        return FitProblem(
            unit=unit, height=height, step=8, pitch_step=4, pitch=Span(0, 16),
            ripple=Span(64, 80), fall=Span(88, 384), lively_fall=128,
        )  # fmt: skip
    if unit == "1 mm":
        return FitProblem(
            unit=unit, height=height, step=10, pitch_step=5, pitch=Span(0, 25),
            ripple=Span(100, 130), fall=Span(140, 600), lively_fall=200,
        )  # fmt: skip
    raise InputError(Problem(message="no such unit", field="unit", found=repr(unit), allowed=" | ".join(UNITS)))


def _span_json(span: Span | None) -> list[int] | None:
    return None if span is None else list(span)


def _read(reader: Reader, standard: FitProblem) -> FitProblem:
    return replace(
        standard,
        step=reader.whole("step", standard.step),
        pitch_step=reader.whole("pitch_step", standard.pitch_step),
        pitch=Span(*reader.span("pitch", standard.pitch)),
        ripple=Span(*reader.span("ripple", standard.ripple)),
        fall=Span(*reader.span("fall", standard.fall)),
        lively_fall=reader.whole("lively_fall", standard.lively_fall),
        grade=_maybe(reader.maybe_span("grade")),
        beds=tuple(_bed(part) for part in reader.parts("beds")),
        built=tuple(_built(part) for part in reader.parts("built")),
        wishes=tuple(_wish(part) for part in reader.parts("wishes")),
        drops=Span(*reader.span("drops", standard.drops)),
        least_last=reader.whole("least_last", standard.least_last),
        spill_stone=reader.whole("spill_stone", standard.spill_stone),
        running_below_held=reader.whole("running_below_held", standard.running_below_held),
        most_left=reader.maybe_whole("most_left"),
        character=reader.choice("character", CHARACTERS, default=standard.character),
    )


def _maybe(pair: tuple[int, int] | None) -> Span | None:
    return None if pair is None else Span(*pair)


def _bed(part: Reader) -> Bed:
    return Bed(length=part.maybe_whole("length"), pitch=_maybe(part.maybe_span("pitch")))


def _built(part: Reader) -> Built:
    return Built(pitch=part.whole("pitch", 0, needed=True), drop=part.maybe_whole("drop"))


def _wish(part: Reader) -> Wish:
    kind = part.choice("kind", KINDS, default="fall") if part.has("kind") else None
    return Wish(at=part.position("at"), drop=_maybe(part.maybe_span("drop")), kind=kind)
