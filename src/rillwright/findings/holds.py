"""Rules on hold points: what was covered, or gone past, before it was checked."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, NotRun, Severity, gone_past, hold_states
from rillwright.findings.rule import Check, Rule


def _open(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.build, NotRun) or not assessment.ticks:
        return
    states = hold_states(assessment.build.holds, assessment.ticks, assessment.shots.shots)
    past = gone_past(states)
    for state, later in past:
        facts = (
            ("what", state.hold.text, ""),
            ("hold", state.hold.id, ""),
            ("later", later.hold.text, ""),
            ("day", later.time[:10] or "no day", ""),
        )
        yield Check(element=state.hold.at, severity=Severity.WATCH, facts=facts)
    passed = {state.hold.id for state, _ in past}
    done: dict[str, int] = {}
    for state in states:
        if state.done and not state.hold.at.startswith("marks/"):
            done[state.hold.at] = done.get(state.hold.at, 0) + 1
    for at, count in done.items():
        if not any(state.hold.at == at and state.hold.id in passed for state in states):
            yield Check(element=at, severity=Severity.OK, facts=(("count", str(count), ""),))


OPEN = Rule(
    code="hold.open",
    area="shots",
    title="Nothing was covered before it was checked",
    well="Hold points done at {name}, none of them gone past: {count}.",
    ill="The hold point {hold} is open ({what}), while a later one is done ({later}; {day}): "
    "the work went on before it was checked.",
    remedy="Check it now as far as it can still be seen, and tick it; or write on the record that nobody checked it.",
    find=_open,
)
