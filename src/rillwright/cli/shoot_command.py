"""`rillwright shoot`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from rillwright.job import Job, ReducedShot, Shooting


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--at", help="Where: falls/f3.crest (@left, @right), rims/r1.top, laps/l1.upturn, points/NAME ...")
@click.option("--surface", help="Of which surface: mark, ground, dig, liner, bed, stone top, water.")
@click.option("--reading", help="What the rod reads, as it reads.")
@click.option("--benchmark", metavar="MARK", help="The reading is on this mark: it gives or confirms the set-up.")
@click.option("--setup", default="", help="The set-up, such as 2026-05-04/1; 'new' for the next. Else the day's last.")
@click.option("--rod", default="", help="ft-in, tenths, inches, metric, or 'laser' and one of these; else as before.")
@click.option("--who", default="", help="Who reads.")
@click.option("--note", default="", help="Anything to remember.")
@click.option("--from", "points", type=click.Path(path_type=Path), help="Take the levels of a surveyor's CSV.")
@click.option("--order", help="The order of its columns where it has no header, as P,N,E,Z,D,S.")
@click.option("--unit", type=click.Choice(["m", "ft"]), default="m", help="The unit of its numbers.")
@click.option("--withdraw", metavar="UUID", help="Withdraw an earlier reading; it stays in the file.")
@click.option("--confirm", metavar="UUID", help="Say that a reading which was asked about holds.")
@click.option("--doubt", metavar="UUID", help="Say that a reading is not to be built upon.")
def shoot(
    folder: Path,
    at: str | None,
    surface: str | None,
    reading: str | None,
    benchmark: str | None,
    setup: str,
    rod: str,
    who: str,
    note: str,
    points: Path | None,
    order: str | None,
    unit: str,
    **about: str | None,
) -> None:
    """Write a rod reading to FOLDER's shots.csv and say what it changes: level, cut or fill, findings.

    What is not given is asked for. Nothing is refused for being odd: it is written, flagged and asked about.
    """
    from rillwright import job

    opened = job.open(folder)
    said = [(word, uuid) for word, uuid in about.items() if uuid]
    if len(said) > 1 or (said and (at or benchmark or reading)):
        raise click.UsageError("--withdraw, --confirm and --doubt each go alone")
    if points is not None and (said or at or benchmark or reading):
        raise click.UsageError("--from goes alone: the file says where and what")
    if points is not None:
        click.echo(_taken(opened, points, order=order, unit=unit, who=who))
        return
    if benchmark and at:
        raise click.UsageError("--benchmark says where the rod stands; leave --at out")
    if said:
        word, uuid = said[0]
        speak = {"withdraw": job.withdraw, "confirm": job.confirm, "doubt": job.doubt}[word]
        click.echo(_told(speak(opened, uuid, who=who, note=note)))
        return
    where = f"marks/{benchmark.removeprefix('marks/')}" if benchmark else at or _asked("Where (falls/f1.crest)")
    done = job.shoot(
        opened,
        at=where,
        surface=surface or _surface(job.surfaces_at(opened, where)),
        reading=reading or _asked("Rod reading"),
        setup=setup,
        rod=rod or _rod(opened),
        who=who,
        note=note,
    )
    click.echo(_told(done))
    if sys.stdin.isatty() and any(q.doubts and q.uuid == done.row.uuid for q in done.questions):
        _ask_back(done, who=who)


def _taken(opened: Job, points: Path, *, order: str | None, unit: str, who: str) -> str:
    from rillwright import job
    from rillwright.cli.telling import say_changes, wrapped

    text = job.read_text(points, file=points.name)
    done = job.take_points(opened, text, file=points.name, order=order, unit=unit, who=who)
    lines = [wrapped(note) for note in done.notes]
    count = f"{len(done.new)} level{'' if len(done.new) == 1 else 's'} written"
    lines.append(f"{count}; {done.known} stood there already." if done.known else f"{count}.")
    at = {shot.shot.uuid: shot.shot.path for shot in done.job.shots.shots}
    about: dict[str, list[str]] = {}
    for question in done.questions:
        about.setdefault(question.text, []).append(f"{at.get(question.uuid, '')} ({question.uuid[:8]})")
    for shot in done.new:
        if shot.state == "doubted":
            about.setdefault(shot.note, []).append(f"{shot.path} ({shot.uuid[:8]})")
    for asked, which in about.items():
        more = f" and {len(which) - 6} more" if len(which) > 6 else ""
        lines.append(wrapped(f"? {asked}", indent="  "))
        lines.append(wrapped(f"{', '.join(which[:6])}{more}", indent="    "))
    if about:
        lines.append("  What holds: --confirm with its number; what does not: --withdraw.")
    return "\n".join([*lines, "", say_changes(done.changes)])


def _asked(words: str) -> str:
    return str(click.prompt(words, type=str)).strip()


def _surface(allowed: tuple[str, ...]) -> str:
    if len(allowed) == 1:
        return str(allowed[0])
    return str(click.prompt("Surface", type=click.Choice([str(each) for each in allowed])))


def _rod(opened: Job) -> str:
    if any(shot.reading for shot in opened.sheet.shots):
        return ""
    return str(click.prompt("Which rod", type=click.Choice(["ft-in", "tenths", "inches", "metric"])))


def _ask_back(done: Shooting, *, who: str) -> None:
    from rillwright import job

    answer = click.prompt("Keep it, doubt it, or withdraw it", type=click.Choice(["keep", "doubt", "withdraw"]))
    speak = {"keep": job.confirm, "doubt": job.doubt, "withdraw": job.withdraw}[answer]
    click.echo(_told(speak(done.job, done.row.uuid, who=who, earlier=done.after)))


def _told(done: Shooting) -> str:
    from rillwright.cli.telling import say_changes, wrapped

    lines = [wrapped(note) for note in done.notes]
    if not done.new:
        lines.append("This very row stood there already; nothing was written twice.")
    if done.reduced is not None:
        lines += _said(done.reduced, done)
    lines += [wrapped(f"? {question.text}", indent="  ") for question in done.questions]
    if done.reduced is not None and any(q.doubts for q in done.reduced.questions):
        short = done.reduced.shot.uuid[:8]
        lines.append(f"  If it holds: --confirm {short}; if not: --withdraw {short}, and read it again.")
    return "\n".join([*lines, "", say_changes(done.changes)])


def _said(shot: ReducedShot, done: Shooting) -> list[str]:
    """Where, what it reads, the level it gives, what was planned, what is to go."""
    from rillwright.units import show, style_for

    feature = done.after.assessment.feature
    style = style_for(feature.system)
    row = shot.shot
    surface = f" ({row.surface})" if row.surface else ""
    lines = [f"{row.path}{surface} reads {row.reading} on {row.rod}, set-up {row.setup}: {shot.state}"]
    if shot.level_m is None:
        return lines
    lines.append(f"  level    {show(shot.level_m, 'length', style)} above {feature.datum or 'the datum'}")
    off = shot.off_plan_m
    if shot.planned_m is not None and off is not None and not shot.benchmark:
        lines.append(f"  planned  {show(shot.planned_m, 'length', style)}")
        gone = show(abs(off), "length", style)
        dug = row.surface in ("dig", "ground", "bed")
        to_go = ("cut" if off > 0 else "fill") if dug else ("lower it" if off > 0 else "raise it")
        lines.append("  at plan" if gone in ("0 in", "0 mm") else f"  to go    {to_go} {gone}")
    if shot.settles_m > 0.0:
        lines.append(f"  of this the fill will settle about {show(shot.settles_m, 'length', style)}")
    return lines
