"""`rillwright visit`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from rillwright.job import Answers, Question, Visited

# The questions as options; spelt out here, so that help needs nothing else of the house.
OPTIONS = {
    "benchmark_reading": "Rod reading on the benchmark.",
    "paving_reading": "Rod reading on the paving; 'same' if the benchmark is the paving.",
    "head_reading": "Rod reading at the stream head.",
    "lowest_reading": "Rod reading at the lowest ground round the pond.",
    "pond_length": "Length of the pond, an oval.",
    "pond_width": "Width of the pond.",
    "pond_depth": "Depth of the pond, from the water down.",
    "stream_length": "Length of the stream.",
    "stream_width": "Width of the stream.",
    "look": "quiet, lively, loud, or a number of falls.",
    "access_width": "Width of the access.",
    "machine": "A listed machine, or by hand.",
    "waterline_below": "Waterline below the paving.",
    "pipe_run": "Length of the pipe; 'stream' for the stream's length and a fifth more.",
    "soil": "Soil, a listed one. This and what follows is optional.",
    "groundwater": "Groundwater below the paving.",
    "held": "When the pond is topped up: 'while running' or 'at rest'.",
    "own_machine": "A machine of your own: width, reach, lift at radius: '3 ft, 9 ft, 600 lb at 6 ft'.",
    "power_distance": "How far power stands from the pump.",
    "power_protected": "Whether its supply is protected by a residual current device: yes or no.",
    "photo": "A picture file (JPEG, PNG, WebP, HEIC); a copy of it is kept under files/.",
    "notes": "What you saw: services, footings, neighbours, sight lines, in your own words.",
}
_FIRST_OPTIONAL = "soil"


def _with_options(command: click.Command) -> click.Command:
    options = [click.Option([f"--{key.replace('_', '-')}"], help=words) for key, words in OPTIONS.items()]
    command.params[1:1] = options
    return command


@click.command("visit")
@click.argument("out", required=False, type=click.Path(path_type=Path))
@click.option("--units", type=click.Choice(["us", "metric"]), help="How papers print; else as the rod reads.")
@click.option(
    "--rod", type=click.Choice(["ft-in", "tenths", "inches", "metric"]), help="The rod; else as the readings say."
)
@click.option("--name", default="First visit", show_default=True, help="Name of the feature.")
@click.option("--ask/--no-ask", default=True, help="Ask what no option answers; else take its default.")
def _visit(out: Path | None, units: str | None, rod: str | None, name: str, ask: bool, **typed: str | None) -> None:
    """Answer nine questions, or give the answers as options, and get a job folder OUT with its one page."""
    import datetime

    from rillwright import job
    from rillwright.cli.telling import free_folder

    given = {key: answer for key, answer in typed.items() if answer is not None}
    answers = job.Answers(units=units or "", rod=rod or "", name=name, **given)
    folder = out or free_folder("first-visit")
    job.refuse_taken(folder)  # before anything is asked, so that no answer is lost
    said = ""
    for question in job.QUESTIONS if ask else ():
        if question.key == _FIRST_OPTIONAL:
            click.echo("If you know more; Enter skips:")
        answers = _answered(answers, question)
        said = _say_tenths(answers, said)
    done = job.visit(answers, folder, date=datetime.date.today().isoformat())
    _say_tenths(answers, said)
    click.echo(_told(done))


def _say_tenths(answers: Answers, said: str) -> str:
    """Say once that a reading was taken as tenths of a foot; returns what was said."""
    from rillwright import job

    told = job.as_tenths(answers)
    if told and told != said:
        click.echo(told)
    return told


def _answered(answers: Answers, question: Question) -> Answers:
    """The answers with this one usable: as an option gave it, else asked for until it is."""
    from msgspec.structs import replace

    from rillwright import job

    while True:
        if answers.typed(question.key):
            answers = _with_rod(answers, question)
            problem = job.refused(answers, question.key)
            if problem is None:
                return answers
            click.echo(str(replace(problem, field="")), err=True)
        taken = question.default(answers.system)
        number = f"{question.number} of 9  " if question.number else ""
        words = f"{number}{question.words} ({question.allowed() or question.hint})"
        default = "" if question.optional else taken
        asked = str(click.prompt(words, default=default, type=str, show_default=not question.optional)).strip()
        if asked in ("", taken):
            return replace(answers, **{question.key: ""})
        answers = replace(answers, **{question.key: asked})


def _with_rod(answers: Answers, question: Question) -> Answers:
    """With the rod asked for, where a reading comes without its unit and could be of more than one."""
    from msgspec.structs import replace

    from rillwright import job

    if question.kind != "reading" or answers.rod_read:
        return answers
    rods = ("tenths", "inches", "metric")
    could = [rod for rod in rods if job.refused(replace(answers, rod=rod), question.key) is None]
    if not could:
        return answers
    asked = f"{answers.typed(question.key)} has no unit. Which rod was read"
    return replace(answers, rod=click.prompt(asked, type=click.Choice(could)))


def _told(done: Visited) -> str:
    """The one page as plain text, and where the files lie."""
    from rillwright.cli.telling import say_findings, wrapped
    from rillwright.job import checked_against, key_numbers

    rows = key_numbers(done.judged)
    wide = max(len(row.label) for row in rows)
    numbers = [f"{row.label:<{wide}}  {row.value}" + (f"  ({row.note})" if row.note else "") for row in rows]
    file = done.folder / "feature.yaml"
    count = len(done.judged.assessment.defaults_used)
    return "\n\n".join(
        [
            done.job.feature.name,
            *(wrapped(note) for note in done.notes),
            wrapped(done.staircase),
            "\n".join(numbers),
            say_findings(done.judged, all_of_them=False, visit=True),
            wrapped(checked_against(done.job, done.judged)),
            *([wrapped(f"Not answered, and taken: {_taken(done)}.")] if done.taken else []),
            wrapped(
                f"{count} more values were taken where nothing was said; the page lists them. To change one, type its "
                f"line in {file}, then: rillwright check {done.folder}. A prices.csv of your own beside it takes the "
                "place of the invented price book."
            ),
            *([f"The photo lies in {done.photo}."] if done.photo else []),
            f"The page lies in {done.page}, what was typed in {file} and {done.folder / 'books' / 'visit.csv'}.",
        ]
    )


def _taken(done: Visited) -> str:
    return "; ".join(f"{each.words}: {each.value} ({each.field})" for each in done.taken)


visit = _with_options(_visit)
