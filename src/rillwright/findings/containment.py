"""Rules on everything that has to stand above water."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from rillwright.assessment import Assessment, Freeboard, NotRun, Raise, Severity
from rillwright.findings.fills import embankments, held
from rillwright.findings.grading import bound_of
from rillwright.findings.lifts import to_set_out_m
from rillwright.findings.readings import stray_rims
from rillwright.findings.rule import Check, Fact, Rule, Weight
from rillwright.units import Band


def _tops(assessment: Assessment, kind: str) -> Iterator[Check]:
    found = assessment.containment
    if isinstance(found, NotRun):
        return
    feature = assessment.feature
    doubtful = {f"rims/{id}" for id in stray_rims(assessment)}
    for top in found.tops:
        if top.kind == kind:
            gain = next((each.inch_gains_m for each in found.raises if each.path == top.path), 0.0)
            wanted = bound_of(feature, f"{kind}.freeboard").good
            check = _top(top, wanted_m=wanted, gain_m=gain, system=feature.system)
            if kind == "bank":
                check = _where_low(check, [each for each in found.raises if each.path == top.path], feature.system)
            yield replace(check, remedy=_AGAIN) if check.remedy and top.path in doubtful else check


def _where_low(check: Check, raised: Sequence[Raise], system: str) -> Check:
    """The same with where to raise the bank, from the stream head and on which side, and by how much."""
    told = [each for each in raised if each.stations_m is not None and each.side][:_MOST_TOLD]
    if not told:
        return check
    if len(told) == _MOST_TOLD and _beside(*told):
        return _both_banks(check, told, raised, system)
    facts: list[Fact] = []
    places = []
    for row, each in enumerate(told):
        low, high = each.stations_m or (0.0, 0.0)
        facts += [(f"from{row}", low, "m"), (f"to{row}", high, "m"), (f"by{row}", to_set_out_m(each.by_m, system), "m")]
        stretch = f"from {{from{row}}} to {{to{row}}}" if low > _AT_HEAD_M else f"over the first {{to{row}}}"
        places.append(f"{_SIDES[each.side]} {stretch} from the stream head by {{by{row}}}")
    return _told_where(check, facts, " and ".join(places), raised)


def _both_banks(check: Check, told: Sequence[Raise], raised: Sequence[Raise], system: str) -> Check:
    """Two stretches of the same piece of stream in one: by what the lower bank lacks, or by what each does."""
    one, other = told
    ends = [each.stations_m or (0.0, 0.0) for each in told]
    low, high = min(each[0] for each in ends), max(each[1] for each in ends)
    by = [to_set_out_m(each.by_m, system) for each in told]
    facts: list[Fact] = [("from0", low, "m"), ("to0", high, "m")]
    stretch = "from {from0} to {to0}" if low > _AT_HEAD_M else "over the first {to0}"
    if abs(one.by_m - other.by_m) <= _ROD_M:
        facts += [("by0", max(by), "m")]
        so = " by {by0}"
    else:
        facts += [("by0", by[0], "m"), ("by1", by[1], "m")]
        so = f", the {one.side} one, looking downstream, by {{by0}} and the {other.side} one by {{by1}}"
    return _told_where(check, facts, f"on both banks {stretch} from the stream head{so}", raised)


def _told_where(check: Check, facts: Sequence[Fact], where: str, raised: Sequence[Raise]) -> Check:
    more = sum(1 for each in raised if each.stations_m is not None) > _MOST_TOLD
    remedy = _LIKELY_ENOUGH if all(each.read_first for each in raised) else _RAISE_BANK
    told = remedy.replace("WHERE", where + (", and elsewhere along it" if more else ""))
    return replace(check, facts=(*check.facts, *facts), remedy=told)


def _beside(one: Raise, other: Raise) -> bool:
    """Whether two stretches lie on both sides of the same piece of stream."""
    ends = zip(one.stations_m or (), other.stations_m or (), strict=True)
    return {one.side, other.side} == {"left", "right"} and all(abs(a - b) <= _BESIDE_M for a, b in ends)


def _top(top: Freeboard, *, wanted_m: float, gain_m: float, system: str) -> Check:
    under = top.freeboard_m.value < 0.0
    against = top.against
    facts = (
        ("case", against.case, ""),
        ("holding", against.holding, ""),
        ("short", max(-top.freeboard_m.value, 0.0), "m"),
        ("berm", to_set_out_m(top.berm_needed_m or 0.0, system), "m"),
        ("gain", gain_m, "m"),
        ("lift", to_set_out_m(wanted_m - top.freeboard_m.low, system), "m"),
    )
    needs = top.berm_needed_m is not None and top.berm_needed_m > 0.0
    build = _BUILD if gain_m <= 0.0 else f"{_BUILD} {_GAINS}"
    build = _READ_FIRST if top.freeboard_m.value >= wanted_m else build
    return Check(
        element=top.path,
        value=top.freeboard_m,
        facts=facts,
        text=_UNDER if under else "",
        remedy=build if needs and top.kind == "rim" else "",
    )


def _rims(assessment: Assessment) -> Iterator[Check]:
    yield from _tops(assessment, "rim")


def _banks(assessment: Assessment) -> Iterator[Check]:
    """At the ends of each bed, its fill settled where the edge was followed."""
    yield from _tops(assessment, "bank")


def _upturns(assessment: Assessment) -> Iterator[Check]:
    yield from _tops(assessment, "upturn")


def _laps(assessment: Assessment) -> Iterator[Check]:
    for lap in assessment.feature.laps:
        if lap.sealed:
            text = "The two pieces of {name} are said to be sealed over {value}."
            yield Check(element=f"laps/{lap.id}", value=Band.exact(lap.run_m), severity=Severity.OK, text=text)
        else:
            yield Check(element=f"laps/{lap.id}", value=Band.exact(lap.run_m))


def _unsaid(assessment: Assessment) -> Iterator[Check]:
    for body in assessment.feature.bodies:
        if not body.rims:
            yield Check(element=f"ponds/{body.id}", severity=Severity.WATCH)


def _embankment(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.containment, NotRun):
        return
    grounds = {f"rims/{rim.id}": rim for body in assessment.feature.bodies for rim in body.rims}
    for top in assessment.containment.tops:
        rim = grounds.get(top.path)
        if rim is not None and rim.berm_m > 0.0:
            water = top.against.level_m.shift(-rim.ground.m)
            deep = Band(max(water.value, 0.0), max(water.low, 0.0), max(water.high, 0.0))
            yield held(assessment, top.path, deep)
    yield from embankments(assessment)


_UNDER = "The top of {name} stands {short} below the highest water ({case}, topped up {holding}): water leaves there."
_BUILD = (
    "Build the berm at {name} {berm} high above the ground before it settles, in trodden layers; then shoot its top."
)
_GAINS = "Its first inch raises the lowest place of that rim by {gain}."
_AGAIN = (
    "Read the ground at {name} again first: it was read once and does not go with the other rims. If it holds, build "
    "the berm there {berm} high above the ground before it settles."
)
_READ_FIRST = (
    "By its likeliest level it stands high enough: read the ground at {name} again first. If it is as low as it may "
    "be, build the berm there {berm} high above the ground before it settles."
)
_MOST_TOLD = 2
_SIDES = {"left": "on the left bank, looking downstream,", "right": "on the right bank, looking downstream,"}
_SIDES |= {"both": "on both banks"}
_AT_HEAD_M, _BESIDE_M = 0.05, 0.3
_ROD_M = 0.003  # what a rod is read to, about
_OR_ELSE = (
    "widen the bed, or lower the next crest; until then let the valve bring less water, and keep the stream free of "
    "leaves."
)
_RAISE_BANK = f"Raise the liner's edge WHERE, {_OR_ELSE}"
_LIKELY_ENOUGH = (
    "By its likeliest level it stands high enough: shoot its edge first. If it is as low as it may be, raise it WHERE, "
    f"{_OR_ELSE}"
)
_STANDS = "{name} stands {range} above the highest water ({case}, topped up {holding})"
_SETTLED = f"{_STANDS} at an end of its bed, its fill settled"
RIM = Rule(
    code="rim.low",
    area="containment",
    title="The rim stands above the highest water",
    well="The top of " + _STANDS + "; {good} is wanted.",
    ill="The top of " + _STANDS + "; {good} is wanted, {bad} is the least.",
    remedy="Raise {name}, lower the waterline, or make the pond larger so that it rises less when the pump stops.",
    find=_rims,
    likely="too low",
    limits=("rim.freeboard",),
)
BANK = Rule(
    code="bank.low",
    area="containment",
    title="The bank's liner stands above the highest water",
    well="The liner at the banks of " + _SETTLED + "; {good} is wanted.",
    ill="The liner at the banks of " + _SETTLED + "; {good} is wanted, {bad} is the least.",
    remedy="Raise the liner's edge there by {lift}, widen the bed, or lower the next crest; until then let the valve "
    "bring less water, and keep the stream free of leaves.",
    find=_banks,
    likely="too low",
    limits=("bank.freeboard",),
)
UPTURN = Rule(
    code="upturn.low",
    area="containment",
    title="The upturn at a lap stands above the highest water",
    well="The upturn of " + _STANDS + "; it needs neither seam nor tape.",
    ill="The upturn of " + _STANDS + "; {good} is wanted, {bad} is the least.",
    remedy="Carry the lower piece {lift} higher behind the fall, under the upper one; or have the lap sealed by its "
    "maker's method.",
    find=_upturns,
    likely="too low",
    limits=("upturn.freeboard",),
)
LAP = Rule(
    code="lap.short",
    area="containment",
    title="The pieces at a lap lie over each other far enough",
    well="The two pieces of {name} lie over each other for {value}; {good} is wanted.",
    ill="The two pieces of {name} lie over each other for {value}; {good} is wanted, {bad} is the least.",
    remedy="Let the upper piece run down {good} over the lower one, or have the lap sealed.",
    find=_laps,
    limits=("lap.run",),
)
UNSAID = Rule(
    code="rim.unsaid",
    area="containment",
    title="The rims of a body were levelled",
    well="",
    ill="No rim of {name} was given: nothing is known of where it would run over first.",
    remedy="Shoot the ground round {name}, at the lowest place above all, and put it in the file.",
    find=_unsaid,
    weight=Weight.UNSAID,
)
EMBANKMENT = Rule(
    code="berm.embankment",
    area="containment",
    title="The water that stands against fill is low",
    well="Against the fill at {name} the water stands {range} deep, no more than {good}.",
    ill="Against the fill at {name} the water stands {range} deep; from {bad} it is an embankment.",
    remedy="Have an engineer design and inspect it, under the rules that hold there; or lower the waterline.",
    find=_embankment,
    likely="too deep",
    limits=("berm.embankment",),
)
