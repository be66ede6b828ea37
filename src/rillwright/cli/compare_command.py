"""`rillwright compare`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from rillwright.job import Compared, KeyTable


@click.command()
@click.argument("job_paths", metavar="A B [C ...]", nargs=-1, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
@click.option("--order", type=click.Path(path_type=Path), help="Write the change order from A to B as this PDF.")
@click.option("--date", default="", help="The date on the change order; else today's.")
@click.option("--asked-by", default="", help="Who asked for the change, for the order.")
@click.option("--why", default="", help="Why, for the order.")
@click.option("--force", is_flag=True, help="Write over a change order that is there already.")
def compare(
    job_paths: tuple[Path, ...],
    as_json: bool,
    order: Path | None,
    date: str,
    asked_by: str,
    why: str,
    force: bool,
) -> int:
    """Compare job folders or feature files: what changed from A to B, worst first; more of them side by side.

    Exit 0, 1 where something says stop that did not before, 2 if one of them cannot be used.
    """
    from rillwright import job

    if order is not None and len(job_paths) != 2:
        raise click.UsageError("a change order goes from one job to one other: give two")
    found = job.compare_jobs(job_paths)
    if as_json:
        import json

        click.echo(json.dumps(found.as_json(), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        click.echo(_told(found))
    if order is not None:
        import datetime

        date = date or datetime.date.today().isoformat()
        made = job.order_paper(found, order, date=date, asked_by=asked_by, why=why, over=force)
        click.echo(f"{made} is written.", err=as_json)
    return int(any(changes.stops for changes in found.changes))


def _told(found: Compared) -> str:
    """Two states: what changed, then the figures. More: the figures, then the worst of each against the first."""
    from rillwright.cli.telling import say_changes

    first, *others = found.names
    blocks = []
    for name, changes in zip(others, found.changes, strict=True):
        blocks.append(f"From {first} to {name}:\n\n{say_changes(changes, most=None if len(others) == 1 else 3)}")
    return "\n\n".join([*blocks, _table(found.table)] if len(others) == 1 else [_table(found.table), *blocks])


def _table(table: KeyTable) -> str:
    """A column for each; under a letter where the names are too long; a block for each where the terminal is narrow."""
    from rillwright.cli.telling import WIDTH
    from rillwright.job import key_value
    from rillwright.units import style_for

    styles = [style_for(system) for system in table.systems]
    names = list(table.names)
    rows = [(row.text, [key_value(row, at, style) for at, style in enumerate(styles)]) for row in table.rows]
    label = max(len(text) for text, _ in rows)
    letters = [chr(ord("A") + at) for at in range(len(names))]
    for heads in (names, letters):
        wide = [max(len(values[at]) for _, values in (("", heads), *rows)) for at in range(len(styles))]
        if label + sum(wide) + 2 * len(wide) <= WIDTH:
            told = [] if heads is names else [f"{letter}: {name}" for letter, name in zip(letters, names, strict=True)]
            told += [
                f"{text:<{label}}  " + "  ".join(f"{value:>{wide[at]}}" for at, value in enumerate(values))
                for text, values in (("", heads), *rows)
            ]
            return "\n".join(told)
    return "\n\n".join(
        "\n".join([name, *(f"  {text:<{label}}  {values[at]}" for text, values in rows)])
        for at, name in enumerate(table.names)
    )
