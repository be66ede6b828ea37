"""`rillwright ground`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rillwright.cli.places import Length, at_words, length_words, place_of

if TYPE_CHECKING:
    from rillwright.job import Ground, Section, Spot, Volumes


@click.command()
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--at", "places", multiple=True, metavar="X, Y", help="Say the level at a place, as '12 ft, 3 ft 6 in'.")
@click.option("--section", "line", metavar="X, Y; X, Y; ...", help="Say the ground along a line.")
@click.option("--step", help="Along the section a level at least so often.")
@click.option(
    "--to", "after", multiple=True, type=click.Path(path_type=Path), help="Cut and fill to this other ground."
)
@click.option("--level", help="Cut and fill to this level.")
@click.option("--every", help="The interval between contours; else about ten of them.")
@click.option("--svg", type=click.Path(path_type=Path), help="Draw contours to scale into this file.")
@click.option(
    "--dxf", type=click.Path(path_type=Path), help="Write contours and shots into this DXF drawing, in metres."
)
@click.option("--unit", type=click.Choice(["m", "ft", "us ft", "in", "mm"]), help="Unit of files that do not say.")
@click.option("--order", help="Columns of a CSV without a header, as P,N,E,Z,D,L.")
@click.option("--surface", help="Which surface of a LandXML file.")
@click.option("--layer", "layers", multiple=True, help="Which layers of a DXF drawing; else all.")
@click.option("--cell", help="Keep one point of a cloud for each square of this side.")
@click.option("--units", type=click.Choice(["us", "metric"]), help="How figures print; else as the job, or metric.")
@click.option("--force", is_flag=True, help="Write over drawings that are there already.")
def ground(
    files: tuple[Path, ...],
    places: tuple[str, ...],
    line: str | None,
    step: str | None,
    after: tuple[Path, ...],
    level: str | None,
    every: str | None,
    svg: Path | None,
    dxf: Path | None,
    unit: str | None,
    order: str | None,
    surface: str | None,
    layers: tuple[str, ...],
    cell: str | None,
    units: str | None,
    force: bool,
) -> None:
    """Lay a surface over the levels of all FILEs together, and say what is known of it.

    A FILE is a job folder (its own levels of ground), LandXML, DXF, LAS or LAZ, a surveyor's CSV, or GeoJSON points.
    """
    from rillwright import job
    from rillwright.cli.telling import length_of

    cell_m = length_of(cell, "--cell").si if cell else None
    said = job.GroundSaid(unit=unit, order=order, surface=surface, layers=layers, cell_m=cell_m)
    found = job.ground_of(files, said)
    system = units or (found.job.planned.system if found.job is not None else "metric")
    length = length_words(system)
    asked = [place_of(typed, "--at") for typed in places]
    way = [place_of(typed, "--section") for typed in line.split(";")] if line else []
    every_m = length_of(every, "--every").si if every else job.interval_of(found, system=system)
    _say_ground(found, length, system)
    for spot in job.spots_on(found, asked):
        _say_spot(spot, length)
    if way:
        _say_section(job.section_over(found, way, step_m=length_of(step, "--step").si if step else None), length)
    if after:
        other = job.ground_of(after, said)
        _say_earth(job.earth_between(found, other), f"to {', '.join(each.name for each in after)}", system)
    if level:
        level_m = length_of(level, "--level").si
        _say_earth(job.earth_to_level(found, level_m), f"to the level {length(level_m)}", system)
    drawings = {svg: "", dxf: ""}
    if svg is not None:
        drawings[svg] = job.ground_svg(found, every_m=every_m, system=system)
    if dxf is not None:
        drawings[dxf] = job.ground_dxf(found, every_m=every_m)
    for path, text in drawings.items():
        if path is not None:
            job.write_ground(path, text, over=force)
            click.echo(f"{path} is written: contours every {length(every_m)}.")


def _say_ground(found: Ground, length: Length, system: str) -> None:
    from rillwright import job
    from rillwright.cli.telling import wrapped
    from rillwright.units import show, style_for

    style = style_for(system)
    told = job.ground_told(found)
    wide, high = told.high[0] - told.low[0], told.high[1] - told.low[1]
    click.echo(f"{told.shots} levels, {told.triangles} triangles")
    click.echo(f"extent   {length(wide)} by {length(high)}, from {at_words(told.low, length)}")
    area, slope = show(told.area_m2, "area", style), show(told.surface_m2, "area", style)
    click.echo(f"ground   {area} in plan, {slope} as it slopes")
    click.echo(f"lowest   {length(told.lowest_m)} at {at_words(told.lowest_at, length)}")
    click.echo(f"highest  {length(told.highest_m)} at {at_words(told.highest_at, length)}")
    if told.merged:
        click.echo(f"{told.merged} levels stand where another says the same.")
    for each in told.agreed:
        first, second = (length(level) for level in each.levels_m)
        text = f"{each.first} and {each.second} say {first} and {second} at {at_words(each.at, length)}, "
        text += (
            f"{1000.0 * each.apart_m:.1f} mm apart, no more than such shots may be off: their weighted mean is taken, "
        )
        click.echo(wrapped(f"{text}{length(each.taken_m)}."))
    for remark in told.remarks:
        click.echo(wrapped(f"{remark}."))
    for name, covered in job.outlines_on(found):
        if covered.leaves:
            text = f"{name} leaves the surveyed ground: {covered.guessed_share:.0%} of it, up to "
            click.echo(wrapped(f"{text}{length(covered.farthest_m)} away, would be guessed. Take levels round it."))


def _say_spot(spot: Spot, length: Length) -> None:
    from rillwright.cli.telling import wrapped

    band = f"{length(spot.low_m)} to {length(spot.high_m)}"
    text = f"at {at_words(spot.at, length)}: {length(spot.level_m)} ground ({band}); {spot.nearest} lies "
    text += f"{length(spot.nearest_m)} away"
    if spot.guessed:
        text += f". A guess: the place lies {length(spot.outside_m)} outside the surveyed ground"
    click.echo(wrapped(f"{text}."))


def _say_section(section: Section, length: Length) -> None:
    click.echo("station  ground")
    for station, level in zip(section.station_m.tolist(), section.level_m.tolist(), strict=True):
        click.echo(f"{length(station)}  {'none surveyed' if level != level else length(level)}")
    if section.off_m > 0.0:
        click.echo(f"{length(section.off_m)} of the line run off the surveyed ground.")


def _say_earth(volumes: Volumes, what: str, system: str) -> None:
    from rillwright.cli.telling import wrapped
    from rillwright.units import show, style_for

    style = style_for(system)

    def earth(value: float) -> str:
        return show(value, "earth", style)

    def area(value: float) -> str:
        return show(value, "area", style)

    left = "left over" if volumes.net_m3 >= 0.0 else "short"
    text = f"{what}: cut {earth(volumes.cut_m3)} on {area(volumes.cut_m2)}, fill {earth(volumes.fill_m3)} on "
    text += f"{area(volumes.fill_m2)}; {earth(abs(volumes.net_m3))} {left}, as it lies in the ground, without swell."
    click.echo(wrapped(text))
    if max(volumes.only_before_m2, volumes.only_after_m2) > 1e-3 * max(volumes.common_m2, 1.0):
        text = f"Not worked out where only one of them has levels: {area(volumes.only_before_m2)} of the first, "
        click.echo(wrapped(f"{text}{area(volumes.only_after_m2)} of the other."))
