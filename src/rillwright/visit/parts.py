"""The parts of the feature file that a visit writes: what was said, what was found, and every default beside it.

A line `# key: value   # taken: ...` is a default: it says what is taken there, and with its first `#` away it can be
changed. Without the `#` and unchanged it comes to the same feature.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence

from rillwright.sources import default
from rillwright.units import show, style_for
from rillwright.visit.answers import Answers
from rillwright.visit.extras import own_machine
from rillwright.visit.questions import STREAM
from rillwright.visit.staircase import Stair

TAKEN = "# taken: "
_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ./_-]*")
_WIDE = 44


def top(answers: Answers, stair: Stair, photos: Sequence[str] = ()) -> list[str]:
    """What the feature is called, its book, its pictures and its marks."""
    same = "level: benchmark" if answers.benchmark_is_paving else ""
    taken = "" if answers.typed("paving_reading") else "the benchmark is the paving"
    lines = [
        "# Written from the nine answers of a first visit. Change any line, then: rillwright check this folder.",
        "# A line '# key: value  # taken: ...' says what is taken where nobody said anything: take its first # away",
        "# and change the value. docs/feature-file.md names every key.",
        "format: 1",
        f"name: {scalar(answers.typed('name'))}",
        *([f"note: {scalar(' '.join(stair.notes))}"] if stair.notes else []),
        _line(f"units: {answers.system}", "" if answers.units else "as the rod reads; us or metric"),
        "books: [books/visit.csv]      # the readings, as they were called",
        *([f"photos: [{', '.join(photos)}]"] if photos else []),
        "marks:",
        "  - {id: benchmark, role: benchmark}      # the fixed mark; keep a second one",
        _line(f"  - {{id: paving, role: paving{', ' + same if same else ''}}}", taken),
    ]
    return lines


def site(answers: Answers) -> list[str]:
    """Access and machine; soil, groundwater and power where they were said."""
    ground = answers.typed("groundwater")
    water = f"  groundwater: {scalar(ground + ' below paving')}"
    width = scalar(answers.used("access_width"))
    unsaid = [words for words, keys in _ACCESS.items() if not any(map(answers.typed, keys))]
    return [
        "site:",
        f"  soil: {scalar(answers.chosen('soil'))}" if answers.typed("soil") else _default("site.soil", "  soil"),
        water
        if ground
        else f"  # groundwater is not known; if it is: groundwater: {_hint('5 ft', answers)} below paving",
        _default("crew.people", "  crew"),
        "  # services are not located; once they are: services: ticket and date. Nothing is dug before.",
        *([f"  note: {scalar(answers.typed('notes'))}"] if answers.typed("notes") else []),
        *_power(answers),
        "  access:",
        _line(f"    - {{id: way, width: {width}, machine: {_machine(answers)}}}", " and ".join(unsaid)),
    ]


_ACCESS = {"access width": ("access_width",), "machine": ("own_machine", "machine")}


def _machine(answers: Answers) -> str:
    if not answers.typed("own_machine"):
        return scalar(answers.chosen("machine"))
    own = own_machine(answers.typed("own_machine"))
    sizes = {"width": own.width, "reach": own.reach, "lift": own.lift, "lift_at": own.lift_at}
    return f"{{name: own machine, {', '.join(f'{key}: {scalar(said.text)}' for key, said in sizes.items())}}}"


def _power(answers: Answers) -> list[str]:
    distance, protected = answers.typed("power_distance"), answers.chosen("power_protected")
    said = [f"distance: {scalar(distance)}"] if distance else []
    said += [f"residual_current_device: {protected}"] if protected else []
    far = _hint("40 ft", answers)
    unsaid = f"  # power is not known; if it is: power: {{distance: {far}, residual_current_device: yes}}"
    return [f"  power: {{{', '.join(said)}}}" if said else unsaid]


def pond(answers: Answers, berm_m: float) -> list[str]:
    """The oval, its waterline and depth, and the berm at the low side."""
    sizes = [answers.used(key) for key in ("pond_length", "pond_width")]
    shelf = (
        f"{{width: {_value('pond.shelf_width', answers)}, depth: {_value('pond.shelf_depth', answers)}}}"
        if default("pond.shelf_depth").number < answers.length_m("pond_depth")
        else "none"
    )
    low, high = (_value(f"intake.skimmer_{end}", answers) for end in ("low", "high"))
    at = "ponds/pond.waterline"
    intake = f"{{kind: skimmer, low: {low} below {at}, high: {high} above {at}}}"
    said_size = answers.typed("pond_length") and answers.typed("pond_width")
    return [
        "pond:",
        "  id: pond",
        _line(
            f"  outline: {{oval: [{', '.join(map(scalar, sizes))}]}}",
            "" if said_size else "its size; or points: [[x, y], ...]",
        ),
        _answer("  waterline", answers, "waterline_below", after=" below paving"),
        _answer("  depth", answers, "pond_depth"),
        f"  held: {answers.chosen('held')}"
        if answers.typed("held")
        else _default("pond.holding", "  held", "or: at rest"),
        _default("pond.side", "  side"),
        _line(f"  # shelf: {shelf}", "shelf round the pond"),
        _default("pond.stone_share", "  stone_share"),
        _line(f"  # intake: {intake}", "working range of a skimmer"),
        "  rims:",
        "    - id: low-side",
        "      ground: low",
        *_berm(answers, berm_m),
    ]


def _berm(answers: Answers, berm_m: float) -> list[str]:
    if berm_m <= 0:
        return ["      # no berm: the ground stands above the highest water as it is"]
    spare = _value("rim.berm_spare", answers)
    why = f"      # what the highest water asks for, {spare} to spare once it has settled"
    return [f"      berm: {scalar(_shown(berm_m, answers))}{why}", _default("pond.settlement", "      settlement")]


def stream(answers: Answers, stair: Stair) -> list[str]:
    """The staircase: beds of one length, the drops that were found, the last one left out."""
    look, falls = answers.character()
    found = f"{falls} falls were wished for" if falls else f"found for a {look} look"
    per_fall = (
        f"kind: free, spill_stone: {_value('stream.spill_stone', answers)}, "
        f"stone_depth: {_value('stream.spill_depth', answers)}, sealed: yes"
    )
    unsaid = not answers.typed("look")
    return [
        "stream:",
        "  id: stream",
        _line("  head: head", "no ground built up at the head"),
        "  head_ground: head",
        _answer("  width", answers, "stream_width"),
        _line(f"  look: {look}", "quiet, lively or loud sets the flow" if unsaid or falls else ""),
        _default("stack.gravel", "  gravel", answers=answers),
        _default("stream.grain", "  grain", answers=answers),
        _default("stream.bank", "  bank", answers=answers),
        *(f"  # {note}" for note in stair.notes),
        f"  course:      # from the head down, {found}; the last fall takes what height is left",
        f"    # taken for every fall: {per_fall}; change it in its braces",
        *_course(answers, stair),
    ]


def _course(answers: Answers, stair: Stair) -> list[str]:
    count = len(stair.drops_m)
    length = answers.length_m("stream_length")
    lengths = [_shown(length / count, answers)] * count if count > 1 else [answers.used("stream_length")]
    taken = "" if answers.typed("stream_length") else "length of the whole stream"
    lines = []
    for index, (kind, drop_m, pitch_m) in enumerate(zip(stair.kinds, stair.drops_m, stair.pitches_m, strict=True)):
        bed = f"bed: b{index + 1}, length: {scalar(lengths[index])}, pitch: {scalar(_shown(pitch_m, answers))}"
        lines.append(_line(f"    - {{{bed}}}", "" if index else taken))
        last = index == count - 1
        drop = "" if last else f", drop: {scalar(_shown(drop_m, answers))}"
        ripple = ", ripple: yes" if kind == "ripple" else ""
        lines.append(f"    - {{fall: f{index + 1}{drop}{ripple}}}")
    return lines


def run(answers: Answers) -> list[str]:
    """The pipe run; the pump is still to choose."""
    asked = answers.used("pipe_run")
    lift, flow = _hint("20 ft", answers), _hint("5000 US gal/h", answers)
    spare = round(100 * default("pipe.run_spare").number)
    as_stream = (
        f"  # the pipe's length is taken: the stream's and {spare} % more; or: length: {_hint('30 ft', answers)}"
    )
    return [
        "run:",
        "  id: supply",
        as_stream if asked.lower() == STREAM else f"  length: {scalar(asked)}",
        _default("pipe.check_valve", "  check_valve"),
        _default("pipe.outlet_under_water", "  outlet_under_water"),
        "  # the pump is still to choose; then by the two numbers on its box, its watts, and its pipe:",
        f"  # pump: {{box: {{shut_off: {lift}, greatest_flow: {flow}}}, watts: 300 W}}",
        f"  # pipe: {{name: {_hint('3 in', answers)}}}",
    ]


_METRIC = {
    "5 ft": "1.5 m",
    "40 ft": "12 m",
    "30 ft": "9 m",
    "20 ft": "6 m",
    "5000 US gal/h": "19000 L/h",
    "3 in": "90 mm",
}


def _hint(typed: str, answers: Answers) -> str:
    """An example of what may be typed, as people of these units type it."""
    return typed if answers.system == "us" else _METRIC[typed]


def scalar(text: str) -> str:
    """A text as YAML that reads back as it was typed."""
    plain = _PLAIN.fullmatch(text) and text == text.strip() and text.lower() != "null"
    return text if plain else json.dumps(text, ensure_ascii=False)


def _line(line: str, taken: str) -> str:
    return f"{line:<{_WIDE}}  {TAKEN}{taken}; change it here" if taken else line


def _answer(key: str, answers: Answers, asked: str, *, after: str = "") -> str:
    line = f"{key}: {scalar(answers.used(asked) + after)}"
    return _line(line, "" if answers.typed(asked) else "nobody said")


def _default(name: str, key: str, more: str = "", *, answers: Answers | None = None) -> str:
    """A default as the remark that, with its first # away, says the same."""
    entry = default(name)
    indent = key[: len(key) - len(key.lstrip())]
    value = _value(name, answers) if answers else scalar(entry.typed)
    text = entry.text.rstrip(".").replace(": ", ", ")
    return _line(f"{indent}# {key.lstrip()}: {value}", f"{text[:1].lower()}{text[1:]}{'; ' + more if more else ''}")


def _value(name: str, answers: Answers) -> str:
    """A default length as people of these units type it, to the tenth of a millimetre."""
    entry = default(name)
    return entry.typed if answers.system == "us" else f"{entry.number * 1000:.4g} mm"


def _shown(length_m: float, answers: Answers) -> str:
    return show(length_m, "length", style_for(answers.system))
