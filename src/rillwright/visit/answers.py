"""The answers of a first visit, as typed, and what is wrong with them."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem, UnitError
from rillwright.feature import DEEPEST_M, LONGEST_M
from rillwright.units import RODS, parse, rod_reading, show_rod
from rillwright.visit.extras import own_machine
from rillwright.visit.questions import LOOKS, QUESTIONS, SAME, STREAM, Question

LONGEST_NAME = 200
LONGEST_NOTES = 1_000  # characters; of what was seen, not of what was said about it
MOST_FALLS = 12
LEAST_M = 0.025  # of what is built; what is less was meant in another unit
TALLEST_M = 10.0  # of any rod, and of a waterline below its paving
_RODS = ", ".join(RODS)
_WHICH_ROD = "a reading without its unit: which rod was read?"


class Taken(Struct, frozen=True, kw_only=True):
    """A question that was not answered, what is taken in its place, and the field of the file where it is changed."""

    words: str
    value: str
    field: str


class Answers(Struct, frozen=True, kw_only=True):
    """What was answered, as typed; an empty one was not, and its default is taken.

    `rod` is ft-in, tenths, inches or metric, `units` us or metric; both are taken from the readings where they say it.
    """

    benchmark_reading: str = ""
    paving_reading: str = ""
    head_reading: str = ""
    lowest_reading: str = ""
    pond_length: str = ""
    pond_width: str = ""
    pond_depth: str = ""
    stream_length: str = ""
    stream_width: str = ""
    look: str = ""
    access_width: str = ""
    machine: str = ""
    waterline_below: str = ""
    pipe_run: str = ""
    soil: str = ""
    groundwater: str = ""
    held: str = ""
    own_machine: str = ""
    power_distance: str = ""
    power_protected: str = ""
    photo: str = ""
    notes: str = ""
    units: str = ""
    rod: str = ""
    name: str = "First visit"

    def typed(self, key: str) -> str:
        """An answer without the blanks around it; empty where there is none."""
        return str(getattr(self, key)).strip()

    def used(self, key: str) -> str:
        """The answer, or what is taken in its place; empty where nothing can be."""
        return self.typed(key) or _QUESTION[key].default(self.system) or ""

    def chosen(self, key: str) -> str:
        """Of listed words the one that was meant, spelt as it is listed; else as it was typed."""
        listed = {word.lower(): word for word in _QUESTION[key].allowed().split(", ")}
        return listed.get(self.used(key).lower(), self.used(key))

    def taken(self) -> tuple[Taken, ...]:
        """Which of the nine was not answered, what is taken in its place, and where it stands in the file."""
        said = {one.key for one in QUESTIONS if one.optional or self.typed(one.key) or not self.used(one.key)}
        said |= {"machine"} if self.typed("own_machine") else set()
        return tuple(
            Taken(words=one.key.replace("_", " "), value=_TAKEN.get(used, used), field=one.field)
            for one in QUESTIONS
            if one.key not in said and (used := self.used(one.key))
        )

    @property
    def rod_read(self) -> str:
        """The rod: as answered, else as the readings say; empty where they do not."""
        if self.rod:
            return self.rod
        if self.units == "metric":
            return "metric"
        readings = (self.typed(question.key) for question in QUESTIONS if question.kind == "reading")
        return next((rod for typed in readings if (rod := rod_of(typed))), "")

    @property
    def system(self) -> str:
        """How papers print: as answered, else as the rod reads."""
        return self.units or ("metric" if self.rod_read == "metric" else "us")

    @property
    def benchmark_is_paving(self) -> bool:
        return self.used("paving_reading").lower() == SAME

    def reading_m(self, key: str) -> float:
        """A rod reading [m]; the paving's is the benchmark's where they are the same. Raises UnitError."""
        same = key == "paving_reading" and self.benchmark_is_paving
        return rod_reading(self.typed("benchmark_reading" if same else key), self.rod_read).si

    def length_m(self, key: str) -> float:
        """A length as answered or taken [m]. Raises UnitError."""
        return parse(self.used(key), "length").si

    def character(self) -> tuple[str, int | None]:
        """The look and, where a number was answered, how many falls."""
        said = self.used("look").lower()
        return ("lively", int(said)) if said.isascii() and said.isdigit() else (said, None)


_TAKEN = {SAME: "the benchmark's", STREAM: "the stream and 20 %"}
_QUESTION = {question.key: question for question in QUESTIONS}


def rod_of(reading: str) -> str:
    """The rod that a reading with its unit was read on; empty where it does not say."""
    try:
        parse(reading, "length")
    except UnitError:
        return ""
    for rod in ("ft-in", "tenths", "metric"):
        try:
            rod_reading(reading, rod)
        except UnitError:
            continue
        return rod
    return ""


def as_tenths(answers: Answers) -> str:
    """What is to be said where the rod was taken to be one in tenths because the first reading reads like that.

    5.7' is 5 ft 8 3/8 in on such a rod; who read 5 ft 7 in on another one has to see it.
    """
    if answers.rod or answers.rod_read != "tenths":
        return ""
    typed = next(said for one in QUESTIONS if one.kind == "reading" and rod_of(said := answers.typed(one.key)))
    read = show_rod(rod_reading(typed, "tenths").si, "ft-in").replace("' ", " ft ").replace('"', " in")
    return f"{typed} is taken as tenths of a foot: {read}. If the rod is in inches, say feet and inches: 5 ft 7 in."


def check(answers: Answers) -> None:
    """Every answer can be used.

    Raises
    ------
    InputError
        Naming every answer that cannot.
    """
    problems = [problem for key, words in _SAID.items() if (problem := _said(answers, key, words)) is not None]
    name = answers.typed("name")
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        allowed = f"1 to {LONGEST_NAME} characters, all of them printable"
        problems.append(Problem(message="not a name that can be printed", field="name", allowed=allowed))
    if not problems:
        problems += [problem for question in QUESTIONS if (problem := refused(answers, question.key)) is not None]
    if problems:
        raise InputError(problems)


_SAID = {"units": ("us", "metric"), "rod": tuple(RODS)}


def _said(answers: Answers, key: str, words: tuple[str, ...]) -> Problem | None:
    said = str(getattr(answers, key))
    if not said or said in words:
        return None
    return Problem(message="is not known", field=key, found=repr(said[:60]), allowed=", ".join(words))


def refused(answers: Answers, key: str) -> Problem | None:
    """Why the answer of that key cannot be used; None if it can. `rod` and `units` are taken to be usable."""
    question = _QUESTION[key]
    if not answers.typed(key) and question.taken is None:
        return Problem(message="is missing", field=key, allowed=question.hint)
    try:
        _try(answers, question)
    except InputError as error:
        problem = error.problems[0]
        return replace(problem, field=key, found=problem.found or repr(answers.used(key)[:60]))
    return None


def _try(answers: Answers, question: Question) -> None:
    key, used = question.key, answers.used(question.key)
    if question.optional and not used:
        return
    if question.kind == "reading":
        _try_reading(answers, key)
    elif question.kind == "length":
        if not (key == "pipe_run" and used.lower() == STREAM):
            _try_length(parse(used, "length").si, key)
    elif question.kind == "own machine":
        own_machine(used)
    elif question.kind == "photo":
        return  # what it holds is looked at by who opens it
    elif question.kind == "notes":
        _try_notes(used)
    elif question.kind == "look":
        look, falls = answers.character()
        if look not in LOOKS or (falls is not None and not 1 <= falls <= MOST_FALLS):
            raise InputError(Problem(message="is no look", allowed=question.allowed()))
    elif used.lower() not in question.allowed().lower().split(", "):
        raise InputError(Problem(message=f"is not a listed {question.kind}", allowed=question.allowed()))


def _try_notes(typed: str) -> None:
    if len(typed) > LONGEST_NOTES:
        allowed = f"up to {LONGEST_NOTES:,} characters"
        raise InputError(Problem(message="too long", found=f"{len(typed):,} characters", allowed=allowed))
    strange = next((letter for letter in typed if not letter.isprintable() and letter not in "\n\t"), "")
    if strange:
        raise InputError(Problem(message="holds what cannot be printed", found=repr(strange)))


def _try_length(length_m: float, key: str) -> None:
    below = key in ("waterline_below", "groundwater")
    longest = DEEPEST_M if key == "pond_depth" else LONGEST_M
    low, high = (0.0, TALLEST_M) if below else (LEAST_M, longest)
    if not low <= length_m <= high or length_m == 0.0:
        allowed = f"{'more than 0' if below else f'{1000 * low:g} mm'} to {high:g} m"
        raise InputError(Problem(message="not a length that is built", allowed=allowed))


def _try_reading(answers: Answers, key: str) -> None:
    if key == "paving_reading" and answers.benchmark_is_paving:
        return
    if not answers.rod_read:
        typed = answers.typed(key)
        rod_reading(typed, "tenths")  # no number at all is another fault than a number without its rod
        raise InputError(Problem(message=_WHICH_ROD, found=typed, allowed=f"its unit beside it, or a rod: {_RODS}"))
    if abs(answers.reading_m(key)) > TALLEST_M:
        raise InputError(Problem(message="taller than any rod", allowed=f"up to {TALLEST_M:g} m"))
