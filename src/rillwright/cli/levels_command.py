"""`rillwright levels`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("book", type=click.Path(path_type=Path))
@click.option(
    "--rod", type=click.Choice(["ft-in", "tenths", "inches", "metric"]), help="The rod, if the book has none."
)
@click.option("--units", type=click.Choice(["us", "metric"]), help="How levels print; else as the rod.")
def levels(book: Path, rod: str | None, units: str | None) -> None:
    """Reduce a level BOOK: levels, page check, loops, and what looks mistyped."""
    from fractions import Fraction

    from rillwright import job
    from rillwright.units import show, style_for

    survey = job.levels_of_book(book, rod=rod)
    metric = any("metric" in setup.rod for setup in survey.setups)
    style = style_for(units or ("metric" if metric else "us"))

    def said(metres: float) -> str:
        return f"{metres:.3f} m" if style.system == "metric" else show(metres, "length", style)

    def fine(metres: float) -> str:
        if style.system == "metric":
            return f"{1000 * metres:.1f} mm"
        return show(metres, "length", style, step=Fraction(1, 32))

    click.echo(f"Levels above {survey.datum or 'the datum'}")
    rows = [("point", "surface", "level", "metres", "state")]
    for point in survey.points:
        why = f"{point.state}: {point.why}" if point.why else point.state
        rows.append((point.id, point.level.surface.value, said(point.level.m), f"{point.level.m:.4f}", why))
    widths = [max(len(row[column]) for row in rows) for column in range(4)]
    for row in rows:
        click.echo("  ".join(text.ljust(width) for text, width in zip(row, widths, strict=False)) + "  " + row[4])
    for page in survey.page_checks:
        if not page.sights:
            click.echo("Page check: nothing to add up; no level was carried on to another set-up.")
            continue
        agrees = "agrees" if page.agrees else "DOES NOT AGREE"
        click.echo(
            f"Page check: backsights {page.backsights}, foresights {page.foresights}, rise {page.rise}: {agrees}"
        )
    for loop in survey.loops:
        closes = "closes" if loop.closes else "DOES NOT CLOSE"
        way = "high" if loop.misclosure_m > 0.0 else "low"
        off = f"{fine(abs(loop.misclosure_m))} {way}" if loop.misclosure_m else "nothing off"
        click.echo(f"Loop {loop.name}: {closes}, {off}, {fine(loop.tolerance_m)} allowed ({loop.tolerance_name})")
    if not survey.loops and any(page.sights for page in survey.page_checks):
        click.echo("No loop: the page check tells of slips in adding, not of slips in reading.")
    once = [point.id for point in survey.points if point.state == "read once"]
    if once:
        click.echo(f"Read once, so that nothing shows a slip of the rod: {', '.join(once)}.")
    for look in survey.looks:
        if not look.again and not look.closed:
            click.echo(f"Not checked in {look.book}: no second shot of a benchmark.")
    for doubt in survey.doubts:
        click.echo(f"Look at {doubt.book}{f':{doubt.line}' if doubt.line else ''}: {doubt.text}")
