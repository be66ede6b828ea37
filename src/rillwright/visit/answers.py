"""The nine questions of a first visit, and the answers as typed."""

from __future__ import annotations

from dataclasses import dataclass

from rillwright.errors import InputError, Problem
from rillwright.units import Quantity, parse, rod_reading


@dataclass(frozen=True, slots=True)
class Question:
    """One question: key of the answer, the question in plain words, its kind, and what is taken without an answer."""

    key: str
    words: str
    kind: str  # reading | length | look | text
    default: str | None


QUESTIONS = (
    Question("benchmark_reading", "Rod reading on the benchmark", "reading", None),
    Question("paving_reading", "Rod reading on the paving ('same' if the benchmark is the paving)", "reading", "same"),
    Question("head_reading", "Rod reading at the stream head", "reading", None),
    Question("lowest_reading", "Rod reading at the lowest ground round the pond", "reading", None),
    Question("pond_length", "Length of the pond", "length", "12 ft"),
    Question("pond_width", "Width of the pond", "length", "8 ft"),
    Question("pond_depth", "Depth of the pond", "length", "2 ft"),
    Question("stream_length", "Length of the stream", "length", "20 ft"),
    Question("stream_width", "Width of the stream", "length", "3 ft"),
    Question("look", "Quiet, lively or loud, or a number of falls", "look", "lively"),
    Question("access_width", "Width of the access", "length", "4 ft"),
    Question("machine", "Machine (small loader, mini excavator, midi excavator, by hand)", "text", "small loader"),
    Question("waterline_below", "Waterline below the paving", "length", "4 in"),
    Question("pipe_run", "Pipe run ('stream' for the stream's length and 20 %)", "length", "stream"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What was answered, as typed. `rod` is ft-in, tenths or metric; `units` us or metric."""

    benchmark_reading: str
    head_reading: str
    lowest_reading: str
    paving_reading: str = "same"
    pond_length: str = "12 ft"
    pond_width: str = "8 ft"
    pond_depth: str = "2 ft"
    stream_length: str = "20 ft"
    stream_width: str = "3 ft"
    look: str = "lively"
    access_width: str = "4 ft"
    machine: str = "small loader"
    waterline_below: str = "4 in"
    pipe_run: str = "stream"
    units: str = "us"
    rod: str = "ft-in"
    name: str = "First visit"

    def reading_m(self, key: str) -> float:
        """A rod reading [m]; the paving's is the benchmark's where they are the same."""
        typed = getattr(self, key)
        if key == "paving_reading" and typed.strip().lower() == "same":
            typed = self.benchmark_reading
        return rod_reading(typed, self.rod).si

    def length_m(self, key: str) -> float:
        """A length [m]."""
        return parse(getattr(self, key), "length").si

    def character(self) -> tuple[str, int | None]:
        """The look and, where a number was answered, how many falls."""
        typed = self.look.strip().lower()
        return ("lively", int(typed)) if typed.isdigit() else (typed, None)


def check(answers: Answers) -> None:
    """Every answer can be used.

    Raises
    ------
    InputError
        Naming every answer that cannot.
    """
    problems: list[Problem] = []
    for question in QUESTIONS:
        typed = getattr(answers, question.key)
        try:
            _one(answers, question, typed)
        except InputError as error:
            problem = error.problems[0]
            problems.append(Problem(message=problem.message, field=question.key, found=typed, allowed=problem.allowed))
    if problems:
        raise InputError(problems)


def _one(answers: Answers, question: Question, typed: str) -> None:
    if question.kind == "reading":
        answers.reading_m(question.key)
    elif question.kind == "length" and not (question.key == "pipe_run" and typed == "stream"):
        quantity: Quantity = parse(typed, "length")
        if quantity.si <= 0:
            raise InputError(Problem(message="must be more than nothing", allowed="a length above zero"))
    elif question.kind == "look":
        look, falls = answers.character()
        if look not in ("quiet", "lively", "loud") or (falls is not None and not 1 <= falls <= 12):
            raise InputError(Problem(message="is no look", allowed="quiet, lively, loud, or 1 to 12 falls"))
