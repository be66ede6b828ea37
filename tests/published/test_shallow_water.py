"""The closed forms of shallow water that ours is held against, as they were computed independently."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.hydraulics.closed_forms import (
    G,
    bump_fast,
    bump_jump,
    bump_slow,
    inclined,
    macdonald_bed,
    macdonald_fast,
    macdonald_jump,
    ritter,
    ritter_ends,
    stoker_ends,
    stoker_middle,
    thacker_period,
)
from tests.published.rows import Row, check

DELESTRE = "Delestre et al. 2013, IJNMF 72(3) 269-300; computed independently, agrees with the authors' program"


def _at(values: object, which: int = 0) -> float:
    return float(np.asarray(values)[which])


def _x(value: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([value])


ROWS = {
    **{
        f"Ritter, {name} at {x}": Row(lambda x=x, i=i: _at(ritter(_x(x))[i]), printed, DELESTRE)  # type: ignore[misc]
        for i, name, values in (
            (0, "depth", {4.25: "0.00365343", 5.25: "0.00182381", 6.25: "0.000623428", 7.25: "0.0000522877"}),
            (1, "speed", {4.25: "0.0643149", 5.25: "0.175426", 6.25: "0.286537", 7.25: "0.397648"}),
        )
        for x, printed in values.items()
    },
    "Stoker, plateau": Row(lambda: stoker_middle()[0], "0.00253936", DELESTRE),
    "Stoker, speed": Row(lambda: stoker_middle()[1], "0.1272797", DELESTRE),
    "Ritter, tail": Row(lambda: ritter_ends()[0], "3.67117", DELESTRE),
    "Ritter, front": Row(lambda: ritter_ends()[1], "7.65767", DELESTRE),
    "Stoker, wave on the plateau": Row(lambda: math.sqrt(G * stoker_middle()[0]), "0.1578325", DELESTRE),
    "Stoker, fan begins": Row(lambda: stoker_ends()[0], "3.67117", DELESTRE),
    "Stoker, plateau begins": Row(lambda: stoker_ends()[1], "4.81668", DELESTRE),
    "Stoker, shock at 6 s": Row(lambda: stoker_ends()[2], "6.25978", DELESTRE),
    "Thacker, five periods": Row(lambda: 5 * thacker_period(), "10.0303", DELESTRE),
    "Stoker, shock": Row(lambda: stoker_middle()[2], "0.2099634", DELESTRE),
    "bump, slow, 8.5 m": Row(lambda: _at(bump_slow(_x(8.5))), "1.879581", DELESTRE),
    "bump, slow, 9 m": Row(lambda: _at(bump_slow(_x(9.0))), "1.787185", DELESTRE),
    "bump, slow, top": Row(lambda: _at(bump_slow(_x(10.0))), "1.707347", DELESTRE),
    "bump, fast, above": Row(lambda: _at(bump_fast(_x(5.0))), "1.0144468", DELESTRE),
    "bump, fast, below": Row(lambda: _at(bump_fast(_x(15.0))), "0.4057809", DELESTRE),
    "bump, fast, critical": Row(lambda: (1.53**2 / G) ** (1 / 3), "0.6202564", DELESTRE),
    "bump, jump, 12.5 m": Row(lambda: _at(bump_jump(_x(12.5))), "0.33", DELESTRE),
    "MacDonald fast, 5 m": Row(lambda: _at(macdonald_fast(_x(5.0))[0]), "0.9584311", DELESTRE),
    "MacDonald fast, 45 m": Row(lambda: _at(macdonald_fast(_x(45.0))[0]), "0.7606890", DELESTRE),
    "MacDonald fast, 75 m": Row(lambda: _at(macdonald_fast(_x(75.0))[0]), "0.6642897", DELESTRE),
    "MacDonald fast, bed 5 m": Row(lambda: _at(macdonald_bed(macdonald_fast, _x(5.0))), "1.166058", DELESTRE),
    "MacDonald fast, bed 45 m": Row(lambda: _at(macdonald_bed(macdonald_fast, _x(45.0))), "0.931394", DELESTRE),
    "MacDonald jump, 5 m": Row(lambda: _at(macdonald_jump(_x(5.0))[0]), "0.9793837", DELESTRE),
    "MacDonald jump, 65 m": Row(lambda: _at(macdonald_jump(_x(65.0))[0]), "0.5164640", DELESTRE),
    "MacDonald jump, 75 m": Row(lambda: _at(macdonald_jump(_x(75.0))[0]), "1.8447978", DELESTRE),
    "MacDonald jump, 95 m": Row(lambda: _at(macdonald_jump(_x(95.0))[0]), "2.8277014", DELESTRE),
    "inclined plane, 0.5 m": Row(lambda: _at(inclined(_x(0.5))), "0.00711701", DELESTRE),
    "inclined plane, 4.5 m": Row(lambda: _at(inclined(_x(4.5))), "0.00268868", DELESTRE),
    "inclined plane, 9.5 m": Row(lambda: _at(inclined(_x(9.5))), "0.00187107", DELESTRE),
}


@pytest.mark.parametrize("name", sorted(ROWS))
def test_computed_independently(name: str) -> None:
    check(ROWS[name])


def test_the_jump_of_macdonald_is_one() -> None:
    """Both sides of it are sequent depths after Belanger."""
    before, after = (float(macdonald_jump(_x(200 / 3 + side))[0][0]) for side in (-1e-9, 1e-9))
    sequent = 0.5 * before * (math.sqrt(1 + 8 * 4.0 / (G * before**3)) - 1)
    assert math.isclose(after, sequent, rel_tol=1e-4)
