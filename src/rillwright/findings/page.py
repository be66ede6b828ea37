"""The page of all findings, written from the rules."""

from __future__ import annotations

from itertools import groupby

from rillwright.findings.rule import Rule
from rillwright.findings.rules import NOT_YET_USED, RULES
from rillwright.sources import limit

HEAD = """# Findings

<!-- Written by `python3 dev.py docs` from the rules; change those, not this page. -->

Every finding that a check can print, by its code. A code is never used twice and never changes its meaning.
`stop`: do not build or run it so. `watch`: works, with a named risk, or is not known. `ok`: checked against the
readings given, and within its limit. The limits stand in [sources, limits, defaults](method/sources.md); a
feature file may give any of them another figure with a reason, and the finding says so. Local codes and
licensed practice go before all of them.

Where a feature is in metres, a length in inches that is common practice is taken at 25 mm to the inch, as crews do:
24 in is 600 mm. Lengths that a standard or a law prints stay as printed.

A value with its whole band on the good side of a limit is `ok`; wholly beyond the bad end it takes the limit's
severity; everything between is `watch`. Where the likeliest figure is beyond the bad end and only its band
reaches back over it, the sentence begins so: likely too low. Findings stand in this order: `stop` about people;
other `stop`; what is likely a `stop`; `watch` about people with a value beyond a limit; other `watch`; what nobody
has said; cautions that always hold; what was not checked; what a formula outside its range gave; `ok`. Inside each
the worst of every code stands before the second of any, and what lies farthest beyond its limit, for the size of
the limit, before others. So cautions that hold for every pond never hide what is wrong with this one.
"""


def page() -> str:
    """All findings by area and code: what is checked, the limit with its source, what to do."""
    parts = [HEAD]
    for area, rules in groupby(RULES, key=lambda rule: rule.area):
        parts.append(f"\n## {area.capitalize()}\n\n| code | what is checked | limit | source | what to do |\n")
        parts.append("| --- | --- | --- | --- | --- |\n")
        parts.extend(_row(rule) for rule in rules)
    parts.append("\n## Limits that no finding reads yet\n\n| limit | why |\n| --- | --- |\n")
    parts.extend(f"| `{name}` | {why} |\n" for name, why in NOT_YET_USED.items())
    return "".join(parts)


def _row(rule: Rule) -> str:
    limits = "; ".join(f"`{name}`" for name in rule.limits) or "-"
    sources = "; ".join(dict.fromkeys(limit(name).source for name in rule.limits)) or rule.source
    people = " (people)" if rule.people or any(limit(name).people for name in rule.limits) else ""
    cells = (f"`{rule.code}`", rule.title + people, limits, sources, _plain(rule.remedy))
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |\n"


def _plain(template: str) -> str:
    """A template for the page: its parameters in italics."""
    return template.replace("{", "*").replace("}", "*").replace("_", " ")
