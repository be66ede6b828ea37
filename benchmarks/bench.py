"""Speed as ratios, all measured in one run on this machine: `python3 dev.py bench`.

A ratio compares medians of runs taken in turn, so that another job on the machine slows both sides. A goal missed is
printed as missed, with its figure; what cannot be measured yet is said so. The exit code is 1 if a goal was missed.
"""

from __future__ import annotations

import argparse
import sys

from benchmarks import ground, steady
from benchmarks.measure import BARE, IMPORTS, Clock, Side, Unmeasured, cold, examples, in_turn, python
from benchmarks.operating import batch, epanet
from benchmarks.over_time import by_the_twin, half_an_hour, share_of_real_time
from benchmarks.seen import in_a_browser
from benchmarks.served import after_a_shot, dragged_crest, typed_anew
from benchmarks.warm import fit_twelve_drops, odds_drawn, recheck

COMMAND = ("-m", "rillwright")


class Goal:
    """What is measured against what; the ratio wanted at most, and the ratio aimed at."""

    def __init__(self, what: str, ours: Side, *, against: str, theirs: Side, most: float, aim: float) -> None:
        self.what, self.ours, self.against, self.theirs, self.most, self.aim = what, ours, against, theirs, most, aim


def goals() -> list[Goal]:
    bare, imports = python("-c", BARE), python("-c", IMPORTS)
    found = [
        Goal("--help, cold", cold(*COMMAND, "--help"), against="bare Python", theirs=bare, most=8.0, aim=4.0),
        Goal("fit, twelve drops", fit_twelve_drops, against="imports", theirs=imports, most=0.1, aim=0.05),
    ]
    points = batch()
    found += [
        Goal(
            "a thousand operating points, in batch", points, against="EPANET", theirs=epanet(), most=1 / 50, aim=1 / 60
        ),
        Goal(
            "a thousand operating points, in batch",
            points,
            against="NumPy twin",
            theirs=batch(compiled=False),
            most=1 / 3.5,
            aim=1 / 4.3,
        ),
    ]
    over_time = half_an_hour()
    found += [
        Goal("400 cells, half an hour", over_time, against="NumPy twin", theirs=by_the_twin(), most=1 / 30, aim=1 / 33),
        Goal(
            "400 cells, half an hour",
            over_time,
            against="1/3000 of it",
            theirs=share_of_real_time(),
            most=1.0,
            aim=0.8,
        ),
    ]
    steadily = steady.batch("compiled")
    found += [
        Goal(
            "steady streams, 10,000", steadily, against="NumPy", theirs=steady.batch("numpy"), most=1 / 4.5, aim=1 / 5
        ),
        Goal("steady streams, 10,000", steadily, against="1/1500 plain", theirs=steady.one_by_one(), most=1.0, aim=0.8),
    ]
    found.append(
        Goal(
            "3,000 levels, 200 break-line sides",
            ground.surface(),
            against="the library",
            theirs=ground.library(),
            most=2.0,
            aim=1.7,
        )
    )
    out = ground.ways_out()
    for library, most, aim in zip(ground.BESIDE, (1 / 3, 1 / 9, 1 / 18), (1 / 4, 1 / 10, 1 / 20), strict=True):
        theirs = ground.hollows_filled(library)
        found.append(Goal("ways out of 480,000 cells", out, against=library, theirs=theirs, most=most, aim=aim))
    for folder in examples():
        check = cold(*COMMAND, "check", str(folder / "feature.yaml"))
        name = folder.name
        found += [
            Goal(f"check {name}, cold", check, against="imports", theirs=imports, most=4.0, aim=3.0),
            Goal(f"odds of {name}", odds_drawn(folder), against="check, cold", theirs=check, most=1.0, aim=0.5),
            Goal(f"re-check {name}, warm", recheck(folder), against="check, cold", theirs=check, most=0.1, aim=0.05),
            Goal(
                f"shot at {name}, served",
                after_a_shot(folder),
                against="check, cold",
                theirs=check,
                most=0.05,
                aim=0.03,
            ),
            Goal(
                f"typed at {name}, served", typed_anew(folder), against="check, cold", theirs=check, most=0.1, aim=0.05
            ),
            Goal(
                f"crest dragged at {name}, served",
                dragged_crest(folder),
                against="check, cold",
                theirs=check,
                most=0.2,
                aim=0.1,
            ),
        ]
    return found


def row(goal: Goal, rounds: int) -> tuple[str, bool]:
    """The goal's line in the table, and whether it was missed."""
    head = f"{goal.what:<38} {goal.against:<12}"
    try:
        ours, theirs = in_turn(goal.ours, goal.theirs, rounds=rounds)
    except Unmeasured as reason:
        return f"{head} not measured: {reason}", False
    ratio = ours / theirs
    missed = ratio > goal.most
    verdict = "MISSED" if missed else ("met" if ratio > goal.aim else "met, and the aim")
    figures = f"{1000 * ours:>9.1f} {1000 * theirs:>9.1f} {ratio:>8.3f} {goal.most:>7.2f} {goal.aim:>7.2f}"
    return f"{head} {figures}   {verdict}", missed


def main() -> int:
    parser = argparse.ArgumentParser(description="Speed as ratios, measured in one run.")
    parser.add_argument("--rounds", type=int, default=9, help="runs of each side; the median counts")
    parser.add_argument("--processor", action="store_true", help="by processor time, on a machine that others use too")
    asked = parser.parse_args()
    rounds, Clock.processor = asked.rounds, asked.processor
    clock = "processor time" if asked.processor else "wall time"
    print(
        f"Python {sys.version.split()[0]}, {rounds} runs of each side in turn, medians of {clock}. imports: {IMPORTS}"
    )
    columns = f"{'ours ms':>9} {'theirs ms':>9} {'ratio':>8} {'most':>7} {'aim':>7}"
    print(f"{'what':<38} {'against':<12} {columns}")
    missed = []
    for goal in goals():
        line, over = row(goal, rounds)
        print(line, flush=True)
        missed += [goal.what] if over else []
    if not examples():
        print("no example to check: examples/ is empty")
    for line in in_a_browser():
        print(line)
    line, over = ground.in_a_cloud()
    print(line)
    missed += [line.partition(":")[0]] if over else []
    print(f"{len(missed)} missed" + (": " + ", ".join(missed) if missed else ""))
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
