"""`rillwright surface`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rillwright.cli.places import Length, at_words, length_words, place_of

if TYPE_CHECKING:
    from rillwright.job import Judged, LayerRow, LayerSpot

NAMES = ("ground", "dig", "liner", "top")
CELL = "0.1 m"
_NO_EARTH_M3 = 1e-6  # what sums leave of nothing


@click.command()
@click.argument("job_path", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--at", "places", multiple=True, metavar="X, Y", help="Say all levels at a place, as '12 ft, 3 ft 6 in'.")
@click.option("--section", "line", metavar="X, Y; X, Y; ...", help="Say all levels along a line.")
@click.option("--step", help="Along the section so often; else about twenty stations, evenly spaced.")
@click.option("--breaks", is_flag=True, help="Along the section wherever a layer changes its slope or stands upright.")
@click.option(
    "--glb", type=click.Path(path_type=Path), help="Write the surfaces into this GLB file, to be turned about."
)
@click.option("--raster", type=click.Path(path_type=Path), help="Write all levels as square cells into this CSV file.")
@click.option("--cell", default=CELL, show_default=True, help="Side of a cell.")
@click.option("--force", is_flag=True, help="Write over files that are there already.")
def surface(
    job_path: Path,
    places: tuple[str, ...],
    line: str | None,
    step: str | None,
    breaks: bool,
    glb: Path | None,
    raster: Path | None,
    cell: str,
    force: bool,
) -> None:
    """Lay the finished work of FILE, a feature file or a job folder, as surfaces, and read levels off them."""
    from rillwright import job
    from rillwright.cli.telling import length_of, wrapped

    opened = job.open(job_path)
    length = length_words(opened.feature.system)
    asked = [place_of(typed, "--at") for typed in places]
    way = [place_of(typed, "--section") for typed in line.split(";")] if line else []
    cell_m = length_of(cell, "--cell").si
    judged = job.finish(opened, job.judge(opened))
    _say_earth(judged, opened.feature.system)
    for spot in job.layer_spots(judged, asked):
        _say_spot(spot, length)
    if way:
        step_m = length_of(step, "--step").si if step else job.spacing_of(way, system=opened.feature.system)
        _say_section(job.layer_section(judged, way, step_m=None if breaks else step_m), length)
        if not breaks:
            text = "What breaks or stands upright between these stations is not in the table; --breaks lists it."
            click.echo(wrapped(text))
    if glb is not None:
        job.write_surface(glb, job.finished_glb(judged), over=force)
        click.echo(f"{glb} is written.")
    if raster is not None:
        job.write_surface(raster, job.layer_cells(judged, cell_m=cell_m).encode(), over=force)
        click.echo(f"{raster} is written, metres in all columns.")


def _say_earth(judged: Judged, system: str) -> None:
    from rillwright import job
    from rillwright.cli.telling import wrapped
    from rillwright.units import show, style_for

    style, length = style_for(system), length_words(system)
    finished = job.finished_of(judged)
    for part in finished.earth:
        cut, fill = (show(each if each > _NO_EARTH_M3 else 0.0, "earth", style) for each in (part.cut_m3, part.fill_m3))
        text = f"{part.path}: cut {cut}, {length(part.deepest_m)} at the deepest; fill {fill}, "
        click.echo(wrapped(f"{text}{length(part.highest_m)} at the highest."))
    click.echo(wrapped("Earth as it lies in the ground, without swell; fill once it has settled."))
    for remark in finished.remarks:
        click.echo(wrapped(f"{remark[:1].upper()}{remark[1:]}."))


def _level(level: float | None, length: Length) -> str:
    return "none" if level is None else length(level)


def _say_spot(spot: LayerSpot, length: Length) -> None:
    from rillwright.cli.telling import wrapped

    levels = ", ".join(f"{name} {_level(level, length)}" for name, level in zip(NAMES, spot.levels_m, strict=True))
    whose = f" ({spot.path})" if spot.path else "; off the known ground"
    click.echo(wrapped(f"at {at_words(spot.at, length)}: {levels}{whose}."))


def _say_section(rows: tuple[LayerRow, ...], length: Length) -> None:
    table: list[tuple[str, ...]] = [("station", *NAMES)]
    table += [(length(row.station_m), *(_level(level, length) for level in row.levels_m)) for row in rows]
    wide = [max(len(row[column]) for row in table) for column in range(len(table[0]))]
    for row in table:
        click.echo("  ".join(f"{cell:<{size}}" for cell, size in zip(row, wide, strict=True)).rstrip())
