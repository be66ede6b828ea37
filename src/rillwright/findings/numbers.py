"""What each number in a finding's sentence is, what it was worked out from, and which values of the file move it.

Values of the file are named by collection and key, `rims.berm`: those of the finding's own element, or of what it
belongs to.
"""

from __future__ import annotations

from msgspec import Struct


class NumberIn(Struct, frozen=True):
    """One number: what it is, what it was worked out from, and the values to type that move it, nearest first."""

    what: str
    worked_from: str
    typed: tuple[str, ...] = ()


_LIMIT = ("good", "bad", "limit")
_VALUE = ("value", "range", "low", "high")
_HOLE = NumberIn("depth of the hole", "the lowest ground round it less the dig under its floor", ("ponds.depth",))
_POND_DEPTH = NumberIn("depth of the pond", "the waterline less the bed", ("ponds.depth", "ponds.waterline"))
_DROP = NumberIn("drop, bed to bed", "the bed above less the bed below", ("falls.drop",))
_ON_CREST = NumberIn(
    "water on the crest",
    "the flow over the crest and its width, by the weir formula, with its band",
    ("falls.crest_width", "runs.wanted"),
)
_SPARE_FLOW = NumberIn(
    "flow to spare", "where the pump's curve meets that of the pipe, less the flow wanted", ("runs.wanted",)
)

_OF_RULE: dict[str, NumberIn] = {
    "survey.loop": NumberIn("misclosure of the loop", "the readings of its book"),
    "survey.benchmark": NumberIn("how far the benchmark reads from before", "the readings of its book"),
    "waterline.paving": NumberIn(
        "water below the paving", "the paving's level less the waterline", ("ponds.waterline",)
    ),
    "paving.falls": NumberIn("fall of the paving", "the readings on it"),
    "fall.last": NumberIn(
        "height of the fall as it is seen",
        "its crest less the running water below it",
        ("falls.spill_stone", "falls.drop", "streams.head", "ponds.waterline"),
    ),
    "ripple.low": _DROP,
    "ripple.high": _DROP,
    "falls.uphill": NumberIn(
        "crest above what comes after it", "the level of the crest less the next one", ("falls.crest", "falls.drop")
    ),
    "height.short": NumberIn(
        "height left over",
        "the stream head less the waterline, less every fall and every pitch of a bed",
        ("streams.head", "ponds.waterline"),
    ),
    "berm.high": NumberIn("height of the berm", "the file", ("rims.berm",)),
    "rim.fill": NumberIn(
        "fill under the liner's edge, before it settles",
        "the bank or the rim as built less the lowest ground under it",
        ("reaches.bank", "streams.bank", "streams.head", "ponds.waterline"),
    ),
    "head.high": NumberIn(
        "ground built up at the head",
        "the bed at the head less the ground there",
        ("streams.head", "streams.head_ground"),
    ),
    "bed.fill": NumberIn(
        "ground built up under the bed",
        "the dig less the ground there",
        ("reaches.pitch", "reaches.start", "streams.head"),
    ),
    "crest.thin": _ON_CREST,
    "crest.thick": _ON_CREST,
    "crest.tilt": NumberIn("how far the stone is out of level", "the file, or the shots of its ends", ("falls.tilt",)),
    "crest.throw": NumberIn(
        "how far out the sheet lands",
        "the water on the crest and the height of the fall",
        ("falls.crest_width", "falls.drop", "runs.wanted"),
    ),
    "stream.hidden": NumberIn(
        "share of the flow that runs in the gravel",
        "the pitch, the gravel and its grain",
        ("reaches.gravel", "streams.gravel", "streams.grain", "reaches.pitch"),
    ),
    "splash.narrow": NumberIn(
        "lined beyond the banks, in heights of the highest fall",
        "the lined strip and the highest fall",
        ("streams.splash",),
    ),
    "pump.short": _SPARE_FLOW,
    "pump.much": _SPARE_FLOW,
    "pipe.fast": NumberIn(
        "speed of the water in the pipe", "the flow and the pipe's inside", ("runs.name", "runs.inside", "runs.wanted")
    ),
    "pump.npsh": NumberIn(
        "suction head to spare", "the air's pressure less the water's, the lift and the losses ahead of the pump"
    ),
    "pipe.suction": NumberIn(
        "speed of the water in the suction pipe", "the flow and the pipe's inside", ("runs.suction", "runs.wanted")
    ),
    "pipe.summit": NumberIn(
        "head above the vapour pressure at the highest point", "the head there, its level and the air", ("runs.summit",)
    ),
    "outlet.short": NumberIn("flow of the outlet over what is wanted", "the pumps, the pipes and the valves"),
    "outlet.over": NumberIn("flow of the outlet over what is wanted", "the pumps, the pipes and the valves"),
    "intake.flow": NumberIn(
        "flow through the intake", "the flows of its pumps", ("intakes.greatest_flow", "runs.wanted")
    ),
    "intake.dry": NumberIn(
        "running water above the lowest level of the intake",
        "the waterline, the drop at start and the intake",
        ("intakes.low", "ponds.waterline", "ponds.held"),
    ),
    "intake.drowned": NumberIn(
        "stopped water below the highest level of the intake",
        "the waterline, the water that comes back and the intake",
        ("intakes.high", "ponds.waterline", "ponds.held"),
    ),
    "pond.left": NumberIn(
        "share of the water that stays in the pond",
        "the pond below the lowest level of its intake",
        ("intakes.low", "ponds.depth"),
    ),
    "rim.low": NumberIn(
        "rim, settled, above the highest water",
        "the ground, the berm, its settlement and the highest water of the worst case",
        ("rims.berm", "rims.ground", "rims.settlement", "ponds.waterline"),
    ),
    "bank.low": NumberIn(
        "liner's edge above the highest water in the bed",
        "the bed, the bank and the highest water of the worst case",
        ("reaches.bank", "streams.bank", "reaches.width", "streams.width"),
    ),
    "upturn.low": NumberIn(
        "upturn above the highest water", "the upturn and the highest water of the worst case", ("laps.upturn",)
    ),
    "rim.between": NumberIn(
        "what the rim has to spare where that is least",
        "the ground and the berm between the places that were read, and the highest water of the worst case",
        ("ponds.waterline", "rims.berm", "rims.ground"),
    ),
    "bank.along": NumberIn(
        "what the bank has to spare where that is least",
        "the bed, the bank less what its fill settles, and the highest water there of the worst case",
        ("reaches.bank", "streams.bank", "reaches.width"),
    ),
    "spill.way": NumberIn(
        "what there is to spare at the lowest place",
        "the rim's lowest place and the highest water",
        ("rims.berm", "ponds.waterline"),
    ),
    "edge.wicks": NumberIn(
        "what the edge stands above the highest water", "its top and the highest water", ("rims.berm", "laps.upturn")
    ),
    "penetration.wet": NumberIn(
        "how far it lies above the highest water",
        "its level and the highest water of the worst case",
        ("penetrations.level", "ponds.waterline"),
    ),
    "berm.settles": NumberIn(
        "what the berm has to spare once settled",
        "its height, what its kind of fill may settle and the highest water",
        ("rims.berm", "rims.fill", "rims.settlement"),
    ),
    "lap.short": NumberIn("how far the pieces lie over each other", "the file", ("laps.run",)),
    "berm.embankment": NumberIn(
        "water against the fill", "the highest water less the ground there", ("ponds.waterline", "rims.ground")
    ),
    "liner.heavy": NumberIn("weight for each of the crew", "the piece's size and weight", ("liners.mass", "site.crew")),
    "liner.spare": NumberIn("spare of the liner on each side", "the file", ("liners.spare",)),
    "underlay.light": NumberIn("weight of the underlay", "the file", ("liners.underlay_mass",)),
    "liner.lifted": NumberIn(
        "groundwater above the floor",
        "the groundwater's level less the deepest floor",
        ("site.groundwater", "ponds.depth"),
    ),
    "lift.heavy": NumberIn(
        "share of what may be lifted there", "the stone's weight and the machine's chart", ("accesses.machine",)
    ),
    "access.narrow": NumberIn(
        "room to spare in the access", "its width less the machine's", ("accesses.width", "accesses.machine")
    ),
    "dig.side": _HOLE,
    "dig.ladder": _HOLE,
    "dig.protect": _HOLE,
    "dig.engineer": _HOLE,
    "dig.footing": NumberIn(
        "dig above the 1 to 1 line from the footing",
        "the dig, the footing's base and how far it is",
        ("footings.base", "ponds.depth"),
    ),
    "dig.tree": NumberIn("from the tree to the edge of the dig", "the two places", ("trees.at", "trees.trunk")),
    "dig.service": NumberIn("from the service to the edge of the dig", "the two lines", ("services.line",)),
    "dig.crossing": NumberIn(
        "dig above the top of the service", "the dig, and how deep the service lies", ("services.depth", "services.top")
    ),
    "earth.spoil": NumberIn(
        "soil that is left", "what is dug less what berms and banks take, swollen", ("ponds.depth", "rims.berm")
    ),
    "earth.brought": NumberIn(
        "soil that is brought in", "what berms and banks take less what is dug", ("ponds.depth", "rims.berm")
    ),
    "people.barrier": _POND_DEPTH,
    "survey.stray": NumberIn("how far the level stands from its neighbours", "the readings"),
    "shot.off": NumberIn("how far off plan it was built", "the reading less the level planned there"),
    "crest.under": NumberIn(
        "share of the water that may go under the stone",
        "the flow, and the gap under a stone that nothing seals",
        ("falls.sealed", "runs.wanted"),
    ),
    "crest.cling": NumberIn(
        "rounding of the lips that it takes to make the water cling",
        "the water on the crest and its speed",
        ("falls.kind", "falls.crest_width", "runs.wanted"),
    ),
    "liner.bare": NumberIn(
        "how far the water falls in a dry week",
        "what evaporates and is splashed away, over the pond's surface",
        ("ponds.waterline", "ponds.held"),
    ),
    "supply.small": NumberIn("share of the day for which the supply runs", "its flow and what a dry day takes"),
    "overflow.blocked": NumberIn(
        "what is left below the lowest place of the rim",
        "its level less that of the water, stopped and with all of the rain in it",
        ("ponds.waterline", "rims.berm"),
    ),
    "overflow.stuck": NumberIn(
        "what is left below the lowest place of the rim",
        "its level less that of the sill and of the water over it",
        ("overflow.level", "overflow.width"),
    ),
    "spill.may": NumberIn(
        "what the rim has to spare there", "its top less the highest water", ("rims.berm", "reaches.bank")
    ),
    "volume.metered": NumberIn(
        "how far the meter is from the volume worked out", "the meter's reading and the pond's shape", ("ponds.depth",)
    ),
    "power.distance": NumberIn("from the water to the outlet", "the file", ("site.distance",)),
}

_NAMED: dict[str, NumberIn] = {
    "height": NumberIn(
        "height there is", "the bed at the stream head less the waterline", ("streams.head", "ponds.waterline")
    ),
    "short": NumberIn("height that is missing", "what is spent less the height there is", ("streams.head",)),
    "under": NumberIn("how far below it lies", "the two levels", ("streams.head", "falls.drop", "ponds.waterline")),
    "drop": NumberIn("drop of the pond at start", "the water that the stream holds over the pond's surface"),
    "depth": _POND_DEPTH,
    "real": NumberIn(
        "depth where the sides meet", "the outline, the side and the shelf", ("ponds.side", "ponds.depth")
    ),
    "wished": NumberIn("depth as wished", "the file", ("ponds.depth",)),
    "inside": NumberIn("how far the rim lies inside the water", "its place and the outline", ("rims.at",)),
    "flow": NumberIn("flow", "where the pump's curve meets that of the pipe", ("runs.wanted",)),
    "flow_range": NumberIn("flow, with its band", "where the pump's curve meets that of the pipe", ("runs.wanted",)),
    "wanted": NumberIn("flow wanted", "the file, or the look of the stream and its width", ("runs.wanted",)),
    "most": NumberIn("greatest flow that the maker allows", "the file", ("intakes.greatest_flow",)),
    "preferred_range": NumberIn("flows that the maker prefers", "the file", ("runs.pump",)),
    "available": NumberIn(
        "suction head that there is", "the air's pressure, the lift and the losses", ("runs.suction",)
    ),
    "required": NumberIn("suction head that the pump asks for", "the file", ("runs.pump",)),
    "set": NumberIn("flow with the valves so set", "the flows wanted and what the pumps have", ("runs.wanted",)),
    "crest_range": NumberIn("water over the crests", "the flow so set and the width of each crest", ("runs.wanted",)),
    "bed_range": NumberIn("water on the beds, on their average", "the flow so set and the crest below"),
    "takes": NumberIn("head that the valve takes", "what the outlet needs less what there is"),
    "k": NumberIn("loss coefficient of the valve", "the head that it takes at that flow"),
    "share": NumberIn("share of the flows wanted", "what the pumps have at all outlets together", ("runs.wanted",)),
    "gap": NumberIn("head that is missing", "the pump's curve less lift and losses at the measured flow"),
    "power": NumberIn("electrical power", "flow, head and the pump's efficiency, or its box"),
    "static": NumberIn("height over which the pump lifts", "the outlet's level less the pond's", ("ponds.waterline",)),
    "head": NumberIn("head of the pump", "the lift and the losses in the pipe", ("runs.length", "runs.name")),
    "duty_flow": NumberIn("flow to look for in a pump", "the flow wanted with its spare", ("runs.wanted",)),
    "duty_head": NumberIn("head to look for in a pump", "the lift and the losses at that flow", ("runs.length",)),
    "left": NumberIn("water that stays in the pond", "the pond below the intake", ("intakes.low", "ponds.depth")),
    "lined": NumberIn("lined beyond the banks", "the file", ("streams.splash",)),
    "berm": NumberIn("berm that is needed", "the ground, the highest water and what the fill settles", ("rims.berm",)),
    "lower": NumberIn("how much less there is to spare there", "what is to spare there and where it was read"),
    "away": NumberIn("how far the nearest reading lies", "the two places", ("rims.at",)),
    "by": NumberIn("by how much to raise it, once settled", "what is wanted less the least to spare", ("rims.berm",)),
    "build": NumberIn("by how much to raise it before it settles", "what is wanted over what its fill keeps"),
    "lift": NumberIn("by how much it lacks what is wanted", "what is wanted less the least to spare"),
    "long": NumberIn("length of rim", "the edge as it runs, between the places where enough is to spare"),
    "gain": NumberIn("what an inch there buys", "the lowest place of the rim before and after"),
    "way": NumberIn("how far the water runs", "the steepest way down over the ground"),
    "near": NumberIn("how near the water comes", "its way and the line of what stands there", ("footings.line",)),
    "stands": NumberIn("how far the ground stands above the rim", "the ground a metre out and the rim's top"),
    "said": NumberIn("ground that drains to the pond, as said", "the file", ("catchments.area",)),
    "drains": NumberIn("ground that drains to the pond", "the length of rims and how far the ground rises from them"),
    "ground": NumberIn("ground that drains over the rim", "the length of rim and how far the ground rises from it"),
    "share_low": NumberIn("least that the fill settles, in a hundred of its height", "the table of fills"),
    "share_high": NumberIn("most that the fill settles, in a hundred of its height", "the table of fills"),
    "felt": NumberIn("ceiling of the rise in felt", "the table of covers"),
    "sand": NumberIn("ceiling of the rise in sand", "the table of covers"),
    "soil": NumberIn("ceiling of the rise in soil or silt", "the table of covers"),
    "settles": NumberIn("what the fill settles", "its height by the usual share"),
    "station": NumberIn("station, from the stream head", "the lengths of the beds", ("reaches.length",)),
    "below": NumberIn(
        "groundwater below the floor", "the deepest floor less the groundwater", ("site.groundwater", "ponds.depth")
    ),
    "mass": NumberIn("weight of the piece", "its size and the liner's weight by area", ("liners.mass",)),
    "load": NumberIn("weight to be lifted", "the stone's size and density", ("falls.spill_stone", "falls.stone_depth")),
    "allowed": NumberIn("what may be lifted there", "the machine's chart at that reach", ("accesses.machine",)),
    "width": NumberIn("width", "the file", ("accesses.width",)),
    "distance": NumberIn("from the water to the outlet", "the file", ("site.distance",)),
    "day": NumberIn("water that a dry day takes", "what evaporates and is splashed away, over the pond's surface"),
    "fill": NumberIn("time to fill it", "the volume and the flow of the supply"),
    "meter": NumberIn("volume by the meter", "the reading of the meter"),
    "computed": NumberIn("volume worked out for that level", "the pond's shape", ("ponds.depth", "ponds.stone_share")),
    "span": NumberIn("levels that were read", "the highest reading of the meter less the lowest"),
    "sill": NumberIn("sill of the overflow above the waterline", "the two levels", ("overflow.level",)),
    "room": NumberIn("lowest place of the rim above the sill", "the two levels", ("overflow.level", "rims.berm")),
    "too_high": NumberIn("how far the sill may lie too high", "the bands of the two levels", ("overflow.level",)),
    "carries": NumberIn(
        "what the overflow lets out before the rim goes", "its width and the height up to the rim", ("overflow.width",)
    ),
    "peak": NumberIn("what the heaviest rain brings at its heaviest", "the rain on all that drains to it"),
    **{
        f"{name}{row}": said
        for row in range(2)
        for name, said in (
            ("from", NumberIn("where the low stretch of bank begins", "the edge as it was followed")),
            ("to", NumberIn("where the low stretch of bank ends", "the edge as it was followed")),
            ("by", NumberIn("what the bank lacks there", "what is wanted less the low end of what it has")),
        )
    },
    "stood": NumberIn("how far the water stands above its waterline", "the volumes below the two levels"),
    "beyond": NumberIn("how far the water stands over the lowest place", "the two levels"),
    "brings": NumberIn("flow of the supply", "the file"),
    "off": NumberIn("how far off plan", "the reading less the level planned there"),
    "size": NumberIn("size of the slip", "the readings"),
    "shim": NumberIn("what levels the stone", "the shots of its two ends", ("falls.tilt",)),
}
_OTHERWISE: dict[tuple[str, str], NumberIn] = {
    ("gravel.impact", "set"): NumberIn(
        "stone that just stays, set into others",
        "the speed of the sheet and the pool that it meets",
        ("streams.grain",),
    ),
    ("pipe.prime", "short"): NumberIn(
        "head to spare over the highest point", "the pump's head at no flow less the lift to it", ("runs.summit",)
    ),
    ("pipe.siphons", "back"): NumberIn(
        "what runs back at stop", "the water at rest over the end of the pipe", ("runs.outlet",)
    ),
    ("pipe.summit", "under"): NumberIn("head under the air's", "the head there and its level", ("runs.summit",)),
    ("pipe.summit", "spare"): NumberIn(
        "head above the vapour pressure", "the head there, its level and the air", ("runs.summit",)
    ),
    ("pump.measured", "flow"): NumberIn("flow as measured", "the file", ("runs.measured",)),
    ("pump.measured", "computed_range"): NumberIn("flow as computed", "where the pump's curve meets that of the pipe"),
    ("pump.measured", "off"): NumberIn("how far the flow as measured may be off", "the file", ("runs.measured",)),
    ("pump.measured", "left"): NumberIn("share of its head that the pump gives", "lift and losses at that flow"),
    ("splash.narrow", "height"): NumberIn("height of the highest fall", "its crest less the water below it"),
    ("volume.readings", "deep"): NumberIn("from the floor to the water", "the reading's level and the floor"),
    ("volume.readings", "other"): NumberIn("volume by the meter", "its other reading"),
    ("volume.readings", "higher"): NumberIn("from the floor to the water", "the other reading's level and the floor"),
    ("dig.open", "depth"): _HOLE,
    ("dig.side", "depth"): _HOLE,
}


def is_limit(name: str) -> bool:
    """Whether a number of that name is the limit, not what was found."""
    return name in _LIMIT


def number_in(code: str, name: str) -> NumberIn | None:
    """What the number of that name is in the sentences of a finding; None where that is not said."""
    if name in _VALUE:
        return _OF_RULE.get(code)
    return _OTHERWISE.get((code, name)) or _NAMED.get(name)
