"""`rillwright tick`."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from rillwright.job import HoldItem, HoldState, Judged, Ticked

_TO = {"shoot": "to shoot", "tape": "to tape", "look": "to look at", "photograph": "to photograph"}
_ALL = "all"


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.argument("hold", default="")
@click.option(
    "--line", "lines", multiple=True, help="A line of it, by number or by how its name begins; may be repeated."
)
@click.option("--all", "all_of_it", is_flag=True, help="All of it, the initials too.")
@click.option("--initials", default="", help="Of whoever did it.")
@click.option("--who", default="", help="Who writes, if that is somebody else.")
@click.option("--note", default="", help="What was taped or seen.")
@click.option("--photo", type=click.Path(path_type=Path), help="A picture file; a copy of it is kept under files/.")
@click.option("--withdraw", is_flag=True, help="It is not done after all; the earlier row stays in the file.")
@click.option("--day", default="", help="Of which day the benchmarks are shown, such as 2026-05-04; else today.")
def tick(
    folder: Path,
    hold: str,
    lines: tuple[str, ...],
    all_of_it: bool,
    initials: str,
    who: str,
    note: str,
    photo: Path | None,
    withdraw: bool,
    day: str,
) -> None:
    """Show the hold points of FOLDER, or one of them line by line; tick its lines as done, or withdraw that.

    HOLD is a hold point such as dig.pond. What is ticked is written to holds.csv, which is only ever added to.
    """
    from rillwright import job

    opened = job.open(folder)
    judged = job.judge(opened)
    meant = all_of_it or lines or initials or note or photo is not None or withdraw
    if meant and not hold:
        raise click.UsageError("name the hold point, such as dig.pond: `rillwright tick FOLDER` lists them")
    if all_of_it and lines:
        raise click.UsageError("--all and --line do not go together")
    day = day or _today()
    if not hold:
        click.echo(_list(job.holds(opened, judged=judged, day=day)))
        return
    state = _of(job.holds(opened, judged=judged, day=day), hold)
    if not meant:
        click.echo(_told(state, judged))
        return
    if not lines and not all_of_it:
        click.echo(_told(state, judged))
        typed = str(click.prompt("Which lines (their numbers, or 'all')", type=str))
        all_of_it, lines = typed.strip() == _ALL, tuple(typed.replace(",", " ").split())
    done = job.tick(
        opened,
        hold,
        items=("",) if all_of_it else tuple(_named(state, line) for line in lines),
        initials=initials or str(click.prompt("Initials", type=str)).strip(),
        state="undone" if withdraw else "done",
        who=who or initials,
        note=note,
        photo=photo,
        earlier=judged,
    )
    click.echo(_after(done, hold, day))


def _today() -> str:
    from datetime import datetime

    return datetime.now().astimezone().date().isoformat()


def _of(states: tuple[HoldState, ...], hold: str) -> HoldState:
    """The hold point of that name. Raises InputError."""
    from difflib import get_close_matches

    from rillwright.errors import InputError, Problem

    found = {state.hold.id: state for state in states}
    if hold not in found:
        near = get_close_matches(hold, found, n=3, cutoff=0.5)
        allowed = ", ".join(near or found)
        raise InputError(Problem(message="no such hold point", field="hold", found=repr(hold), allowed=allowed))
    return found[hold]


def _named(state: HoldState, line: str) -> str:
    """The name of the line that was meant. Raises InputError."""
    from rillwright.errors import InputError, Problem

    names = [item.name for item in state.items]
    if line.isascii() and line.isdigit() and 0 < int(line) <= len(names):
        return names[int(line) - 1]
    meant = [name for name in names if name == line] or [name for name in names if line and name.startswith(line)]
    if len(meant) != 1:
        message = f"is no line of {state.hold.id}" if not meant else f"{len(meant)} lines begin so"
        allowed = f"1 to {len(names)}, or enough of a line's beginning"
        raise InputError(Problem(message=message, field="--line", found=repr(line), allowed=allowed))
    return meant[0]


def _list(states: tuple[HoldState, ...]) -> str:
    """Every hold point in the order of the work, with what is missing at those that are open."""
    from rillwright.cli.telling import wrapped

    if not states:
        return "No hold points: the job has nothing yet that is cut, covered or filled."
    wide = max(len(state.hold.id) for state in states)
    lines = [f"{sum(state.done for state in states)} of {len(states)} hold points done"]
    for state in states:
        head = f"{'done' if state.done else 'open'}  {state.hold.id:{wide}}  "
        lines.append(wrapped(f"{head}{state.hold.text}", indent="  ").replace("\n  ", "\n" + " " * (wide + 10)))
        told = f"{state.initials}, {_moment(state.time)}" if state.done else _missing(state)
        if state.done or any(item.done for item in state.items):
            lines.append(wrapped(told, indent=" " * (wide + 10)))
    lines.append("")
    lines.append("`rillwright tick FOLDER HOLD` shows one line by line.")
    return "\n".join(lines)


def _missing(state: HoldState) -> str:
    open_ = [item.name.partition(" ") for item in state.items if not item.done]
    counts = [(word, sum(verb == said for said, _, _ in open_)) for verb, word in _TO.items()]
    parts = [f"{count} {word}" for word, count in counts if count]
    names = [rest for verb, _, rest in open_ if verb == "initial"]
    if names:
        parts.append(f"initials of {' and '.join(names)}")
    return f"missing: {', '.join(parts)}" if parts else "everything is there"


def _told(state: HoldState, judged: Judged) -> str:
    """One hold point line by line."""
    from rillwright.cli.telling import wrapped

    lines = _head(state)
    say, system = _lengths(judged), judged.assessment.feature.system
    for number, item in enumerate(state.items, start=1):
        head = f"{number:>3}  {'done' if item.done else 'open'}  "
        lines.append(wrapped(f"{head}{item.name}").replace("\n", "\n" + " " * len(head)))
        lines += [wrapped(said, indent=" " * len(head)) for said in _about(item, state, say, system=system)]
    return "\n".join([*lines, "" if state.done else _missing(state)]).rstrip()


def _head(state: HoldState) -> list[str]:
    """Which hold point it is, when the work waits there, and whether it is done."""
    from rillwright.cli.telling import wrapped

    hold = state.hold
    where = "" if hold.at == "site/whole" else f", at {hold.at}"
    stands = f"done ({state.initials}, {_moment(state.time)})" if state.done else "open"
    return [wrapped(f"{hold.id}: {hold.text}"), wrapped(f"the work waits {hold.when.value}{where}: {stands}")]


def _about(item: HoldItem, state: HoldState, say: Callable[[float], str], *, system: str) -> Iterator[str]:
    """What is wanted there, what was found, on whose word it is done, and what is odd about it."""
    from rillwright import job

    shots = {f"shoot {shot.path} {shot.surface.value}": shot for shot in state.hold.shoot}
    tapes = {f"tape {tape.text}": tape.wanted_m for tape in state.hold.tape}
    shot, tape = shots.get(item.name), tapes.get(item.name)
    if shot is not None:
        wanted = shot.wanted_m if item.wanted_m is None else item.wanted_m
        told = f"{shot.text}: wanted {say(wanted)}, give or take {say(shot.tolerance_m)}"
        found = "" if item.found_m is None else f"; found {say(item.found_m)}, {'' if item.met else 'not '}within"
        yield told + found
    if tape is not None:
        yield f"wanted {say(tape)}"
    if item.asked:
        yield f"asked about: {job.taped_words(item, tape, system)}"
    said = ", ".join(part for part in (item.initials, _moment(item.time) if item.initials else "", item.note) if part)
    if said:
        yield said


def _lengths(judged: Judged) -> Callable[[float], str]:
    from rillwright.units import show, style_for

    style = style_for(judged.assessment.feature.system)
    return lambda metres: show(metres, "length", style)


def _moment(time: str) -> str:
    """Day and time to the minute, as the device said it."""
    return time[:16].replace("T", " ")


def _after(done: Ticked, hold: str, day: str) -> str:
    """What was written, how the hold point stands, and what that changes."""
    from rillwright import job
    from rillwright.cli.telling import say_changes, wrapped

    lines = [wrapped(note) for note in done.notes]
    if not done.new:
        lines.append("These very rows stood there already; nothing was written twice.")
    state = _of(job.holds(done.job, judged=done.after, day=day), hold)
    lines += [wrapped(f"{row.state}: {row.item or 'all of it'} ({row.initials})", indent="  ") for row in done.rows]
    asked = job.asked_of_ticks(done.job, [row.uuid for row in done.rows], judged=done.after)
    lines += [wrapped(f"asked about, and kept: {each.text}", indent="  ") for each in asked]
    lines += _head(state)
    if not state.done:
        lines.append(_missing(state))
    changes = job.compare(done.before, done.after)
    return "\n".join([*lines, "", say_changes(changes)] if changes.sentences else lines)
