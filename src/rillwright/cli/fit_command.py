"""`rillwright fit`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from rillwright.job import Arrangement, Character, Fitted


_EXACT = 1000
_MOST_DROPS = 40  # as the fit itself; spelt out here, so that help needs nothing else of the house


@click.command()
@click.argument("job_path", metavar="[FILE]", required=False, type=click.Path(path_type=Path))
@click.option("--height", help="Bed at the stream head less the held water, instead of a FILE: 40 in, 1.2 m.")
@click.option("--look", type=click.Choice(["quiet", "lively", "loud"]), default="lively", show_default=True)
@click.option("--falls", help="How many drops: 4, or 2-6. Of a FILE: as many as it has.")
@click.option("--last", help="Least height of the last fall as it is seen: 8 in.")
@click.option("--stone", help="Thickness of the spill stones: 3 in.")
@click.option("--best", type=click.IntRange(1, 1000), default=20, show_default=True, help="How many are listed.")
@click.option("--json", "as_json", is_flag=True, help="Print question and answer as JSON, in whole units.")
def fit(
    job_path: Path | None,
    height: str | None,
    look: Character,
    falls: str | None,
    last: str | None,
    stone: str | None,
    best: int,
    as_json: bool,
) -> None:
    """Find the falls and ripples that fit the height of FILE's streams, or of a --height."""
    from rillwright import job
    from rillwright.cli.telling import length_of

    drops = _drops(falls)
    if (job_path is None) == (height is None):
        raise click.UsageError("give a FILE or a --height")
    if job_path is not None:
        if last or stone:
            raise click.UsageError("--last and --stone belong to --height; a FILE says its own")
        found = job.fit_job(job.open(job_path), best=best, drops=drops)
    else:
        assert height is not None
        typed = length_of(height, "--height")
        answer = job.fit_height(
            typed.si,
            system="us" if typed.unit in ("in", "ft", "yd") else "metric",
            character=look,
            drops=drops,
            least_last_m=_length(last, "--last"),
            spill_stone_m=_length(stone, "--stone"),
            best=best,
        )
        found = (answer,)
    if as_json:
        import json

        rows = [{"stream": f.stream, "problem": f.problem.to_json(), "result": f.result.to_json()} for f in found]
        click.echo(json.dumps(rows, indent=1))
    else:
        click.echo("\n\n".join(_told(each) for each in found))


def _length(typed: str | None, option: str) -> float:
    from rillwright.cli.telling import length_of

    length_m = length_of(typed, option).si if typed else 0.0
    if length_m < 0.0:
        raise click.BadParameter(f"{typed!r} is less than nothing", param_hint=option)
    return length_m


def _drops(typed: str | None) -> tuple[int, int] | None:
    if typed is None:
        return None
    low, _, high = typed.partition("-")
    ends = [end.strip() for end in (low, high or low)]
    if all(end.isascii() and end.isdigit() and len(end) < 4 for end in ends):
        least, most = int(ends[0]), int(ends[1])
        if 1 <= least <= most <= _MOST_DROPS:
            return least, most
    allowed = f"write 4, or 2-6, from 1 to {_MOST_DROPS}"
    raise click.BadParameter(f"{typed[:40]!r} is not a number of drops; {allowed}", param_hint="--falls")


def _told(fitted: Fitted) -> str:
    from rillwright.units import show, style_for

    style = style_for(fitted.system)
    result = fitted.result
    height = show(fitted.metres(fitted.problem.height), "length", style)
    head = f"{fitted.stream + ': ' if fitted.stream else ''}{height} from the bed at the head to {fitted.down_to}."
    if result.count == 0:
        first, *ways = fitted.short
        return "\n".join([head, first, *(f"  {way}" for way in ways)])
    listed = len(result.arrangements)
    if result.count == 1:
        lines = [head, "1 arrangement fits, from the head down:"]
    elif listed == result.count:
        lines = [head, f"{result.count} arrangements fit, from the head down:"]
    else:
        apart = "Those that differ from a better one by a marking step, or by order alone, are left out."
        lines = [head, f"{_many(result.count)} arrangements fit. {apart}", f"The best {listed}, from the head down:"]
    lines += [f"{index + 1:3}. {_arrangement(fitted, each)}" for index, each in enumerate(result.arrangements)]
    return "\n".join(lines)


def _many(count: int) -> str:
    """A count [-] as it is of use: exact up to a thousand, then the round number that it is more than."""
    if count <= _EXACT:
        return str(count)
    unit = 10 ** (len(str(count)) - 1)
    return f"More than {count // unit * unit:,}"


def _arrangement(fitted: Fitted, arrangement: Arrangement) -> str:
    from rillwright.units import show, style_for

    style = style_for(fitted.system)

    def said(count: int) -> str:
        return show(fitted.metres(count), "length", style)

    steps = ", ".join(f"{drop.kind} {said(drop.drop)}" for drop in arrangement.drops)
    pitch = sum(arrangement.pitches)
    tail = f"beds {said(pitch)} together; last fall seen {said(arrangement.last_height)}"
    left = f"; {said(arrangement.left_over)} left over" if arrangement.left_over else ""
    return f"{steps} | {tail}{left}"
