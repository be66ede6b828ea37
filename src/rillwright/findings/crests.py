"""Rules on the water over each crest."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, CrestWater, Fall, Feature, NotRun, Reach, Severity, Stream
from rillwright.findings.rule import Bound, Check, Fact, Rule, Weight
from rillwright.findings.words import WHOLE, named_in, where_on
from rillwright.units import Band


def _crests(assessment: Assessment) -> tuple[CrestWater, ...]:
    return () if isinstance(assessment.water, NotRun) else assessment.water.crests


def _dry(assessment: Assessment) -> Iterator[Check]:
    for crest in _crests(assessment):
        severity = Severity.STOP if crest.flow_m3s.value <= 0.0 else Severity.OK
        if severity is Severity.OK and crest.flow_m3s.low <= 0.0:
            severity = Severity.WATCH
        facts = (("flow", crest.flow_m3s.value, "m3/s"),)
        lost = not isinstance(assessment.water, NotRun) and crest.path in assessment.water.unfed
        text, remedy = (_UNFED, _FEED) if lost else ("", "")
        yield Check(element=crest.path, severity=severity, facts=facts, text=text, remedy=remedy)


def _depths(assessment: Assessment) -> Iterator[Check]:
    for crest in _crests(assessment):
        if crest.flow_m3s.value > 0.0:
            yield Check(element=crest.path, value=crest.depth_m, facts=_measured(crest))


def _thin(assessment: Assessment) -> Iterator[Check]:
    """With the Weber number where surface tension counts: it draws a thin sheet together and holds it to the stone."""
    for crest in _crests(assessment):
        if crest.flow_m3s.value > 0.0:
            said = tension_words(crest.weber)
            yield Check(
                element=crest.path,
                value=crest.depth_m,
                facts=(("more", f" {said}" if said else "", ""), *_measured(crest)),
            )


def _measured(crest: CrestWater) -> tuple[Fact, ...]:
    """By what the water on a crest was found, and what of that lies outside what was measured."""
    c = crest.coefficient
    known = () if c is None else (("c", c.value, ""), ("c_low", c.low, ""), ("c_high", c.high, ""))
    return (("lip", crest.lip, ""), *known, ("outside", "; ".join(crest.notes), ""))


def tension_words(weber: float) -> str:
    """What surface tension does to a sheet of that Weber number [-]; "" where it does not count, or none runs."""
    if not 0.0 < weber < _WEBER:
        return ""
    return f"Surface tension counts in it: Weber number {weber:.0f}, strong below about {_WEBER:.0f}."


def _notes(assessment: Assessment) -> list[tuple[str, str]]:
    """What is outside which range, each with its element."""
    notes = list(assessment.out_of_range)
    if not isinstance(assessment.water, NotRun):
        notes += [note for note in assessment.water.out_of_range if note not in notes]
    split = (note.partition(": ") for note in notes)
    return [(path, (said or path).rstrip(".")) for path, _, said in split]


def _range(assessment: Assessment) -> Iterator[Check]:
    """All of it in one: what holds for every crest of a stream is one matter, and no worry of this very feature."""
    where: dict[str, list[str]] = {}
    for path, note in _notes(assessment):
        if not note.startswith(_AWAY):
            where.setdefault(note, []).append(path)
    if not where:
        return
    paths = list(dict.fromkeys(path for paths in where.values() for path in paths))
    told = "; ".join(f"{note} ({_listed(assessment.feature, paths)})" for note, paths in where.items())
    element = paths[0] if len(paths) == 1 else WHOLE
    yield Check(element=element, severity=Severity.WATCH, facts=(("note", told, ""),))


def _listed(feature: Feature, paths: list[str]) -> str:
    """Elements in words, those after the first of a kind by their ids alone: fall f1, f2, f3."""
    said: list[str] = []
    before = ""
    for path in paths:
        name, id = named_in(feature, path), path.partition("/")[2]
        noun = name.removesuffix(id)
        said.append(id if noun == before and id else name)
        before = noun
    return ", ".join(said)


def _away(assessment: Assessment) -> Iterator[Check]:
    for path, note in _notes(assessment):
        if note.startswith(_AWAY):
            yield Check(element=path, severity=Severity.WATCH, facts=(("note", note, ""),))


def _tilt(assessment: Assessment) -> Iterator[Check]:
    ratios = {crest.fall: crest.tilt_ratio for crest in _crests(assessment)}
    for fall in assessment.feature.falls:
        if fall.tilt_m is None:
            continue
        ratio = ratios.get(fall.id)
        more = f" The low end gets about {min(ratio, 99.0):.1f} times the water of the high end." if ratio else ""
        facts = (("more", more, ""), ("low", fall.low_end, ""), ("shim", abs(fall.tilt_m), "m"))
        remedy = _SHIM if fall.low_end else ""
        yield Check(element=f"falls/{fall.id}", value=Band.exact(abs(fall.tilt_m)), facts=facts, remedy=remedy)


def _throw(assessment: Assessment) -> Iterator[Check]:
    waters = {crest.fall: crest for crest in _crests(assessment)}
    for stream in assessment.feature.streams:
        for fall in stream.falls:
            crest = waters.get(fall.id)
            if crest is not None and crest.throw_m is not None:
                length, where = _landing(assessment, stream, fall)
                bound = Bound(
                    name="",
                    sense="at_most",
                    good=length,
                    bad=length,
                    severity=Severity.STOP,
                    unit="m",
                    source="common practice",
                    origin="computed",
                )
                yield Check(
                    element=crest.path,
                    value=crest.throw_m,
                    bound=bound,
                    facts=(("where", where, ""), ("at", where_on(crest.at), ""), *_measured(crest)),
                )


def _landing(assessment: Assessment, stream: Stream, fall: Fall) -> tuple[float, str]:
    """Length of lined ground in front of a fall [m], and what it is: the next bed, or the body the short way across."""
    after = stream.links[stream.links.index(fall) + 1 :]
    length = 0.0
    for link in after:
        if not isinstance(link, Reach):
            break
        length += link.length_m
    if after:
        return length, "the bed below"
    joined = assessment.feature.joined(stream)
    if joined is not None:
        return joined.width_m, f"the short way across bed {joined.id}"
    body = assessment.feature.body(stream.into)
    on = "the short way across" if body.cover_m is None else "the cover, the short way across"
    return body.width_m, f"{on} {body.id}"


def _seal(assessment: Assessment) -> Iterator[Check]:
    for fall in assessment.feature.falls:
        yield Check(element=f"falls/{fall.id}", severity=Severity.OK if fall.sealed else Severity.WATCH)


def _under(assessment: Assessment) -> Iterator[Check]:
    for crest in _crests(assessment):
        if crest.under is not None and crest.flow_m3s.high > 0.0:
            yield Check(element=crest.path, value=crest.under)


def _stones(assessment: Assessment) -> Iterator[Check]:
    for crest in _crests(assessment):
        if not crest.stones or crest.flow_m3s.value <= 0.0:
            continue
        dry = [i for i, stone in enumerate(crest.stones, start=1) if stone.depth_m.value <= 0.0]
        perhaps = [i for i, stone in enumerate(crest.stones, start=1) if stone.depth_m.low <= 0.0 and i not in dry]
        most = max(range(len(crest.stones)), key=lambda i: crest.stones[i].share.value)
        facts = (
            ("dry", _counted(dry or perhaps), ""),
            ("most", str(most + 1), ""),
            ("share", crest.stones[most].share.value, "-"),
        )
        text = _DRY_STONE if dry else _PERHAPS_DRY if perhaps else ""
        yield Check(
            element=crest.path, severity=Severity.WATCH if dry or perhaps else Severity.OK, facts=facts, text=text
        )


def _counted(stones: list[int]) -> str:
    """Stones by their place from the left: '2', '1 and 3'."""
    said = [str(stone) for stone in stones]
    return " and ".join([", ".join(said[:-1]), said[-1]] if len(said) > 1 else said)


def _drowned(assessment: Assessment) -> Iterator[Check]:
    for crest in _crests(assessment):
        if crest.flow_m3s.value > 0.0:
            deep = crest.fall_height_m.scale(-1.0)
            severity = Severity.WATCH if deep.high > 0.0 else Severity.OK
            facts = (("deep", max(deep.high, 0.0), "m"), ("share", crest.drowned, "-"))
            text = _MAY_DROWN if severity is Severity.WATCH and deep.value <= 0.0 else ""
            yield Check(element=crest.path, severity=severity, facts=facts, text=text)


def _cling(assessment: Assessment) -> Iterator[Check]:
    for crest in _crests(assessment):
        if crest.cling_radius_m is not None and crest.tread_m is not None:
            facts: tuple[Fact, ...] = (
                ("tread", crest.tread_m.value, "m"),
                ("at", where_on(crest.at), ""),
                *_measured(crest),
            )
            yield Check(element=crest.path, value=crest.cling_radius_m, facts=facts)


_DRY_STONE = (
    "Of the stones of {name}, {dry} from the left, looking downstream, stays dry; {most} gets {share} of the water."
)
_PERHAPS_DRY = "Of the stones of {name}, {dry} from the left, looking downstream, may stay dry."
_MAY_DROWN = "The water below {name} may stand up to {deep} over its crest: it is hardly seen to fall."
_WEBER = 100.0  # common practice, no source
_AWAY = "the water does not come back"
_SHIM = "Shim its {low} end, looking downstream, up by {shim} until both ends read the same on the rod."
_UNFED = "No run brings water above {name}: it stays dry."
_FEED = "End a run at the stream head or in a bed above it, or leave that part of the stream out."
DRY = Rule(
    code="crest.dry",
    area="crests",
    title="Water runs over the crest at all",
    well="About {flow} runs over the crest of {name}.",
    ill="Next to nothing may run over the crest of {name}.",
    remedy="Take a pump that lifts more, a wider pipe, or a lower stream head; and see that no water "
    "goes under the stone.",
    find=_dry,
)
THIN = Rule(
    code="crest.thin",
    area="crests",
    title="The water on the crest is thick enough for a sheet",
    well="The water on the crest of {name} is {range} thick, enough for a sheet.",
    ill="The water on the crest of {name} is {range} thick; below {good} a sheet breaks up, below {bad} it "
    "dribbles.{more}",
    remedy="Narrow the crest or send more water over it.",
    find=_thin,
    likely="too thin",
    limits=("crest.depth_low",),
)
THICK = Rule(
    code="crest.thick",
    area="crests",
    title="The water on the crest is thin enough not to splash widely",
    well="The water on the crest of {name}, {range}, is within {good}.",
    ill="The water on the crest of {name} is {range} thick; above {good} it splashes widely.",
    remedy="Widen the crest or close the valve a little.",
    find=_depths,
    likely="too thick",
    limits=("crest.depth_high",),
)
RANGE = Rule(
    code="range.outside",
    area="crests",
    title="The formula was used inside its range",
    well="",
    ill="Some figures lie outside what their formulas were measured for: {note}.",
    remedy="Take these figures as a guide; measure there on the first start and set the valve by what you see.",
    find=_range,
    weight=Weight.OUTSIDE,
)
AWAY = Rule(
    code="run.away",
    area="circuit",
    title="The water comes back to where it is drawn",
    well="",
    ill="The water of {name} goes astray: {note}.",
    remedy="Lead the stream into the body that the pump draws from, or pump back from where it ends.",
    find=_away,
)
TILT = Rule(
    code="crest.tilt",
    area="crests",
    title="The spill stone is level end to end",
    well="The spill stone of {name} is {value} out of level end to end, within {good}.{more}",
    ill="The spill stone of {name} is {value} out of level end to end; {good} is wanted.{more}",
    remedy="Shim the low end until both ends read the same on the rod.",
    find=_tilt,
    limits=("crest.tilt",),
)
THROW = Rule(
    code="crest.throw",
    area="crests",
    title="The fall lands on liner",
    well="The sheet of {name}{at} lands {range} out from its crest, on {where}, which is {good} long.",
    ill="The sheet of {name}{at} lands {range} out from its crest, and {where} is only {good} long: "
    "water leaves the liner.",
    remedy="Lengthen what lies below, set a stone where the water lands, or let the water cling to a stacked face.",
    find=_throw,
    likely="too far",
)
SEAL = Rule(
    code="crest.seal",
    area="crests",
    title="The spill stone is sealed",
    well="The spill stone of {name} is said to be sealed: water goes over it.",
    ill="The spill stone of {name} is not sealed: much of the water goes under it instead of over it.",
    remedy="Seal under and behind the stone, from liner to stone, before the gravel goes in.",
    find=_seal,
)
UNDER = Rule(
    code="crest.under",
    area="crests",
    title="The water goes over an unsealed stone, not under it",
    well="About {range} of the water goes under the stone of {name}, which nothing seals; up to {good} is not missed.",
    ill="{range} of the water may go under the stone of {name}, which nothing seals; above {good} it is missed.",
    remedy="Seal under and behind the stone, from liner to stone, before the gravel goes in.",
    find=_under,
    likely="too much",
    limits=("crest.under",),
    source="ergun-1952",
)
STONES = Rule(
    code="crest.stones",
    area="crests",
    title="Every stone of the crest gets its water",
    well="Water runs over every stone of {name}; {most} from the left, looking downstream, gets {share} of it.",
    ill="Not every stone of {name} gets its water.",
    remedy="Set that stone lower, the lowest one higher, or send more water; or mean it to be dry.",
    find=_stones,
)
DROWNED = Rule(
    code="crest.drowned",
    area="crests",
    title="The crest stands clear of the water below it",
    well="The crest of {name} stands clear of the water below it.",
    ill="The water below {name} stands up to {deep} over its crest: it is hardly seen to fall.",
    remedy="Raise the stone, or lower the crest below it.",
    find=_drowned,
    source="villemonte-1947",
)
CLING = Rule(
    code="crest.cling",
    area="crests",
    title="The water clings to the stack",
    well="The water of {name}{at} follows lips rounded by {range}, as stone has them: it clings to the stack.",
    ill="The water of {name}{at} wants lips rounded by {range} to cling to the stack; stone has about {good}.",
    remedy="Round the lips, let each course stand out {tread} to catch the sheet, or close the valve a little.",
    find=_cling,
    likely="too much",
    limits=("crest.lip",),
)
