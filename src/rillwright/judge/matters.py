"""Findings that say the same of several elements, as one matter; and the three worst, of three different kinds."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import Finding, Severity
from rillwright.judge.rendering import remedy_of, text_of
from rillwright.units import Style

_BEFORE_THE_DIG = ("dig.services",)  # nothing is dug on a first visit: there it stands beside the worries
_MOST_WORST = 3
_DIGITS = re.compile(r"(\d+)")


class Matter(Struct, frozen=True, kw_only=True):
    """What was found in the same words on one element or more; the first of `findings` is the worst of them."""

    findings: tuple[Finding, ...]

    @property
    def finding(self) -> Finding:
        """The worst of them."""
        return self.findings[0]

    @property
    def elements(self) -> tuple[str, ...]:
        """The paths of all elements, that of the worst first, each once."""
        return tuple(dict.fromkeys(each.element for each in self.findings))


def matters(findings: Iterable[Finding], style: Style) -> tuple[Matter, ...]:
    """What is not ok, one matter for all findings of one code and severity in the same words, in the order given.

    Words are the same if they read the same in the reader's units once the element's own name is left out: figures
    that print alike are alike.
    """
    found: dict[tuple[str, str, str, str], list[Finding]] = {}
    for finding in findings:
        if finding.severity is not Severity.OK:
            found.setdefault(_wording(finding, style), []).append(finding)
    return tuple(Matter(findings=tuple(these)) for these in found.values())


def three_worst(found: Sequence[Matter], *, visit: bool = False) -> tuple[Matter, ...]:
    """The first three, each of another code: three worries, not one three times.

    Of a first `visit` that which stops the dig whatever is planned is left out: it stands beside them.
    """
    first: dict[str, Matter] = {}
    for matter in found:
        if not (visit and matter.finding.code in _BEFORE_THE_DIG):
            first.setdefault(matter.finding.code, matter)
    return tuple(first.values())[:_MOST_WORST]


def before_the_dig(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """What stops the dig whatever is planned: what a first visit says beside its three worries."""
    return tuple(each for each in findings if each.code in _BEFORE_THE_DIG and each.severity is Severity.STOP)


def likewise(matter: Matter) -> str:
    """Of which other elements the same holds, as a sentence; nothing where there is none."""
    first = _name(matter.finding)
    others = dict.fromkeys(name for each in matter.findings[1:] if (name := _name(each)) and name != first)
    return f"Likewise {_listed(sorted(others, key=_natural))}." if others else ""


def matters_json(findings: Sequence[Finding], style: Style, *, visit: bool = False) -> dict[str, Any]:
    """The matters of these findings as plain JSON values.

    A matter is the place of its worst finding among `findings`, the paths of all its elements, and the sentence that
    names the others. `worst` are the places of the three worst among the matters, on a first `visit` without what
    stands beside them.
    """
    found = matters(findings, style)
    place = {id(each): index for index, each in enumerate(findings)}
    turn = {id(each): index for index, each in enumerate(found)}
    return {
        "matters": [
            {"finding": place[id(each.finding)], "elements": list(each.elements), "likewise": likewise(each)}
            for each in found
        ],
        "worst": [turn[id(each)] for each in three_worst(found, visit=visit)],
    }


def _wording(finding: Finding, style: Style) -> tuple[str, str, str, str]:
    own = [(name, "" if name == "name" else value, unit) for name, value, unit in finding.parameters]
    bare = replace(finding, parameters=tuple(own))
    return finding.code, finding.severity.value, text_of(bare, style), remedy_of(bare, style)


def _name(finding: Finding) -> str:
    return next((str(value) for name, value, _ in finding.parameters if name == "name"), "")


def _natural(name: str) -> list[tuple[int, str]]:
    return [(int(part) if part.isdecimal() else -1, part) for part in _DIGITS.split(name)]


def _listed(names: Sequence[str]) -> str:
    """Names in a row, a noun said once for all that follow it: bed b1, b2 and b8."""
    said: list[str] = []
    before = ""
    for name in names:
        noun, _, id = name.rpartition(" ")
        said.append(id if noun == before and noun not in ("", "the") else name)
        before = noun
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"
