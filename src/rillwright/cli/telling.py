"""How findings and progress are told on a terminal."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from rillwright.job import Changes, Judged, Matter
    from rillwright.units import Quantity

WIDTH = 100
_FOLDS = {  # what is left when the worst are told, by severity or by what always stands
    "stop": "Also stop",
    "watch": "Also watch",
    "always": "Cautions that always hold",
    "unchecked": "Not checked, or beyond what was measured",
    "outside": "Not checked, or beyond what was measured",
}


def wrapped(text: str, *, indent: str = "") -> str:
    """The text in lines that fit a terminal."""
    return click.wrap_text(text, WIDTH, initial_indent=indent, subsequent_indent=indent)


def length_of(typed: str, option: str) -> Quantity:
    """A length typed behind an option.

    Raises
    ------
    InputError
        If it cannot be read, with the option's name: `--height: a length needs a unit`.
    """
    import msgspec.structs

    from rillwright.errors import InputError, UnitError
    from rillwright.units import parse

    try:
        return parse(typed, "length")
    except UnitError as error:
        raise InputError([msgspec.structs.replace(each, field=option) for each in error.problems]) from error


def free_folder(name: str) -> Path:
    """The first folder of that name that is not there yet: a second run harms nothing of the first."""
    number, folder = 1, Path(name)
    while folder.exists():
        number += 1
        folder = Path(f"{name}-{number}")
    return folder


def say_matter(matter: Matter, system: str) -> str:
    """One matter in plain words: what was found, of which elements, what to do, on whose word."""
    from rillwright.job import likewise, limit_of, remedy_of, text_of
    from rillwright.units import style_for

    style, finding = style_for(system), matter.finding
    head = f"{finding.severity.value.upper():5} {finding.code}  {finding.element}"
    lines = [head, wrapped(f"{text_of(finding, style)} {likewise(matter)}".rstrip(), indent="      ")]
    remedy = remedy_of(finding, style)
    if remedy and finding.severity.value != "ok":
        lines.append(wrapped(remedy, indent="      "))
    limit = limit_of(finding, style)
    asked = f"limit: {limit} " if limit else ""
    lines.append(wrapped(f"{asked}({finding.source})", indent="      "))
    return "\n".join(lines)


def say_odds(judged: Judged) -> str:
    """How often such crews' work spills, in plain words; or why that is not known."""
    from rillwright.job import text_of
    from rillwright.units import style_for

    style = style_for(judged.assessment.feature.system)
    said = [text_of(finding, style) for finding in judged.findings if finding.code == "rim.odds"]
    if not said:
        said = [f"Not known: {getattr(judged.assessment.odds, 'reason', 'nothing was drawn')}."]
    return "\n".join([wrapped("For the builder alone:"), *(wrapped(line, indent="  ") for line in said)])


def say_findings(judged: Judged, *, all_of_them: bool, visit: bool = False) -> str:
    """The three worst first, then the rest folded to one line a code unless all are asked for.

    What stops the dig whatever is planned stands before the worries of a first `visit`, not among them.
    """
    from rillwright.job import Matter, before_the_dig, matters, remedy_of, three_worst
    from rillwright.units import style_for

    system = judged.assessment.feature.system
    found = matters(judged.findings, style_for(system))
    worst = three_worst(found, visit=visit)
    blocks = ["The three worst:" if len(worst) == 3 else "What to look at:" if worst else "Nothing to look at first."]
    before = before_the_dig(judged.findings) if visit else ()
    blocks[:0] = [wrapped(remedy_of(finding, style_for(system))) for finding in before]
    rest = [matter for matter in found if matter not in worst and matter.finding not in before]
    fine = [finding for finding in judged.findings if finding.severity.value == "ok"]
    in_full = [*worst, *rest, *(Matter(findings=(finding,)) for finding in fine)] if all_of_them else worst
    blocks += [say_matter(matter, system) for matter in in_full]
    if all_of_them:
        return "\n\n".join(blocks)
    told: dict[str, dict[str, list[str]]] = {each: {} for each in _FOLDS.values()}
    for matter in rest:
        finding = matter.finding
        folded = told[_FOLDS[finding.standing or finding.severity.value]]
        folded.setdefault(f"{finding.code}: {finding.title}", []).extend(matter.elements)
    for head, folded in told.items():
        if folded:
            lines = [f"{head} (with --all in full):"]
            lines += [wrapped(f"{title} ({', '.join(places)})", indent="  ") for title, places in folded.items()]
            blocks.append("\n".join(lines))
    blocks.append(f"{len(fine)} checks are ok.")
    return "\n\n".join(blocks)


def say_changes(changes: Changes, *, most: int | None = None) -> str:
    """What changed, worst first; one line where nothing did."""
    from rillwright.job import advice, sentence
    from rillwright.units import show, style_for

    style = style_for(changes.system)
    least = show(changes.least_m, "length", style)
    if not changes.sentences:
        return wrapped(f"Nothing changed by more than a rod can read, {least}.")
    blocks = []
    for one in changes.sentences[:most]:
        lines = [f"{one.severity.value.upper():5} {one.direction.value}  {one.element}"]
        lines.append(wrapped(sentence(one, style), indent="      "))
        remedy = advice(one, style)
        if remedy:
            lines.append(wrapped(remedy, indent="      "))
        blocks.append("\n".join(lines))
    left = len(changes.sentences) - len(blocks)
    if left:
        blocks.append(f"And {left} more: compare these two alone.")
    blocks.append(wrapped(f"Levels and lengths that changed by less than {least} are not told: no rod reads them."))
    return "\n\n".join(blocks)


class Bar:
    """Progress on the terminal, for what takes over a second; silent where nobody looks."""

    def __init__(self) -> None:
        self.seen = sys.stderr.isatty()

    def __call__(self, share: float, doing: str) -> bool:
        if self.seen:
            click.echo(f"\r{share:4.0%}  {doing:<60.60}", nl=False, err=True)
        return True

    def done(self) -> None:
        """Clear the line."""
        if self.seen:
            click.echo("\r" + " " * 68 + "\r", nl=False, err=True)
