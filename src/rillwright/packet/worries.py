"""What could go wrong: the three worst in full, then all the rest, nothing hidden."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence

from rillwright.assessment import Finding, Judged, Severity
from rillwright.judge import Matter, likewise, limit_words, matters, three_worst
from rillwright.packet.blocks import Words, column, heading, inline, run, table, title, words
from rillwright.packet.paper import READING, SMALL_PT, Block, Sheet
from rillwright.packet.say import Say, breakable
from rillwright.packet.sentence import kind_of, sentence
from rillwright.sources import COMMON_PRACTICE, source
from rillwright.units import style_for

QUESTION = "What could go wrong"
WORST_PT = 10.0
_HEADS = {
    "Also stop or watch": ("",),
    "Cautions that always hold": ("always",),
    "Not checked, or beyond what was measured": ("unchecked", "outside"),
}
_SHORT = 14  # letters: a title that says too little without its authors


def worries(judged: Judged, *, pad_mm: float = 1.2) -> Sheet:
    """The sheet of all findings, rows of its table with white space above and below [mm]."""
    system = judged.assessment.feature.system
    all_of_them = matters(judged.findings, style_for(system))
    worst = three_worst(all_of_them)
    rest = [matter for matter in all_of_them if matter not in worst]
    well = [f for f in judged.findings if f.severity is Severity.OK]
    counts = {severity: sum(one.finding.severity is severity for one in all_of_them) for severity in Severity}
    always = sum(bool(one.finding.standing) for one in all_of_them)
    blocks: list[Block] = [
        title(QUESTION),
        words(
            f"{counts[Severity.STOP]} stop: do not build or run it so. {counts[Severity.WATCH]} watch: works, with a "
            f"named risk, {always} of them cautions and gaps that stand over any such work. {len(well)} ok. Judged by "
            "limits that can be changed, with a reason, in the feature's file; where no source is named, by "
            f"{COMMON_PRACTICE}, no source."
        ),
    ]
    if worst:
        blocks += [heading("The three worst" if len(worst) == 3 else "The worst"), in_full(worst, system, pt=WORST_PT)]
    for head, standing in _HEADS.items():
        of_these = [matter for matter in rest if matter.finding.standing in standing]
        if of_these:
            blocks += [heading(head), in_full(_by_code(of_these), system)]
    if well:
        blocks += [heading("Checked and found in order"), *_in_order(well, system, pad_mm)]
    return Sheet(question=QUESTION, paper=READING[system], blocks=tuple(blocks))


def in_full(
    found: Sequence[Matter], system: str, *, pt: float = SMALL_PT, basis: bool = True, remedies: bool = True
) -> Block:
    """Matters with sign, words, remedy and, if `basis`, the numbers they rest on; words of a size [pt].

    What was checked is said once of matters that follow each other and had the same checked.
    """
    before = [None, *(matter.finding.code for matter in found)]
    rows = [
        {
            "severity": matter.finding.severity.value,
            "text": breakable(f"{sentence(matter.finding.text, matter.finding, system)} {likewise(matter)}".rstrip()),
            "remedy": breakable(sentence(matter.finding.remedy, matter.finding, system)) if remedies else "",
            "basis": " · ".join(_basis(matter, system, again=matter.finding.code == earlier)) if basis else "",
            "pt": pt,
        }
        for earlier, matter in zip(before, found, strict=False)
    ]
    return {"kind": "findings", "rows": rows}


def _by_code(found: Sequence[Matter]) -> list[Matter]:
    """The matters in their order, each followed by those of its own kind."""
    kinds: dict[str, list[Matter]] = {}
    for matter in found:
        kinds.setdefault(matter.finding.code, []).append(matter)
    return [matter for kind in kinds.values() for matter in kind]


def worst_of(judged: Judged, *, visit: bool = False) -> tuple[Matter, ...]:
    """The three worst matters in the words of this feature's reader; of a first `visit` as `three_worst` has it."""
    return three_worst(matters(judged.findings, style_for(judged.assessment.feature.system)), visit=visit)


def _basis(matter: Matter, system: str, *, again: bool) -> Iterator[str]:
    """What a matter rests on; where the same was checked `again`, only of what, and what was found."""
    finding = matter.finding
    checked = finding.title[:1].lower() + finding.title[1:]
    if not again:
        yield checked if checked.startswith("not checked") else f"checked: {checked}"
    yield breakable(listed(matter.elements))
    say = Say(system)
    if finding.value is not None:
        yield f"found {found(finding, say)}"
    if again:
        return
    if finding.limit is not None:
        yield f"limit {limit(finding, say)}"
    if finding.source != COMMON_PRACTICE or finding.limit_origin == "override":
        yield origin(finding)


def found(finding: Finding, say: Say) -> str:
    """The value of a finding with its range."""
    if finding.value is None:
        return "–"
    value = say.one(finding.value, finding.unit, kind=kind_of(finding.unit))
    if finding.value_low is None or finding.value_high is None:
        return value
    span = say.span(finding.value_low, finding.value_high, finding.unit, kind=kind_of(finding.unit))
    return value if span == value else f"{value} ({span})"


def limit(finding: Finding, say: Say) -> str:
    """The limit of a finding with its direction, and the worst that is let pass where that is another figure."""
    low, high = finding.limit_low, finding.limit_high
    if finding.limit is None or low is None or high is None:
        return "–"
    ends = [say.one(value, finding.unit, kind=kind_of(finding.unit)) for value in (low, high)]
    bad, good = ends if finding.limit_sense == "at_least" else ends[::-1]
    return limit_words(good, bad, sense=finding.limit_sense)


def origin(finding: Finding) -> str:
    """Whose limit it is."""
    words_of = cited(finding.source)
    return f"own limit, instead of {words_of}" if finding.limit_origin == "override" else words_of


def cited(id: str) -> str:
    """A source as it is cited on paper."""
    if id == COMMON_PRACTICE:
        return f"{COMMON_PRACTICE}, no source"
    try:
        entry = source(id)
    except KeyError:
        return id
    year = f", {entry.year}" if entry.year else ""
    whose = f", {entry.authors}" if entry.authors and len(entry.title) < _SHORT else ""
    return f"{entry.title}{whose}{year}"


def _in_order(findings: Sequence[Finding], system: str, pad_mm: float) -> list[Block]:
    """What is ok, by what was checked of all elements together: in a table what has figures, the rest in a row."""
    say = Say(system)
    groups: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.title, finding.unit, origin(finding)), []).append(finding)
    plain = {key: these for key, these in groups.items() if all(f.value is None and f.limit is None for f in these)}
    rows: list[list[Words]] = [
        [
            breakable(what)
            if whose == cited(COMMON_PRACTICE)
            else [breakable(what), run(breakable(whose), colour="quiet")],
            breakable(listed([f.element for f in these])),
            _span([(f.value, f.value_low, f.value_high) for f in these], unit, say),
            _limits(these, say),
        ]
        for (what, unit, whose), these in groups.items()
        if (what, unit, whose) not in plain
    ]
    columns = [
        column("what", -1.1), column("of", -1.0), column("found", 26.0), column("limit", 50.0),
    ]  # fmt: skip
    blocks = [words(inline(*_without_figures(plain)), above=0.0, below=3.0)] if plain else []
    return [*blocks, table(columns, rows, pad=pad_mm)] if rows else blocks


def _without_figures(plain: Mapping[tuple[str, str, str], Sequence[Finding]]) -> Iterator[dict[str, object]]:
    """What was checked and has no figure, one after another: what, of which elements, by whom."""
    for number, ((what, _, whose), these) in enumerate(plain.items()):
        by = "" if whose == cited(COMMON_PRACTICE) else f"; {whose}"
        yield run(breakable(("" if number == 0 else ". ") + what))
        yield run(breakable(f" ({listed([f.element for f in these])}{by})"), colour="quiet")
    yield run(".")


def _limits(findings: Sequence[Finding], say: Say) -> str:
    """The limit of several elements, once where it is the same for all, else from the least figure to the greatest."""
    each = list(dict.fromkeys(limit(finding, say) for finding in findings))
    if len(each) == 1:
        return each[0]
    first = findings[0]
    span = _span([(f.limit,) for f in findings], first.unit, say)
    return limit_words(span, span, sense=first.limit_sense)


def listed(paths: Sequence[str]) -> str:
    """Paths in a row, what they have in common said once: falls/f1, f2, f3."""
    said: list[str] = []
    before = ""
    for path in paths:
        collection, _, rest = path.partition("/")
        said.append(rest if collection == before else path)
        before = collection
    return ", ".join(said)


def _span(values: Sequence[tuple[float | None, ...]], unit: str, say: Say) -> str:
    """From the least to the greatest of what is known, over several elements."""
    known = [value for value in itertools.chain(*values) if value is not None]
    return say.span(min(known), max(known), unit, kind=kind_of(unit)) if known else "–"
