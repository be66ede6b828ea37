"""`rillwright demo`."""

from __future__ import annotations

from pathlib import Path

import click

FIRST_EXAMPLE = "weavers-court"


@click.command()
@click.option("--example", default=FIRST_EXAMPLE, show_default=True, help="Which of the invented examples.")
@click.option("--to", "folder", type=click.Path(path_type=Path), help="A new folder; else rillwright-demo here.")
def demo(example: str, folder: Path | None) -> None:
    """Run the main job on an invented example, from reading its level book to the papers, and say where they lie."""
    import datetime

    from rillwright import job
    from rillwright.cli.telling import Bar, free_folder, say_findings

    bar = Bar()
    opened, judged, made = job.demo(
        folder or free_folder("rillwright-demo"), example=example, date=datetime.date.today().isoformat(), progress=bar
    )
    bar.done()
    click.echo(f"{opened.feature.name}: an invented example, copied to {opened.path.parent}\n")
    click.echo(say_findings(judged, all_of_them=False))
    click.echo(f"\nThe papers lie in {made.pdf}: open them first.")
    click.echo(f"Then change {opened.path} and run: rillwright check {opened.path.parent}")
