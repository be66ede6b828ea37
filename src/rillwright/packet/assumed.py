"""What was assumed: every default and every limit that was used, and how to change it."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.assessment import Assessment, DefaultUsed, Feature, Judged, LimitUsed
from rillwright.judge import field_of, label_of, limit_words
from rillwright.packet.blocks import Words, column, heading, inline, run, table, title, words
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.say import Say, breakable
from rillwright.packet.worries import cited
from rillwright.sources import COMMON_PRACTICE, asked, default, limit
from rillwright.units import parse, significant

QUESTION = "What was assumed"
_CHANGE = (
    "To change one, type its field with your own value in the feature's file, and check again. A part that the file "
    "has not yet is added: site.crew is crew under site, stream.course.f1.kind is kind in the braces of f1. What is "
    "listed under survey or the name of a step, such as stone, is a figure of the method itself and has no field. "
    "Sources stand under their short names in the table of sources; where none is named, it is common "
    "practice, no source."
)


def assumed(judged: Judged, *, pad_mm: float = 1.2) -> Sheet:
    """Defaults and limits used, rows with white space above and below [mm]."""
    assessment = judged.assessment
    say = Say(assessment.feature.system)
    blocks: list[Block] = [
        title(QUESTION),
        *_defaults(assessment, pad_mm),
        heading("Limits that judged it"),
    ]
    if assessment.limits_used:
        blocks.append(
            words(
                "Any of them can be set otherwise, with a reason, by a line under limits in the feature's file. "
                f"Where no source is named, it is {COMMON_PRACTICE}, no source."
            )
        )
        columns = [
            column("limit", 36.0), column("what it asks", -1.0), column("well", 26.0), column("at worst", 22.0),
        ]  # fmt: skip
        blocks.append(table(columns, [_limit(used, say) for used in assessment.limits_used], pad=pad_mm))
    else:
        blocks.append(words("None."))
    if assessment.out_of_range:
        blocks.append(heading("Outside the range of a method"))
        blocks += [words(breakable(line)) for line in assessment.out_of_range]
    return Sheet(question=QUESTION, paper=READING[say.system], blocks=tuple(blocks))


def _defaults(assessment: Assessment, pad_mm: float) -> list[Block]:
    """Every value that nobody typed."""
    say = Say(assessment.feature.system)
    blocks = [heading("Values that nobody typed")]
    if not assessment.defaults_used:
        return [*blocks, words("None: everything was said.")]
    blocks.append(words(_CHANGE))
    columns = [column("field", 48.0), column("used", 28.0), column("what it is", -1.0)]
    rows = [_default(these, assessment.feature, say) for these in alike(assessment.defaults_used)]
    return [*blocks, table(columns, rows, pad=pad_mm)]


def alike(used: Sequence[DefaultUsed]) -> list[list[DefaultUsed]]:
    """Defaults in groups: the same field of several elements, with the same value from the same source."""
    groups: dict[tuple[object, ...], list[DefaultUsed]] = {}
    for one in used:
        owner, _, part = one.path.rpartition(".")
        groups.setdefault((owner.partition("/")[0], part, one.value, one.default, one.source), []).append(one)
    return list(groups.values())


def same_of(these: Sequence[DefaultUsed]) -> str:
    """The elements after the first of a group, by id, those that count on in one: f2 to f5."""
    runs: list[list[str]] = []
    for one in these[1:]:
        id = one.path.rpartition("/")[2].partition(".")[0]
        if runs and _counted_on(runs[-1][-1]) == id:
            runs[-1].append(id)
        else:
            runs.append([id])
    return ", ".join(f"{ids[0]} to {ids[-1]}" if len(ids) > 2 else ", ".join(ids) for ids in runs)


def in_file(these: Sequence[DefaultUsed], feature: Feature) -> str:
    """The field of the file in which the value of these elements is typed; a method's own figure by its name."""
    fields = list(dict.fromkeys(field_of(one, feature) or one.path for one in these))
    if len(fields) == 1:
        return fields[0]
    owner, _, part = these[0].path.partition(".")
    id = owner.partition("/")[2]
    above = fields[0].removesuffix(f".{part}").removesuffix(id).rstrip("./")
    return f"{above}, {same_of([these[0], *these])}: {part}"


def in_words(these: Sequence[DefaultUsed], feature: Feature) -> str:
    """What the value of these elements is called, as 'width of the crest, f1 to f8'; nothing for a method's own."""
    label = label_of(these[0], feature)
    several = len(these) > 1 or these[0].path.partition("/")[0] in _NAMED
    return f"{label}, {same_of([these[0], *these])}" if label and several else label


_NAMED = ("falls", "reaches", "rims", "laps")  # of which there are several, each by its id


def _counted_on(id: str) -> str:
    """The id that follows by count: f2 after f1."""
    stem = id.rstrip("0123456789")
    number = id[len(stem) :]
    return f"{stem}{int(number) + 1}" if number else ""


def value_used(used: DefaultUsed, say: Say) -> str:
    """A default's value in the reader's units."""
    if isinstance(used.value, str):
        return used.value
    try:
        entry = default(used.default)
        kind = entry.kind if entry.unit == used.unit else None  # a flow may come of a flow by width
    except KeyError:
        kind = None
    if kind == "slope":
        return f"{significant(used.value, 3)} up to 1 across"
    if kind == "length" and say.system == "metric" and 0.0 < abs(used.value) < 0.0095:
        return f"{significant(1000.0 * used.value, 2)} mm"
    inch = float(parse("1 in", "length").si)
    if kind == "length" and say.system == "us" and 0.0 < abs(used.value) < 0.25 * inch:
        return f"{significant(used.value / inch, 2)}″"  # finer than a rod is read
    return say.one(used.value, used.unit, kind=kind)


def _default(these: Sequence[DefaultUsed], feature: Feature, say: Say) -> list[Words]:
    used = these[0]
    try:
        told = default(used.default).text
    except KeyError:
        told = used.default
    return [
        breakable(in_file(these, feature)),
        run(value_used(used, say), weight="semibold"),
        _with_source(told, "" if used.source == COMMON_PRACTICE else f"Handbook value, source {used.source}."),
    ]


def _with_source(told: str, source: str) -> Words:
    """What is said, and whose word it is where that is not common practice."""
    return inline(run(told), run(f" {breakable(source)}", colour="quiet")) if source else told


def _limit(used: LimitUsed, say: Say) -> list[Words]:
    try:
        entry = limit(used.name)
    except KeyError:
        entry = None
    kind = entry.kind if entry else None
    good, bad = (say.one(value, used.unit, kind=kind) for value in (used.good, used.bad))
    cited_as = "" if used.source == COMMON_PRACTICE else f"{cited(used.source)}."
    origin = f"Own limit: {used.reason}." if used.reason else cited_as
    return [
        breakable(used.name),
        _with_source(asked(entry, good, bad) if entry else "", origin),
        limit_words(good, good, sense=entry.sense if entry else ""),
        "" if used.bad == used.good else bad,
    ]
