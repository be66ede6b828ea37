"""`rillwright packet`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("job_path", metavar="FILE", type=click.Path(path_type=Path))
@click.option("-o", "--out", type=click.Path(path_type=Path), help="The PDF; else packet.pdf beside the feature file.")
@click.option("--instrument", help="Today's height of instrument above the datum: the stakes then carry rod readings.")
@click.option("--rod", type=click.Choice(["ft-in", "tenths", "metric"]), default=None, help="Today's rod.")
@click.option("--date", default="", help="The date as it is to stand on the papers; else today's.")
@click.option("--tables/--no-tables", default=True, help="Write JSON and CSV beside the PDF.")
@click.option("--full", is_flag=True, help="Follow starts and stops over time, and print them: some seconds more.")
@click.option("--force", is_flag=True, help="Write over papers that are there already.")
def packet(
    job_path: Path,
    out: Path | None,
    instrument: str | None,
    rod: str | None,
    date: str,
    tables: bool,
    full: bool,
    force: bool,
) -> None:
    """Print the papers of FILE: worries, plan, long section, stakes, take-off, price range, defaults."""
    import datetime

    from rillwright import job
    from rillwright.cli.telling import Bar, length_of

    opened = job.open(job_path)
    bar = Bar()
    judged = job.judge(opened, tier="full" if full else "surface", progress=bar)
    date = date or datetime.date.today().isoformat()
    day = None
    if instrument is not None:
        system_rod = "metric" if opened.feature.system == "metric" else "ft-in"
        height = length_of(instrument, "--instrument").si
        day = job.SiteDay(date=date, height_of_instrument_m=height, rod=rod or system_rod)
    target = out or opened.path.parent / "packet.pdf"
    made = job.papers(opened, judged, target, date=date, site_day=day, tables=tables, over=force, progress=bar)
    bar.done()
    click.echo(f"{made.pdf} is written." + (f" Beside it: {', '.join(p.name for p in made.others)}" if tables else ""))
