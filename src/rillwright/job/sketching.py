"""The one page of a visit as far as its answers reach, at each answer; nothing of it is kept."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import Judged
from rillwright.errors import InputError, NoAnswer, Problem
from rillwright.job.opening import Job, readings_of
from rillwright.job.visiting import settled
from rillwright.visit import QUESTIONS, Answers, Taken, as_tenths, refused, say_staircase

_MORE = ("units", "rod", "name")


class Sketch(Struct, frozen=True, kw_only=True):
    """What the answers come to so far. Without `missing` ones there is a page, however little it rests on.

    An answer that cannot be used is told in `problems` and left out; what is taken in its place is in `taken`.
    """

    problems: tuple[Problem, ...]
    missing: tuple[str, ...]
    job: Job | None
    judged: Judged | None
    staircase: str
    notes: tuple[str, ...]
    taken: tuple[Taken, ...]


def answers_of(typed: Mapping[str, str]) -> Answers:
    """The answers by their keys.

    Raises
    ------
    InputError
        Naming every key that is none, and a photo: a path on this machine is not taken from another one.
    """
    known = [*(question.key for question in QUESTIONS if question.key != "photo"), *_MORE]
    strange = [key for key in typed if key not in known]
    if strange:
        problems = [
            Problem(message="a photo is sent by itself, once the visit is kept as a job", field="photo")
            if key == "photo"
            else Problem(message="there is no such question", field=key[:60], allowed=", ".join(known))
            for key in strange
        ]
        raise InputError(problems)
    return Answers(**typed)


def sketch(answers: Answers) -> Sketch:
    """The page as far as the answers reach; incomplete ones and ones that cannot be used are allowed."""
    usable, problems = _usable(answers)
    missing = tuple(question.key for question in QUESTIONS if question.taken is None and not usable.typed(question.key))
    job = judged = None
    notes: tuple[str, ...] = (told,) if (told := as_tenths(usable) if not missing else "") else ()
    if not missing:
        try:
            with tempfile.TemporaryDirectory(prefix="rillwright-") as folder:
                job, judged, said = settled(usable, Path(folder))
            notes = (*notes, *said)
        except InputError as error:  # its files are not there any more, so they are not named
            problems += [replace(problem, file="", line=None, column=None) for problem in error.problems]
        except NoAnswer as stopped:
            problems.append(Problem(message=str(stopped)))
    return Sketch(
        problems=tuple(problems),
        missing=missing,
        job=job,
        judged=judged,
        staircase="" if judged is None else say_staircase(judged),
        notes=notes,
        taken=usable.taken() if judged is not None else (),
    )


def page_of(answers: Answers, *, date: str) -> bytes:
    """The one page of these answers as the bytes of a PDF; nothing is kept.

    Raises
    ------
    InputError
        If there is no page yet: naming what is missing, and every answer that cannot be used.
    """
    from rillwright.packet import visit_page

    done = sketch(answers)
    if done.job is None or done.judged is None:
        missing = [Problem(message="is missing", field=key) for key in done.missing]
        raise InputError([*done.problems, *missing])
    taken = [(each.words, each.value, each.field) for each in done.taken]
    return visit_page(done.judged, readings=readings_of(done.job), date=date, taken=taken)


def _usable(answers: Answers) -> tuple[Answers, list[Problem]]:
    """The answers without those that cannot be used, and why they cannot."""
    problems: list[Problem] = []
    for key, allowed in (("units", ("us", "metric")), ("rod", ("ft-in", "tenths", "inches", "metric"))):
        said = answers.typed(key)
        if said and said not in allowed:
            problems.append(
                Problem(message="is not known", field=key, found=repr(said[:60]), allowed=", ".join(allowed))
            )
            answers = replace(answers, **{key: ""})
    name = answers.typed("name")
    if not name or len(name) > 200 or not name.isprintable():
        if answers.name:
            problems.append(Problem(message="not a name that can be printed", field="name"))
        answers = replace(answers, name="First visit")
    for question in QUESTIONS:
        if answers.typed(question.key):
            problem = refused(answers, question.key)
            if problem is not None:
                problems.append(problem)
                answers = replace(answers, **{question.key: ""})
    return answers, problems
