"""Numbers of a pipe run: where its pump works, what is wished for, what each outlet gets, which valve to turn."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

from rillwright.assessment import Judged, NotRun, OutletFlow, PumpPoint
from rillwright.feature import named_in
from rillwright.job.origins import source_words
from rillwright.job.worked_out import WorkedOut
from rillwright.packet import Say, bore_words, spare_words, turned_words, valve_words
from rillwright.units import Band

_PUMP = ("pumps.curve", "pumps.shut_off", "pumps.greatest_flow", "pumps.speed", "pumps.spread")
_PIPE = ("runs.name", "runs.inside", "runs.length")
_WANTED = ("runs.wanted",)
_MEETS = "where the curve of its pump meets what lift, pipe and fittings ask for, its valves open"
_LOSSES = "colebrook-1939", "epanet-2.2"
_CASES = {
    "clean": "all of it as it was built",
    "worn": "a pump that gives less head by the usual wear",
    "dirty intake": "an entrance that is open in part only",
    "cold water": "water near freezing, which is thicker",
    "pond low": "the pond down at the lowest level of its intake",
}


def run_number(judged: Judged, point: PumpPoint, kind: str) -> WorkedOut | None:
    """What a number of a run is; None where there is none of that kind."""
    tell = _Run(judged, point)
    make = _KINDS.get(kind)
    if make is not None:
        return make(tell)
    for head, of in (("in case: ", tell.case), ("with pipe: ", tell.size), ("with pump: ", tell.tried)):
        if kind.startswith(head):
            return of(kind.removeprefix(head))
    what, _, outlet = kind.partition(" of ")
    return tell.outlet(what, outlet)


class _Run:
    """One run at its operating point."""

    def __init__(self, judged: Judged, point: PumpPoint) -> None:
        self.judged, self.point = judged, point
        self.say = Say(judged.assessment.feature.system)
        self.path = f"runs/{point.run}"
        self.name = named_in(judged.assessment.feature, self.path)

    def told(
        self,
        what: str,
        value: str,
        *came: str,
        band: str = "",
        wanted: tuple[str, ...] = (),
        sources: tuple[str, ...] = (),
    ) -> WorkedOut:
        if sources:
            came = (*came, f"Source: {'; '.join(source_words(one) for one in sources)}.")
        return WorkedOut(what=what, value=value, band=band, came=came, path=self.path, wanted=wanted)

    def meets(self, what: str, band: Band, unit: str) -> WorkedOut:
        if self.point.proposed:
            return self.told(
                f"{what} of {self.name}", self.say.one(band.value, unit),
                "No pump is chosen yet: from what is wished for to the duty, its valve open.",
                band=self.say.may_be(band, unit), wanted=(*_WANTED, *_PIPE),
            )  # fmt: skip
        return self.told(
            f"{what} of {self.name}", self.say.one(band.value, unit), f"Worked out from {_MEETS}.",
            band=self.say.may_be(band, unit), wanted=(*_WANTED, *_PUMP, *_PIPE), sources=_LOSSES,
        )  # fmt: skip

    def wished(self) -> WorkedOut:
        return self.told(
            f"flow wished for of {self.name}", self.say.one(self.point.wanted_m3s, "m3/s"),
            "Typed, or worked out from the widths of the crests and the look that is wished for.", wanted=_WANTED,
        )  # fmt: skip

    def duty(self) -> WorkedOut:
        point, say = self.point, self.say
        return self.told(
            f"duty to ask a pump for, for {self.name}",
            f"{say.one(point.duty_flow_m3s, 'm3/s')} at {say.one(point.duty_head_m, 'm')}",
            "Worked out from the flow wished for with its usual spare, and from lift and losses at that flow.",
            wanted=(*_WANTED, *_PIPE), sources=_LOSSES,
        )  # fmt: skip

    def lift(self) -> WorkedOut:
        return self.told(
            f"lift of {self.name}", self.say.one(self.point.static_m, "m"),
            "Worked out from the level at which its water is let out less the running water that it is drawn from.",
            wanted=("streams.head", "runs.outlet", "ponds.waterline"),
        )  # fmt: skip

    def friction(self) -> WorkedOut:
        return self.told(
            f"head lost in pipe and fittings of {self.name}", self.say.one(self.point.friction_m, "m"),
            "Worked out from the flow, the pipe's inside, its length and each fitting.", wanted=_PIPE, sources=_LOSSES,
        )  # fmt: skip

    def pipe(self) -> WorkedOut:
        said = f"{self.point.pipe}, {self.say.one(self.point.pipe_length_m, 'm')}"
        return self.told(f"pipe of {self.name}, and its length", said, "As the file has it, or as usual.", wanted=_PIPE)

    def inside(self) -> WorkedOut:
        return self.told(
            f"inside of the pipe of {self.name}", bore_words(self.point.pipe_inside_m, self.say),
            "By its name, from the listed sizes, or as it was typed.", wanted=_PIPE[:2],
        )  # fmt: skip

    def speed(self) -> WorkedOut:
        return self.told(
            f"speed of the water in the pipe of {self.name}", self.say.one(self.point.speed_ms, "m/s"),
            "Worked out from the flow and the pipe's inside.", wanted=(*_PIPE[:2], *_WANTED),
        )  # fmt: skip

    def spare(self) -> WorkedOut:
        return self.told(
            f"flow of {self.name} over what is wished for", spare_words(self.point.spare, self.say),
            "Worked out from the flow at which it works with its valves open, less the flow wished for.",
            wanted=(*_WANTED, *_PUMP, *_PIPE),
        )  # fmt: skip

    def power(self) -> WorkedOut:
        return self.told(
            f"electrical power of {self.name}", self.say.one(self.point.power_w.value, "W"),
            "As its maker says, or worked out from flow, head and efficiency.",
            band=self.say.may_be(self.point.power_w, "W"), wanted=("pumps.watts", "pumps.efficiency"),
        )  # fmt: skip

    def valve(self) -> WorkedOut | None:
        valve, point = self.point.main_valve, self.point
        if valve is None:
            return None
        return self.told(
            f"valve on the main of {self.name}",
            turned_words(point.wanted_m3s, valve.spare_m, k=valve.valve_k, say=self.say),
            "Worked out from the head that the pump has over what lift and pipe ask for at the flow wished for.",
            wanted=_WANTED,
        )  # fmt: skip

    def settings(self) -> WorkedOut | None:
        share = self.point.settings_share
        if share is None:
            return None
        return self.told(
            f"share of the flows wished for that all outlets of {self.name} can have together",
            self.say.one(share, "-", kind="share"), f"Worked out from {_MEETS}, turned until the shares agree.",
            wanted=_WANTED,
        )  # fmt: skip

    def measured(self) -> WorkedOut | None:
        found = self.point.measured
        if found is None:
            return None
        return self.told(
            f"flow of {self.name} as it was measured", self.say.one(found.flow_m3s, "m3/s"), "Typed in the file.",
            band=f"worked out for it: {self.say.band(found.computed_m3s, 'm3/s')}", wanted=("runs.measured",),
        )  # fmt: skip

    def case(self, name: str) -> WorkedOut | None:
        found = next((each for each in self.point.cases if each.case == name), None)
        if found is None:
            return None
        return self.told(
            f"what {self.name} gives in this case: {name}", self._point(found.flow_m3s, found.head_m),
            f"Worked out with {_CASES[name]}, all else being usual.", band=spare_words(found.spare, self.say),
            wanted=(*_WANTED, *_PIPE),
        )  # fmt: skip

    def size(self, name: str) -> WorkedOut | None:
        found = next((each for each in self.point.sizes if each.pipe == name), None)
        if found is None:
            return None
        return self.told(
            f"what {self.name} gives with another pipe as its main: {name}", self._point(found.flow_m3s, found.head_m),
            f"Worked out with an inside of {bore_words(found.inside_m, self.say)}, all else being as it is.",
            band=f"water in it at {self.say.one(found.speed_ms, 'm/s')}", wanted=_PIPE[:2],
        )  # fmt: skip

    def tried(self, name: str) -> WorkedOut | None:
        found = next((each for each in self.point.tried if each.pump == name), None)
        if found is None:
            return None
        return self.told(
            f"what {self.name} gives with another pump: {name}", self._point(found.flow_m3s.value, found.head_m.value),
            "Worked out from the curve of that pump of your own list, all else being as it is.",
            band=self.say.may_be(found.flow_m3s, "m3/s"), wanted=_WANTED,
        )  # fmt: skip

    def outlet(self, what: str, id: str) -> WorkedOut | None:
        water = self.judged.assessment.water
        outlets = () if isinstance(water, NotRun) else water.circuit.outlets
        found = next((each for each in outlets if each.run == self.point.run and each.id == id and id), None)
        return None if found is None else self._of_outlet(what, found)

    def _of_outlet(self, what: str, found: OutletFlow) -> WorkedOut | None:
        say, at = self.say, f"outlet {found.id} of {self.name}"
        if what == "level":
            return self.told(f"level at which {at} lets its water out", say.level(found.level_m), "As the file has it.")
        if what == "flow":
            return self.told(
                f"what {at} gets, all valves open", say.one(found.flow_m3s.value, "m3/s"), f"Worked out from {_MEETS}.",
                band=say.may_be(found.flow_m3s, "m3/s"), sources=_LOSSES,
            )  # fmt: skip
        if what == "wished":
            return self.told(
                f"what is wished for at {at}", say.one(found.wanted_m3s, "m3/s"), "Typed in the file, or as usual."
            )
        if what == "valve":
            return self.told(
                f"how to set the valve of {at}", valve_words(found, say),
                "Worked out so that each outlet gets its share of the flows wished for, one valve left open.",
            )  # fmt: skip
        if what != "set":
            return None
        return self.told(
            f"what {at} gets with all valves so set", say.one(found.set_m3s, "m3/s"),
            "Worked out with each valve taking what is said of it.",
        )  # fmt: skip

    def _point(self, flow_m3s: float, head_m: float) -> str:
        return f"{self.say.one(flow_m3s, 'm3/s')} at {self.say.one(head_m, 'm')}"


_KINDS: MappingProxyType[str, Callable[[_Run], WorkedOut | None]] = MappingProxyType(
    {
        "flow": lambda run: run.meets("flow", run.point.flow_m3s, "m3/s"),
        "head": lambda run: run.meets("head", run.point.head_m, "m"),
        "wished": _Run.wished,
        "duty": _Run.duty,
        "lift": _Run.lift,
        "friction": _Run.friction,
        "pipe": _Run.pipe,
        "inside": _Run.inside,
        "speed": _Run.speed,
        "spare": _Run.spare,
        "power": _Run.power,
        "valve": _Run.valve,
        "settings": _Run.settings,
        "measured": _Run.measured,
    }
)
