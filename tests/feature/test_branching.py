"""A run of several pumps and outlets in the file: what it becomes, what is refused and how. Invented."""

from __future__ import annotations

import pytest

from rillwright.errors import InputError
from rillwright.feature import Document, Feature, Run, complete
from tests.feature.courtyard import TEXT

SMALL = """\
format: 1
name: Two ways out
invented: yes
units: metric
marks:
  - {id: pin, role: benchmark, level: 0 m}
  - {id: slab, role: paving, level: 0.10 m}
pond: {id: pond, outline: {oval: [4 m, 3 m]}, waterline: 0 m}
stream:
  id: rill
  head: 0.9 m
  course:
    - {bed: b1, length: 2 m}
    - {fall: f1, drop: 300 mm}
    - {bed: b2, length: 2 m}
    - {fall: f2}
run:
  id: main
"""
RUN = """\
  pumps:
    - {id: big, box: {shut_off: 6 m, greatest_flow: 8 m3/h}, speed: 90 %, spread: 5 %}
    - {id: small, curve: [[0 m3/h, 5 m], [2 m3/h, 4 m], [4 m3/h, 1 m]], preferred: [1 m3/h, 3 m3/h], npsh: 2 m}
  arrangement: parallel
  pipe: {name: 63 mm}
  length: 6 m
  temperature: 8 C
  valve: {kv: 20}
  suction: {pipe: {inside: 60 mm}, length: 2 m, pump_at: 0.3 m}
  summit: 1.2 m
  lowest: 20 cm below slab
  drain: no
  measured: {volume: 20 L, time: 12 s}
  outlets:
    - {id: head, to: rill, length: 4 m}
    - {id: spout, to: pond, wanted: 1 m3/h, outlet: 0.5 m,
       pipe: {inside: 30 mm}, length: 3 m, valve: {k: 4}, at: [3 m, 1 m]}
pump_list:
  - {id: spare, box: {shut_off: 4 m, greatest_flow: 6 m3/h}}
"""


def done(text: str) -> Feature:
    return complete(Document.read(text, file="feature.yaml"))


def run_of(text: str) -> Run:
    return done(text).runs[0]


def test_every_key_arrives_in_si() -> None:
    run = run_of(SMALL + RUN)
    assert [pump.id for pump in run.pumps] == ["big", "small"]
    assert (run.pumps[0].speed, run.pumps[0].spread) == (0.9, 0.05)
    assert run.pumps[1].preferred_m3s == pytest.approx((1 / 3600, 3 / 3600))
    assert run.pumps[1].npsh_m == 2.0
    assert [end.key for end in run.ends] == ["main/head", "main/spout"]
    assert run.wanted_m3s == pytest.approx(sum(end.wanted_m3s for end in run.ends))
    assert run.ends[1].wanted_m3s == pytest.approx(1 / 3600)
    assert run.ends[0].level.m == pytest.approx(done(SMALL + RUN).falls[0].crest.m)
    assert run.outlets[0].pipe is None
    assert [fitting.kind for fitting in run.outlets[0].fittings] == ["tee branch", "short elbow", "gate"]
    assert [end.at for end in run.ends] == [None, (3.0, 1.0)]
    assert run.temperature_c == pytest.approx(8.0)
    assert run.measured_m3s == pytest.approx(0.020 / 12)
    assert run.valve is not None
    assert run.valve.kv_m3h == 20.0
    assert run.suction is not None
    assert run.suction.pump_at.m == 0.3
    assert "entrance" not in [fitting.kind for fitting in run.fittings]
    assert run.summit is not None
    assert run.lowest is not None
    assert run.lowest.m == pytest.approx(-0.1)
    assert run.drain is False
    assert [pump.id for pump in run.candidates] == ["spare"]


def test_the_short_form_stays_what_it_was() -> None:
    run = run_of(SMALL + "  pump: {box: {shut_off: 6 m, greatest_flow: 8 m3/h}}\n")
    assert (run.outlets, run.more_pumps, run.suction, run.valve) == ((), (), None, None)
    assert [end.key for end in run.ends] == ["main"]
    assert run_of(TEXT).ends[0].key == run_of(TEXT).id


def test_ids_are_written_in_for_pumps_and_outlets() -> None:
    bare = SMALL + RUN.replace("id: big, ", "").replace("id: spout, ", "").replace("id: spare, ", "")
    text = Document.read(bare, file="feature.yaml").with_ids().text
    run = run_of(text)
    assert [pump.id for pump in run.pumps] == ["p1", "small"]
    assert [outlet.id for outlet in run.outlets] == ["head", "o1"]
    assert run.candidates[0].id == "listed1"


WRONG = {
    "pump and pumps": ("  pump: {box: {shut_off: 6 m, greatest_flow: 8 m3/h}}\n", "either 'pump' or 'pumps'"),
    "wanted beside outlets": ("  wanted: 2 m3/h\n", "each outlet says its own 'wanted'"),
    "to beside outlets": ("  to: rill\n", "each outlet says its own 'to'"),
}


@pytest.mark.parametrize(("line", "told"), WRONG.values(), ids=WRONG.keys())
def test_keys_that_do_not_go_together(line: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        done(SMALL + line + RUN)


SWAPPED = {
    "one point": ("[[0 m3/h, 5 m], [2 m3/h, 4 m], [4 m3/h, 1 m]]", "[[0 m3/h, 5 m]]", "at least 2 entries"),
    "rising curve": ("[2 m3/h, 4 m]", "[2 m3/h, 6 m]", "more flow and less head"),
    "mixed units": ("[2 m3/h, 4 m]", "[4 m, 2 m3/h]", "flow"),
    "speed": ("speed: 90 %", "speed: 300 %", "20 % to 150 %"),
    "spread": ("spread: 5 %", "spread: 80 %", "under 50 %"),
    "preferred": ("[1 m3/h, 3 m3/h]", "[3 m3/h, 1 m3/h]", "lower to the higher"),
    "arrangement": ("arrangement: parallel", "arrangement: crosswise", "'parallel' or 'series'"),
    "temperature": ("temperature: 8 C", "temperature: 80 C", "0 to 40 degrees C"),
    "valve": ("valve: {kv: 20}", "valve: {kv: 20, k: 3}", "given once"),
    "bucket": ("{volume: 20 L, time: 12 s}", "{volume: 20 L}", "'volume' and 'time'"),
    "nowhere": ("to: rill", "to: brook", "must name a stream, a bed or a pond"),
    "pond, no flow": ("wanted: 1 m3/h, ", "", "says the flow 'wanted' there"),
    "no length": ("  length: 6 m\n", "", "says the 'length' of its main"),
    "same outlet": ("id: spout", "id: head", "used twice"),
    "same pump": ("id: small", "id: big", "used twice"),
    "one outlet": ("    - {id: head, to: rill, length: 4 m}\n", "", "at least 2 entries"),
    "fitting": ("valve: {k: 4}, ", "fittings: {bend: 2}, ", "not a listed fitting"),
    "lowest over the end": ("lowest: 20 cm below slab", "lowest: 2 m", "lies above its outlet"),
    "summit under the end": ("summit: 1.2 m", "summit: 0.2 m", "lies below its outlet"),
    "lowest nowhere": ("lowest: 20 cm below slab", "lowest: 2 m below cellar", "no mark, point"),
    "drain": ("drain: no", "drain: perhaps", "yes or no"),
    "pipe": ("name: 63 mm", "name: 64 mm", "not a listed pipe"),
}


@pytest.mark.parametrize(("was", "now", "told"), SWAPPED.values(), ids=SWAPPED.keys())
def test_what_cannot_be_is_named(was: str, now: str, told: str) -> None:
    text = SMALL + RUN
    assert was in text
    with pytest.raises(InputError, match=told) as caught:
        done(text.replace(was, now))
    assert all(problem.line for problem in caught.value.problems)


@pytest.mark.parametrize(
    ("typed", "spreads"), [("", (0.07, 0.09)), (", spread: 3 %", (0.03, 0.0)), (", spread: 0 %", (0.0, 0.0))]
)
def test_a_spread_that_is_typed_goes_before_the_usual_one(typed: str, spreads: tuple[float, float]) -> None:
    """What nobody says is that of the acceptance test, of head and of flow; both are told as taken from defaults."""
    text = SMALL + "  pump: {box: {shut_off: 6 m, greatest_flow: 8 m3/h}" + typed + "}\n"
    feature = complete(Document.read(text, file="feature.yaml"))
    pump = feature.runs[0].pump
    assert pump is not None
    assert (pump.spread, pump.flow_spread) == spreads
    used = [used.default for used in feature.defaults_used if used.path.endswith(".pump.spread")]
    assert used == ([] if typed else ["pump.head_tolerance", "pump.flow_tolerance"])


@pytest.mark.parametrize(
    ("said", "error"),
    [("flow: 5 m3/h", 0.05), ("volume: 20 L, time: 12 s", 0.10), ("flow: 5 m3/h, error: 2 %", 0.02)],
    ids=["meter", "bucket", "typed"],
)
def test_a_measured_flow_is_as_far_off_as_its_meter(said: str, error: float) -> None:
    feature = complete(Document.read(SMALL + "  measured: {" + said + "}\n", file="feature.yaml"))
    assert feature.runs[0].measured_error == error


def test_a_measured_flow_that_may_be_anything_is_refused() -> None:
    with pytest.raises(InputError, match="under 50 %"):
        Document.read(SMALL + "  measured: {flow: 5 m3/h, error: 60 %}\n", file="feature.yaml")


@pytest.mark.parametrize(("top", "refused"), [("1.4 m", False), ("0.1 m", True)], ids=["over its end", "under it"])
def test_the_highest_point_of_an_outlets_pipe(top: str, refused: bool) -> None:
    text = SMALL.replace("  to: rill\n", "") + (
        "  length: 4 m\n  outlets:\n    - {id: head, to: rill, length: 2 m}\n"
        f"    - {{id: stone, to: pond, wanted: 1 m3/h, outlet: 0.3 m, length: 2 m, summit: {top}}}\n"
    )
    if refused:
        with pytest.raises(InputError, match="highest point of the pipe lies below its outlet"):
            complete(Document.read(text, file="feature.yaml"))
        return
    stone = complete(Document.read(text, file="feature.yaml")).runs[0].outlets[1]
    assert stone.summit is not None
    assert stone.summit.m == pytest.approx(1.4)
