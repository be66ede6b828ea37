"""`rillwright check`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from rillwright.job import Job, Judged
    from rillwright.progress import Progress


@click.command()
@click.argument("job_path", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
@click.option("--all", "all_of_them", is_flag=True, help="Print every finding in full.")
@click.option(
    "--full",
    is_flag=True,
    help="Follow starts, stops and faults over time as well, and draw how often a rim spills: some seconds.",
)
@click.option("--write-ids", is_flag=True, help="Write an id into the file for every element that has none.")
def check(job_path: Path, as_json: bool, all_of_them: bool, full: bool, write_ids: bool) -> int:
    """Judge FILE, a feature file or a job folder. Exit 0 without a stop, 1 with one, 2 if it cannot be used."""
    from rillwright import job

    opened = job.open(job_path)
    if write_ids:
        opened = job.save(opened)
    judged = job.judge(opened, tier="full", progress=_saying()) if full else job.judge(opened)
    if as_json:
        import json

        click.echo(json.dumps(job.to_json(judged), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        click.echo(_told(opened, judged, all_of_them=all_of_them, full=full))
    return int(any(finding.severity.value == "stop" for finding in judged.findings))


def _saying() -> Progress:
    """How far it is, on one line of a terminal; nothing where nobody looks."""
    from rillwright.progress import silent

    if not sys.stderr.isatty():
        return silent

    def say(share: float, doing: str) -> bool:
        line = f"{share:>4.0%}  {doing}"
        click.echo("\r" + (line[:60].ljust(60) if share < 1.0 else " " * 60 + "\r"), nl=False, err=True)
        return True

    return say


def _told(opened: Job, judged: Judged, *, all_of_them: bool, full: bool) -> str:
    from rillwright.cli.telling import say_findings, say_odds, wrapped
    from rillwright.job import checked_against, key_numbers

    feature = opened.feature
    blocks = [feature.name + (" (invented)" if feature.scenario else "")]
    rows = key_numbers(judged)
    wide = max(len(row.label) for row in rows)
    blocks.append("\n".join(f"{row.label:<{wide}}  {row.value}" for row in rows))
    if getattr(judged.assessment.price, "invented", False):
        blocks.append(wrapped("Price and days come of an invented price book; your own prices.csv goes before it."))
    blocks.append(say_findings(judged, all_of_them=all_of_them))
    if full:
        blocks.append(say_odds(judged))
    count = len(judged.assessment.defaults_used)
    blocks.append(wrapped(f"{count} values were taken from defaults; the packet and --json list each of them."))
    blocks.append(wrapped(checked_against(opened, judged)))
    return "\n\n".join(blocks)
