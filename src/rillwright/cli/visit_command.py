"""`rillwright visit`."""

from __future__ import annotations

from pathlib import Path

import click

OPTIONS = (
    "benchmark_reading", "paving_reading", "head_reading", "lowest_reading", "pond_length", "pond_width", "pond_depth",
    "stream_length", "stream_width", "look", "access_width", "machine", "waterline_below", "pipe_run",
)  # fmt: skip


def _with_options(command: click.Command) -> click.Command:
    for key in OPTIONS:
        command.params.append(click.Option([f"--{key.replace('_', '-')}"], help="One of the nine answers."))
    return command


@click.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--units", type=click.Choice(["us", "metric"]), default="us", show_default=True, help="How papers print.")
@click.option("--rod", type=click.Choice(["ft-in", "tenths", "metric"]), help="The rod; else by the units.")
@click.option("--name", default="First visit", help="Name of the feature.")
@click.option("--ask/--no-ask", default=True, help="Ask what no option answers; else take the default.")
def _visit(out: Path, units: str, rod: str | None, name: str, ask: bool, **typed: str | None) -> None:
    """Answer nine questions, or give them as options, and get a job folder OUT with a page to leave behind."""
    import datetime

    from rillwright import job
    from rillwright.cli.telling import say_findings

    answers: dict[str, str] = {}
    for question in job.QUESTIONS:
        answer = typed.get(question.key)
        if answer is None and ask:
            answer = click.prompt(question.words, default=question.default)
        if answer is None:
            answer = question.default
        if answer is None:
            raise click.UsageError(f"--{question.key.replace('_', '-')} is missing: {question.words}")
        answers[question.key] = answer
    rod = rod or ("metric" if units == "metric" else "ft-in")
    given = job.Answers(units=units, rod=rod, name=name, **answers)
    done = job.visit(given, out, date=datetime.date.today().isoformat())
    for row in job.key_numbers(done.judged):
        click.echo(f"{row.label:<22}{row.value}  {row.note}".rstrip())
    click.echo("\n" + say_findings(done.judged, all_of_them=False))
    click.echo("\nThe prices are an invented example; put your own prices.csv beside the feature file.")
    click.echo(f"The page lies in {done.page}. Go on with {done.folder / 'feature.yaml'}.")


visit = _with_options(_visit)
visit.name = "visit"
