"""`rillwright undo`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--who", default="", help="Who takes it back.")
def undo(folder: Path, who: str) -> None:
    """Take back the last step of a job: what was saved last, or the last reading.

    A reading is never taken out of shots.csv: a row withdraws it. What was taken back is said.
    """
    from rillwright import job
    from rillwright.cli.telling import say_changes, wrapped

    opened = job.open(folder)
    before = job.judge(opened)
    done = job.undo(opened, who=who)
    lines = [wrapped(note) for note in done.notes]
    lines += [wrapped(f"Taken back: {done.what}"), "", say_changes(job.compare(before, job.judge(done.job)))]
    click.echo("\n".join(lines))
