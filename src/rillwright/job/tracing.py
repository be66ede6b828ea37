"""Where a number on the screen comes from: what it is, how well it is known, what it hangs from, the value to type."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from rillwright.assessment import DefaultUsed, ElementPath, Finding, Judged, Level, NotRun, Origin
from rillwright.errors import InputError, Problem
from rillwright.feature import named_in, spoken
from rillwright.findings import RULES, is_limit, number_in
from rillwright.job.around import around
from rillwright.job.editing import FieldOfFile, fields_of
from rillwright.job.opening import Job
from rillwright.job.origins import came_from, default_words, levels_of, source_words
from rillwright.job.tracing_edges import edge_number
from rillwright.job.tracing_water import water_number
from rillwright.job.worked_out import WorkedOut
from rillwright.judge import limit_of, render
from rillwright.units import Band, Style, show, style_for

_MOST_TOLD = 4


class Told(Struct, frozen=True, kw_only=True):
    """One number: what it is, its value where that is known by itself, its band, where it came from, what to type."""

    what: str
    value: str
    band: str
    came: tuple[str, ...]
    typed: tuple[FieldOfFile, ...]


class _Part(Struct, frozen=True):
    """A number of a drawing that is no level of the file: its words, what it was worked out from, what moves it."""

    what: str
    worked_from: str
    typed: tuple[str, ...] = ()


_BED_BELOW = ("streams.gravel", "liners.thickness", "liners.underlay")
_POOL = ("falls.depth", "reaches.start", "falls.drop", "streams.head")  # where the floor of a plunge pool lies
_BELOW = {"start": ("reaches.start",), "floor": ("ponds.depth", "ponds.gravel"), "plunge_floor": _POOL}
_PARTS = {
    "reaches.length": _Part("length of {name}", "what the drawn way leaves", ("reaches.length",)),
    "reaches.pitch": _Part("pitch of {name}, from its start to its end", "its two ends", ("reaches.pitch",)),
    "falls.drop": _Part(
        "drop of {name}, bed to bed; of the last, bed to waterline",
        "what the height leaves",
        ("falls.drop", "streams.head"),
    ),
    "falls.crest_width": _Part("width of the crest of {name}", "the file", ("falls.crest_width",)),
    "falls.station": _Part(
        "station of {name}, from the stream head",
        "the lengths of the beds above it",
        ("falls.station", "reaches.length"),
    ),
    "streams.height": _Part(
        "height there is in {name}, from the bed at its head to the water that is held",
        "the level of the head less the waterline",
        ("streams.head", "ponds.waterline"),
    ),
    "streams.left_over": _Part(
        "height of {name} that is left over", "the height there is less all falls and pitches", ("streams.head",)
    ),
    "streams.mouth": _Part(
        "level where {name} runs into the bed of another",
        "the bed there and the water that both bring, as it runs or stands",
        ("streams.into", "streams.path"),
    ),
    "streams.across": _Part(
        "the bed that {name} runs into, along the section", "its width and bank", ("streams.into",)
    ),
    "ponds.along": _Part("the way through {name}, along the section", "the outline at the waterline"),
    "ponds.length": _Part("length of {name} at the waterline", "its outline", ("ponds.oval.0", "ponds.rectangle.0")),
    "ponds.width": _Part("width of {name} at the waterline", "its outline", ("ponds.oval.1", "ponds.rectangle.1")),
    "accesses.width": _Part("width of {name}", "the file", ("accesses.width",)),
    "runs.outlet": _Part("level at which {name} lets its water out", "the file", ("runs.outlet",)),
    "trees.trunk": _Part("thickness of the trunk of {name}", "the file", ("trees.trunk", "trees.girth")),
    "services.depth": _Part("depth to the top of {name}", "the file", ("services.depth",)),
    "reaches.plunge_floor": _Part(
        "bed on the floor of the plunge pool in {name}", "the bed at the foot of the fall less the pool's depth", _POOL
    ),
    "rims.berm": _Part("height of the berm at {name}, before it settles", "the file", ("rims.berm",)),
}
_AWAY = _Part("how far {name} lies from the nearest stake or mark of the work", "the places of the two")
_LEVELS: dict[str, tuple[str, ...]] = {  # what moves a level, nearest first
    "falls.crest": ("falls.crest", "falls.spill_stone", "reaches.pitch", "streams.head"),
    "reaches.start": ("reaches.start", "falls.drop", "streams.head"),
    "reaches.end": ("reaches.pitch", "reaches.start", "streams.head"),
}
_UNDER = {
    "bed": _Part("bed, the top of the gravel, at {place}", "the waterline less the depth", ("ponds.depth",)),
    "liner": _Part("liner under {place}", "the bed there less the gravel", ("reaches.gravel", *_BED_BELOW[:1])),
    "dig": _Part("dig under {place}", "the bed there less gravel, liner and underlay", _BED_BELOW),
}


def told_in_drawing(job: Job, judged: Judged, of: str) -> tuple[Told, ...]:
    """What the numbers of some words in a drawing are; `of` is what the drawing says of them.

    Raises
    ------
    InputError
        If there is no such number.
    """
    found = []
    tracer = _Tracer(job, judged)
    for one in of.split("; ")[:_MOST_TOLD]:
        path, _, surface = one.partition(" ")
        edge, water = edge_number(judged, one), water_number(judged, one)
        if water is not None:
            found.append(tracer.worked_out(water, lines=True))
        elif edge is not None:
            found.append(tracer.worked_out(edge))
        else:
            found.append(tracer.part(ElementPath.parse(path), surface))
    return tuple(found)


def told_in_finding(job: Job, judged: Judged, *, code: str, element: str, name: str) -> tuple[Told, ...]:
    """What the number of that name is in the sentences of the finding of that code on that element.

    Raises
    ------
    InputError
        If there is no such finding, or no such number in it.
    """
    for finding in judged.findings:
        if (finding.code, finding.element) == (code, element):
            return (_Tracer(job, judged).number(finding, name),)
    raise InputError(Problem(message="there is no such finding any more", found=f"{code[:60]}, {element[:60]}"))


class _Tracer:
    """One job as it is judged, with the values of its file."""

    def __init__(self, job: Job, judged: Judged) -> None:
        self.job, self.judged = job, judged
        self.feature = judged.assessment.feature
        self.style: Style = style_for(self.feature.system)
        self.fields: dict[tuple[str, str], FieldOfFile] = {}
        self.all = fields_of(job)
        for field in self.all:
            key = next((part for part in reversed(field.location) if isinstance(part, str)), "")
            self.fields.setdefault((field.path, key), field)
            if isinstance(field.location[-1], int):
                self.fields.setdefault((field.path, f"{key}.{field.location[-1]}"), field)

    def typed(self, path: str, wanted: Iterable[str]) -> tuple[FieldOfFile, ...]:
        """The values of the file that are wanted, as `rims.berm`, of an element or of what it belongs to."""
        near = around(self.feature, path)
        found = []
        for one in wanted:
            collection, _, key = one.partition(".")
            field = self.fields.get((near.get(collection, ""), key))
            if field is not None and field not in found:
                found.append(field)
        return tuple(found)

    def part(self, path: ElementPath, surface: str) -> Told:
        place = f"{path.collection}/{path.id}.{path.part}"
        key = f"{path.collection}.{path.part}"
        level = levels_of(self.feature).get(place)
        if level is not None and surface in ("", level.surface.value):
            return self._level(place, key, level)
        if path.part in ("running", "stopped") and (band := self._water(path)) is not None:
            return self._wet(path, band)
        if path.part in _BELOW and surface in _UNDER and (path.part != "plunge_floor" or surface != "bed"):
            extra = _BELOW[path.part]
            what = "floor of the plunge pool" if path.part == "plunge_floor" else path.part
            where = f"the {what} of {self._name(place)}"
            said = _UNDER[surface]
            return self._worked(place, said.what.format(place=where), said.worked_from, (*extra, *said.typed))
        said = _AWAY if path.part == "away" else _PARTS.get(key, _AWAY)
        if key not in _PARTS and path.part != "away":
            raise InputError(Problem(message="there is no such number in a drawing", found=str(path)[:80]))
        return self._worked(place, said.what.format(name=self._name(place)), said.worked_from, said.typed)

    def worked_out(self, found: WorkedOut, *, lines: bool = False) -> Told:
        """With a line on each of the values that move it, where it has `lines`."""
        typed = self.typed(found.path, found.wanted)
        came = (*found.came, *self._lines(typed)) if lines else found.came
        return Told(what=found.what, value=found.value, band=found.band, came=came, typed=typed)

    def _name(self, path: str) -> str:
        return named_in(self.feature, path)

    def _level(self, place: str, key: str, level: Level) -> Told:
        from rillwright.drawings import level as level_words

        band = f"standard error {show(level.sigma_m, 'length', self.style)}" if level.sigma_m > 0.0 else ""
        return Told(
            what=f"{spoken(place)}, {level.surface.value}",
            value=level_words(level.m, self.feature.system),
            band=band,
            came=came_from(self.judged, place),
            typed=self._built(place) if level.origin is Origin.BUILT else self.typed(place, _LEVELS.get(key, (key,))),
        )

    def _built(self, place: str) -> tuple[FieldOfFile, ...]:
        """The value of a level that the file gives as built; a shot is taken again on the day, not typed here."""
        said = self.job.document.said.built
        at = [index for index, row in enumerate(said) if row.at == place]
        return tuple(field for field in self.all if at and field.location == ("built", at[-1], "level"))

    def _water(self, path: ElementPath) -> Band | None:
        water = self.judged.assessment.water
        if isinstance(water, NotRun):
            return None
        if path.collection == "reaches":
            wet = water.wet(path.id)
            return None if wet is None else wet.running_end_m
        balance = next((one for one in water.balances if one.body == path.id), None)
        if balance is None:
            return None
        return balance.running_level_m if path.part == "running" else balance.stop_level_m

    def _wet(self, path: ElementPath, band: Band) -> Told:
        from rillwright.drawings import level as level_words

        place = f"{path.collection}/{path.id}"
        low, high = (level_words(end, self.feature.system) for end in (band.low, band.high))
        if path.collection == "reaches":
            what = f"level of the water at the end of {self._name(place)}, pump running"
            came = "Worked out from the flow over the crest below it, by the weir formula for its width."
            below = next((fall for fall in self.feature.falls if fall.upstream == self._end_of(path.id)), None)
            place = place if below is None else f"falls/{below.id}"
            typed = self.typed(place, ("falls.crest_width", "falls.crest", "runs.wanted"))
        else:
            what = f"level of the water in {self._name(place)}, {path.part}"
            came = "Worked out from the waterline, when it is topped up, and the water that the stream holds."
            typed = self.typed(place, ("ponds.waterline", "ponds.held"))
        return Told(
            what=what,
            value=level_words(band.value, self.feature.system),
            band="" if low == high else f"may be {low} to {high}",
            came=(came,),
            typed=typed,
        )

    def _end_of(self, reach: str) -> str:
        return next((one.downstream for one in self.feature.reaches if one.id == reach), "")

    def _worked(self, place: str, what: str, worked_from: str, wanted: tuple[str, ...]) -> Told:
        typed = self.typed(place, wanted)
        own = self.fields.get((place.partition(".")[0], place.partition(".")[2]))
        if own is not None and own in typed:
            return Told(what=what, value="", band="", came=(self._field_words(own),), typed=typed)
        return Told(what=what, value="", band="", came=self._came(worked_from, typed), typed=typed)

    def number(self, finding: Finding, name: str) -> Told:
        known = {one for one, _, _ in finding.parameters}
        ends = {f"{name.removesuffix('range')}{end}" for end in ("low", "high")}
        if name not in known and not (name.endswith("range") and ends <= known):
            raise InputError(Problem(message="there is no such number in this finding", found=name[:60]))
        if is_limit(name):
            return self._limit(finding, name)
        said = number_in(finding.code, name)
        what = f"what was found ({finding.title[:1].lower()}{finding.title[1:]})" if said is None else said.what
        typed = self.typed(finding.element, () if said is None else said.typed)
        came = self._came(
            said.worked_from if said is not None else f"the values of {self._name(finding.element)}", typed
        )
        return Told(
            what=f"{what}, {self._name(finding.element)}",
            value=render(f"{{{name}}}", finding.parameters, self.style),
            band=self._band(finding, name),
            came=came,
            typed=typed,
        )

    def _band(self, finding: Finding, name: str) -> str:
        if name != "value" or finding.value_low is None or finding.value_high is None:
            return ""
        span = render("{range}", finding.parameters, self.style)
        return f"may be {span}" if finding.value_low < finding.value_high and " to " in span else ""

    def _came(self, worked_from: str, typed: tuple[FieldOfFile, ...]) -> tuple[str, ...]:
        """The sum, then the readings, defaults and typed values that it was made from."""
        found = () if worked_from == "the file" and typed else (f"Worked out from {worked_from}.",)
        return (*found, *self._lines(typed))

    def _lines(self, typed: tuple[FieldOfFile, ...]) -> tuple[str, ...]:
        found = []
        for field in typed:
            path = f"{field.path}.{field.location[-1]}"
            level = levels_of(self.feature).get(path)
            if level is not None and level.origin is not Origin.DEFAULT:
                said = " ".join(came_from(self.judged, path))
            else:
                said = self._field_words(field)
            if said:
                found.append(f"{field.words[:1].upper()}{field.words[1:]}, {field.of}: {said[:1].lower()}{said[1:]}")
        return tuple(found)

    def _field_words(self, field: FieldOfFile) -> str:
        if not field.is_default:
            return f"Typed in the file: {spoken(field.typed)}."
        used = self._default(field)
        return default_words(used) if used is not None else f"Nobody typed it: taken as {field.typed}."

    def _default(self, field: FieldOfFile) -> DefaultUsed | None:
        path = f"{field.path}.{field.location[-1]}"
        return next((used for used in self.judged.assessment.defaults_used if used.path == path), None)

    def _limit(self, finding: Finding, name: str) -> Told:
        rule = next(rule for rule in RULES if rule.code == finding.code)
        words = limit_of(finding, self.style) or render(f"{{{name}}}", finding.parameters, self.style)
        overrides = [
            field
            for field in self.all
            if field.location[0] == "limits" and field.location[-1] == "value" and _limit_of(field) in rule.limits
        ]
        if finding.limit_origin == "override":
            came = ["The file gives this limit itself, in place of the usual one."]
        elif finding.limit_origin == "computed":
            came = ["Worked out for this place.", f"Source: {source_words(finding.source)}."]
        else:
            came = [f"The usual limit. Source: {source_words(finding.source)}."]
            came.append("The file may give another figure, with a reason.")
        return Told(
            what=f"limit: {finding.title[:1].lower()}{finding.title[1:]}",
            value=words,
            band="",
            came=tuple(came),
            typed=tuple(overrides),
        )


def _limit_of(field: FieldOfFile) -> str:
    return field.of.removeprefix("limit ")
