"""A whole assessment for the tests, invented, with nothing beyond a limit; and a way to change one value of it."""

from __future__ import annotations

from functools import cache
from typing import Any

from msgspec.structs import replace

from rillwright.assessment import (
    AccessCheck,
    Assessment,
    Balance,
    Build,
    Circuit,
    Containment,
    CrestWater,
    Dig,
    Earth,
    Feature,
    Finding,
    FootingClearance,
    Freeboard,
    HighWater,
    Lift,
    Liner,
    LookBack,
    Loop,
    NotRun,
    OutletFlow,
    PageCheck,
    PondWater,
    PumpPoint,
    ReachWater,
    Services,
    SetUp,
    Sheet,
    Stone,
    Survey,
    SurveyedPoint,
    Takeoff,
    Water,
)
from rillwright.feature import Document, complete
from rillwright.findings import find
from rillwright.shape import Shape, Surface, shape
from rillwright.units import Band, parse

TEXT = """\
# Invented for the tests.
format: 1
name: Alder Yard
invented: yes
units: us
books: []
marks:
  - {id: pin, role: benchmark, level: 0 in, at: [0 ft, 0 ft]}
  - {id: terrace, role: paving, level: 4 in}
  - {id: knoll, level: 20 in, at: [20 ft, 0 ft]}
site:
  access:
    - {id: gate, width: 4 ft}
ponds:
  - id: pond
    waterline: 0 in
    outline: {oval: [12 ft, 8 ft]}
    depth: 17 in
    intake: {kind: skimmer}
    rims:
      - {id: low, ground: 3 in, berm: 4 in}
streams:
  - id: rill
    into: pond
    head: knoll
    head_ground: knoll
    course:
      - {bed: b1, length: 5 ft}
      - {fall: f1, drop: 4 in}
      - {bed: b2, length: 5 ft}
      - {fall: f2}
runs:
  - {id: run, from: pond, to: rill, pump: {box: {shut_off: 12 ft, greatest_flow: 4000 gal/h}}}
laps:
  - {id: lap, at: f2, upturn: 6 in, run: 24 in}
"""


def metres(typed: str) -> float:
    """A length as typed [m]."""
    return parse(typed, "length").si


def exact(typed: str) -> Band:
    """A length as typed, without a band."""
    return Band.exact(metres(typed))


@cache
def feature() -> Feature:
    done: Feature = complete(Document.read(TEXT, file="feature.yaml"))
    done = put(done, "streams.0.links.1.wished_ripple", True)
    done = put(done, "streams.0.splash_m", 1.0)
    done = put(done, "streams.0.links.1.tilt_m", 0.0)
    done = put(done, "site.services", Services(located=True, on="2026-05-03", ticket="17"))
    done = put(done, "site.spoil", "behind the hedge")
    done = put(done, "site.residual_current_device", True)
    done = put(done, "site.groundwater", replace(done.bodies[0].waterline, m=-2.0))
    return done


@cache
def whole() -> Assessment:
    """Every branch there, every value on the good side of its limit."""
    done, formed = feature(), _shape()
    return Assessment(
        feature=done,
        survey=_survey(),
        surface=Surface(rims=(), footprints=(), guessed_m=0.0),
        shape=formed,
        water=_water(done),
        liner=Liner(sheets=(_piece(),)),
        containment=_containment(),
        stone=Stone(spill_stones=(), lots=()),
        earth=_earth(),
        takeoff=Takeoff(lines=()),
        build=_build(),
        price=NotRun("no price book"),
        defaults_used=done.defaults_used,
        limits_used=(),
        out_of_range=(),
        digest="d1",
        steps=(),
    )


def _shape() -> Shape:
    formed: Shape = put(shape(feature()), "budgets.0.steps.1.kind", "ripple")
    formed = put(formed, "budgets.0.left_over_m", 0.0)
    return formed


def _survey() -> Survey:
    level = feature().marks[2].level
    return Survey(
        books=("ground.csv",),
        datum="pin",
        setups=(
            SetUp(
                id="1", book="ground.csv", rod="ft-in", height_of_instrument_m=1.2, benchmark="pin", backsight_text="4'"
            ),
        ),
        points=(SurveyedPoint(id="knoll", level=level, at=None, setup="1", reading_text="2' 4\"", state="confirmed"),),
        loops=(
            Loop(
                name="round",
                book="ground.csv",
                setups=3,
                length_m=140.0,
                misclosure_m=-0.002,
                tolerance_m=0.003,
                tolerance_name="garden",
                closes=True,
            ),
        ),
        page_checks=(PageCheck(book="ground.csv", backsights="4.1", foresights="3.1", rise="1.0", agrees=True),),
        doubts=(),
        looks=(LookBack(book="ground.csv", shots=9, setups=3, again=1, closed=1, due=False),),
        misclosure_m=-0.002,
        adjusted="by distance",
    )


def _water(feature: Feature) -> Water:
    flow = Band(0.0025, 0.00245, 0.00255)
    crests = tuple(
        CrestWater(
            fall=fall.id,
            path=f"falls/{fall.id}",
            kind="free",
            flow_m3s=flow,
            width_m=0.5,
            depth_m=exact("3/4 in"),
            fall_height_m=exact("12 in"),
            throw_m=exact("6 in"),
            impact_ms=2.0,
            in_range=True,
            range_note="",
            tilt_ratio=None,
        )
        for fall in feature.falls
    )
    reaches = tuple(_reach(reach.id, flow) for reach in feature.reaches)
    pump = PumpPoint(
        run="run",
        pump="run",
        proposed=False,
        wanted_m3s=0.002,
        flow_m3s=flow,
        head_m=Band.exact(2.0),
        static_m=1.0,
        friction_m=1.0,
        power_w=Band(120.0, 100.0, 150.0),
        speed_ms=1.2,
        pipe="2 in",
        pipe_inside_m=0.0525,
        pipe_length_m=8.0,
        duty_flow_m3s=0.0025,
        duty_head_m=2.0,
        spare=0.25,
        pump_curve=(),
        system_curve=(),
    )
    balance = Balance(
        body="pond",
        holding="while running",
        held_m=0.0,
        transit_m3=Band.exact(0.2),
        drop_at_start_m=exact("1 in"),
        running_level_m=Band.exact(0.0),
        stop_level_m=exact("1 in"),
        topped_up_stop_level_m=exact("1 in"),
        left_if_stream_leaks_m=metres("-4 in"),
        intake_low_m=metres("-4 in"),
        intake_high_m=metres("2 in"),
    )
    pond = PondWater(body="pond", volume_m3=2.5, area_m2=7.0, turnover_h=0.3)
    return Water(
        circuit=Circuit(
            flow_m3s=flow,
            head_m=pump.head_m,
            power_w=pump.power_w,
            pumps=(pump,),
            outlets=(OutletFlow(run="run", outlet="rill", level_m=0.5, flow_m3s=flow),),
        ),
        crests=crests,
        reaches=reaches,
        pond=pond,
        balance=balance,
        ponds=(pond,),
        balances=(balance,),
        highest=(),
        cases_not_run=(),
        out_of_range=(),
    )


def _reach(id: str, flow: Band) -> ReachWater:
    return ReachWater(
        reach=id,
        path=f"reaches/{id}",
        pool_like=True,
        flow_m3s=flow,
        rest_level_m=None,
        running_start_m=Band.exact(0.4),
        running_end_m=Band.exact(0.4),
        depth_m=Band.exact(0.1),
        speed_ms=Band.exact(0.05),
        hidden=Band.exact(0.05),
        above_rest_m3=0.02,
        gravel_m3=0.0,
        method="backwater",
    )


def _piece() -> Sheet:
    return Sheet(
        id="pond liner",
        kind="liner",
        name="EPDM 45 mil",
        path="ponds/pond",
        length_m=5.0,
        width_m=4.0,
        mass_kg=28.0,
        because=(),
    )


def _top(path: str, kind: str, run_m: float | None = None) -> Freeboard:
    against = HighWater(
        path="ponds/pond", case="stopped", holding="while running", level_m=exact("1 in"), method="storage"
    )
    return Freeboard(
        path=path,
        kind=kind,
        top_m=exact("6 in"),
        against=against,
        freeboard_m=exact("5 in"),
        berm_needed_m=metres("3 in") if kind == "rim" else None,
        run_m=run_m,
    )


def _containment() -> Containment:
    tops = (_top("rims/low", "rim"), _top("reaches/b1.bank", "bank"), _top("laps/lap", "upturn", run_m=0.6))
    return Containment(tops=tops, spills_first="rims/low")


def _earth() -> Earth:
    hole = Dig(
        path="ponds/pond", bank_m3=3.0, deepest_m=0.5, side_up_per_across=2.0, soil_up_per_across=0.67, because=()
    )
    return Earth(
        digs=(hole,),
        soil_out_m3=3.8,
        berm_fill_m3=0.1,
        swell=1.25,
        clearances=(FootingClearance(footing="house", path="ponds/pond", clearance_m=0.5),),
        groundwater_above_floor_m=-1.0,
    )


def _build() -> Build:
    return Build(
        stakes=(),
        lifts=(Lift(path="falls/f2", what="spill stone", load_kg=150.0, allowed_kg=320.0, machine="mini excavator"),),
        accesses=(AccessCheck(access="gate", width_m=1.3, machine="mini excavator", machine_width_m=1.0, fits=True),),
    )


def put(thing: Any, path: str, value: Any) -> Any:
    """A copy of nested frozen values in which the one at a dotted path, `water.crests.0.depth_m`, is another."""
    here, _, rest = path.partition(".")
    if isinstance(thing, tuple):
        at = int(here)
        return (*thing[:at], put(thing[at], rest, value) if rest else value, *thing[at + 1 :])
    return replace(thing, **{here: put(getattr(thing, here), rest, value) if rest else value})


def changed(changes: dict[str, Any]) -> Assessment:
    """The whole assessment with some values changed."""
    done = whole()
    for path, value in changes.items():
        done = put(done, path, value)
    return done


def worst(assessment: Assessment, code: str) -> Finding:
    """The first finding of that code, the worst of them."""
    return next(finding for finding in find(assessment) if finding.code == code)


def findings(assessment: Assessment, code: str) -> list[Finding]:
    """All findings of that code."""
    return [finding for finding in find(assessment) if finding.code == code]
