"""Rules on liner, stone, what lifts them, and how it gets in."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, NotRun, Severity
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.findings.words import SITE, WHOLE
from rillwright.units import Band


def _pieces(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.liner, NotRun):
        return
    people = max(assessment.feature.site.crew_people, 1)
    machines = [access.machine.name for access in assessment.feature.site.accesses if access.machine is not None]
    worst = Severity.WATCH if machines else Severity.STOP
    how = f"carry it with the {machines[0]}" if machines else "carry it by machine, or order it in two pieces"
    for piece in assessment.liner.pieces:
        facts = (("mass", piece.mass_kg, "kg"), ("people", str(people), ""), ("how", how, ""), ("piece", piece.id, ""))
        yield Check(element=piece.path, value=Band.exact(piece.mass_kg / people), worst=worst, facts=facts)


def _spare(assessment: Assessment) -> Iterator[Check]:
    yield Check(element=WHOLE, value=Band.exact(assessment.feature.liner.spare_m))


def _underlay(assessment: Assessment) -> Iterator[Check]:
    yield Check(element=WHOLE, value=Band.exact(assessment.feature.liner.underlay_kgm2))


def _water_under(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.earth, NotRun) or assessment.earth.groundwater_above_floor_m is None:
        return
    above = assessment.earth.groundwater_above_floor_m
    facts = (("above", max(above, 0.0), "m"), ("below", max(-above, 0.0), "m"))
    text = (
        "Groundwater stands {above} above the deepest floor: it lifts the liner when the pond is low."
        if above > 0
        else ""
    )
    yield Check(element=SITE, value=Band.exact(above), facts=facts, text=text)


def _water_unsaid(assessment: Assessment) -> Iterator[Check]:
    if assessment.feature.site.groundwater is None:
        yield Check(element=SITE, severity=Severity.WATCH)


def _gas(assessment: Assessment) -> Iterator[Check]:
    """Where soil is named that gives off gas, or groundwater rises under the liner and drives air before it."""
    if isinstance(assessment.earth, NotRun):
        return
    above = assessment.earth.groundwater_above_floor_m
    if assessment.feature.site.soil == "fill":
        yield Check(element=SITE, severity=Severity.WATCH)
    elif above is not None and above > 0.0:
        facts = (("above", above, "m"),)
        text = (
            "Groundwater rises {above} above the deepest floor and drives air and gas before it: they lift the liner "
            "in blisters."
        )
        yield Check(element=SITE, severity=Severity.WATCH, facts=facts, text=text)


def _lifts(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.build, NotRun):
        return
    for lift in assessment.build.lifts:
        share = Band.exact(lift.load_kg / lift.allowed_kg if lift.allowed_kg > 0.0 else float("inf"))
        facts = (
            ("what", lift.what, ""),
            ("load", lift.load_kg, "kg"),
            ("allowed", lift.allowed_kg, "kg"),
            ("by", f"the {lift.machine}" if lift.machine else "the crew's hands", ""),
        )
        yield Check(element=lift.path, value=share, facts=facts)


def _access(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.build, NotRun):
        return
    for check in assessment.build.accesses:
        facts = (("width", check.width_m, "m"), ("machine", check.machine or "no machine", ""))
        if check.machine_width_m is None:
            text = "By {name}, {width} wide, everything goes in by hand."
            yield Check(element=f"accesses/{check.access}", severity=Severity.OK, facts=facts, text=text)
        else:
            spare = check.width_m - check.machine_width_m
            text = "" if spare >= 0.0 else "The {machine} is too wide for {name}, which is {width} wide."
            yield Check(element=f"accesses/{check.access}", value=Band.exact(spare), facts=facts, text=text)


HEAVY = Rule(
    code="liner.heavy",
    area="liner",
    title="A folded liner can be carried",
    well="Piece {piece} weighs {mass}, {value} for each of {people} people.",
    ill="Piece {piece} weighs {mass}, {value} for each of {people} people; {good} is about what one carries.",
    remedy="Take more hands, or {how}; nobody lifts more than they carry with ease.",
    find=_pieces,
    limits=("liner.hand_mass",),
)
SPARE = Rule(
    code="liner.spare",
    area="liner",
    title="The liner is ordered with some to spare",
    well="The liner is ordered with {value} to spare on each side.",
    ill="The liner is ordered with {value} to spare on each side; {good} is wanted.",
    remedy="Order it with {good} to spare on each side, and tape the hole both ways before anything is cut.",
    find=_spare,
    limits=("liner.spare",),
)
UNDERLAY = Rule(
    code="underlay.light",
    area="liner",
    title="The underlay is heavy enough",
    well="The underlay weighs {value}; {good} or more is wanted.",
    ill="The underlay weighs {value}; {good} or more is wanted.",
    remedy="Take a heavier underlay, or two layers; and pads under every stone that bears.",
    find=_underlay,
    limits=("underlay.mass",),
)
LIFTED = Rule(
    code="liner.lifted",
    area="liner",
    title="Groundwater stays below the floor",
    well="Groundwater stands {below} below the deepest floor.",
    ill="Groundwater stands {below} below the deepest floor; in a wet season it may lift the liner.",
    remedy="Drain under the liner to daylight or to a pit, or raise the floor.",
    find=_water_under,
    limits=("groundwater.above_floor",),
)
GAS = Rule(
    code="liner.gas",
    area="liner",
    title="Gas and air under the liner find a way out",
    well="",
    ill="Under made ground roots and waste rot, and the gas lifts the liner in blisters.",
    remedy="Dig out what rots. Under the liner lead strips of thick felt or a drain from the lowest floor up the sides "
    "to above the highest water, open at the rim; slope the floor to them.",
    find=_gas,
    weight=Weight.STANDING,
)
LIFT = Rule(
    code="lift.heavy",
    area="stone",
    title="What is lifted is within what may be lifted",
    well="{what} weighs up to {load}; {by} may lift {allowed} there.",
    ill="{what} weighs up to {load}; {by} may lift {allowed} there.",
    remedy=(
        "Take smaller stone, come closer, or hire a machine whose own chart allows it at that "
        "reach; nobody stands under "
        "a load or between a load and a hole."
    ),
    find=_lifts,
    limits=("lift.share",),
)
ACCESS = Rule(
    code="access.narrow",
    area="access",
    title="The machine passes the access",
    well="The {machine} passes {name}, {width} wide, with {value} to spare.",
    ill="The {machine} passes {name}, {width} wide, with only {value} to spare; {good} is wanted.",
    remedy="Take a narrower machine, open the access, or price the work by hand.",
    find=_access,
    limits=("access.spare",),
)
WATER_UNSAID = Rule(
    code="groundwater.unsaid",
    area="liner",
    title="The groundwater is known",
    well="",
    ill="Nobody has said how high groundwater stands.",
    remedy="Ask, or dig a hole as deep as the pond and look the next day; put its level in the file.",
    find=_water_unsaid,
    weight=Weight.UNSAID,
)
