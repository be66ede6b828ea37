"""`rillwright new`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--units", type=click.Choice(["us", "metric"]), default="us", show_default=True, help="How papers print.")
@click.option("--name", help="Name of the feature; else the folder's.")
def new(folder: Path, units: str, name: str | None) -> None:
    """Write a commented feature file into FOLDER, to go on with."""
    from rillwright import job

    file = job.new(folder, units=units, name=name)
    click.echo(f"{file} is written. Change it, then: rillwright check {folder}")
