"""Odds for the rule on them; its limit is our own (common practice, no source)."""

from __future__ import annotations

from typing import Any

from rillwright.assessment import Confirmed, NotRun, Odds, Severity, WaterOdds, WorstRim
from rillwright.units import Band

OK, WATCH = Severity.OK, Severity.WATCH


def odds(chance: float, *, reach: float = 0.0) -> dict[str, Any]:
    """Chances [-] of the sample's pond and of its stream's first bed."""
    waters = tuple(
        WaterOdds(
            water=water, chance=share, chance_error=0.002, spare_m=Band(0.03, -0.01, 0.06),
            worst=(WorstRim(path=by, share=share),) if share else (),
        )
        for water, share, by in (("ponds/pond", chance, "rims/low"), ("reaches/r1", reach, "reaches/r1.bank"))
    )  # fmt: skip
    found = Odds(
        chance=max(chance, reach), chance_error=0.002, chance_if_read=0.01, waters=waters, cases=("rest", "stopped"),
        setups=("day 1",), samples=10_000, seed=20, confirmed=Confirmed(samples=5, agree=5, apart_m=0.0),
    )  # fmt: skip
    return {"odds": found}


ODDS_CASES: tuple[tuple[str, dict[str, Any], Severity], ...] = (
    ("rim.odds", odds(0.0), OK),
    ("rim.odds", odds(0.03), OK),
    ("rim.odds", odds(0.07), WATCH),
    ("rim.odds", odds(0.60), WATCH),
    ("rim.odds", odds(0.0, reach=0.3), WATCH),
)
NOT_DRAWN: dict[str, Any] = {"odds": NotRun("not asked for")}
