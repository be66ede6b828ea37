"""What is odd about ticks of hold points: they are kept, and a person is told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from rillwright.assessment import HoldItem, HoldState, Judged, NotRun, hold_states
from rillwright.build import initial_name, item_names, open_before, tape_name
from rillwright.job.hold_file import HOLD_FILE
from rillwright.job.opening import Job
from rillwright.survey import Question, Taped, Tick, taped_doubt, tick_questions
from rillwright.units import show, style_for

_EXAMPLE = {"us": "14' 2\"", "metric": "4.32 m"}


def asked_of_ticks(job: Job, uuids_: Iterable[str], *, judged: Judged) -> tuple[Question, ...]:
    """What is to be asked about the ticks of these uuids."""
    sent = set(uuids_)
    build = judged.assessment.build
    points = () if isinstance(build, NotRun) else build.holds
    found = [one for one in tick_questions(job.ticks.ticks) if one.uuid in sent]
    rows = [row for row in job.ticks.ticks if row.uuid in sent]
    day = max((row.time[:10] for row in rows), default="")
    states = {one.hold.id: one for one in hold_states(points, job.ticks.ticks, job.shots.shots, day=day)}
    signed: dict[str, str] = {}
    for row in rows:
        state = states.get(row.hold)
        if state is None:
            text = f"the plan has no hold point {row.hold!r} now; it is kept in {HOLD_FILE}"
            found.append(_question("hold", text, row))
        elif row.item and row.item not in item_names(state.hold):
            text = f"{row.hold} has no line {row.item!r} now; it is kept in {HOLD_FILE}"
            found.append(_question("item", text, row))
        elif row.state == "done" and _counts(row, state):
            found += _taped(row, state, judged.assessment.feature.system)
            if row.item in ("", *map(initial_name, state.hold.initials)):
                signed[row.hold] = row.uuid  # asked once of each hold point, at its last initials
    for row in rows:
        if signed.get(row.hold) == row.uuid:
            found += _signed(row, states)
    return tuple(found)


def taped_words(item: HoldItem, wanted_m: float | None, system: str) -> str:
    """What is to be asked of a line that was taped where `wanted_m` [m] is wanted; empty where nothing is."""
    return _words(item.asked, item.note, wanted_m, system)


def _words(asked: Taped, note: str, wanted_m: float | None, system: str) -> str:
    if asked == "no figure":
        return "ticked, and no figure stands beside it: write what it taped"
    if asked == "no length":
        return f"{note!r} cannot be read as a length: write it as {_EXAMPLE[system]}"
    if asked == "off" and wanted_m is not None:
        return f"{note} was taped, and {show(wanted_m, 'length', style_for(system))} is wanted: tape it once more"
    return ""


def _counts(row: Tick, state: HoldState) -> bool:
    """Whether no later word speaks against it."""
    return any(item.ticked and row.item in ("", item.name) for item in state.items)


def _taped(row: Tick, state: HoldState, system: str) -> Iterator[Question]:
    for tape in state.hold.tape:
        if row.item in ("", tape_name(tape)):
            words = _words(taped_doubt(row.note, tape.wanted_m), row.note, tape.wanted_m, system)
            if words and not row.item:
                yield _question("taped", f"{len(state.hold.tape)} to tape, and no figure stands beside them", row)
                return
            if words:
                yield _question("taped", f"{tape.text}: {words}", row)


def _signed(row: Tick, states: Mapping[str, HoldState]) -> Iterator[Question]:
    """Initials put to a hold point while something is open there, or before it."""
    state = states[row.hold]
    own = {initial_name(who) for who in state.hold.initials}
    lines = [item for item in state.items if item.name not in own]
    open_ = sum(not item.done for item in lines)
    if open_:
        text = f"initialled by {row.initials} with {open_} of {len(lines)} lines open"
        yield _question("open", text, row)
    for before in open_before(tuple(states.values()), state.hold):
        text = f"initialled by {row.initials} while this is open before it: {before.hold.text}"
        yield _question("before", text, row)


def _question(code: str, text: str, row: Tick) -> Question:
    return Question(code=code, text=text, uuid=row.uuid, doubts=False)
