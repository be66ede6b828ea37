"""assess(): run the steps, or take over what has not changed."""

from __future__ import annotations

from typing import Any

from rillwright.assess.assumed import assumed, assumed_of_ground
from rillwright.assess.inputs import Inputs, digest_of, part_digests
from rillwright.assess.steps import STEPS, Step
from rillwright.assessment import Assessment, NotRun
from rillwright.errors import Cancelled, NoAnswer
from rillwright.progress import Progress, silent

TIERS = ("quick", "surface", "full")  # each makes what those before it make
NOT_ASKED = NotRun("not asked for (full check)")
NO_SURFACE = NotRun("not asked for (finished surface)")
STALE = NotRun("stale: what was worked out before was of another state of the feature; ask for the full check again")
OLD_SURFACE = NotRun("stale: the surface was made of another state of the feature; ask for it again")


def assess(
    inputs: Inputs, *, earlier: Assessment | None = None, tier: str = "quick", progress: Progress = silent
) -> Assessment:
    """The assessment of these inputs.

    A step whose inputs have the digest that they had in `earlier` is taken over from there. A step that finds no answer
    is NotRun with its reason, and so is every step that reads it; the others are made all the same. What belongs to a
    later tier is NotRun in the ones before it, and said to be stale where it was made before of something else.

    Raises
    ------
    ValueError
        If `tier` is not one of quick, surface and full.
    InputError
        Where a layer cannot use what it was given, such as a price book that sells by another measure.
    """
    if tier not in TIERS:
        raise ValueError(f"tier is one of {', '.join(TIERS)}, not {tier!r}")
    parts = part_digests(inputs)
    known = dict(earlier.steps) if earlier is not None else {}
    branches: dict[str, Any] = {}
    digests: dict[str, str] = {}
    going = True
    for index, step in enumerate(STEPS):
        going = going and progress(index / len(STEPS), step.name)
        read = [digests[name] for name in (*step.branches, *step.also)]
        digest = digest_of(step.name, *(parts[name] for name in step.parts), *read)
        if earlier is not None and known.get(step.name) == digest:
            branches[step.name] = getattr(earlier, step.name)
        elif not going:
            branches[step.name], digest = NotRun("stopped before it was reached"), ""
        elif TIERS.index(step.tier) > TIERS.index(tier):
            branches[step.name], digest = _left_out(step, earlier), ""
        else:
            share = Share(progress, index, len(STEPS))
            branches[step.name], cancelled = _made(step, inputs, branches, share)
            going, digest = going and not cancelled, "" if cancelled else digest
        digests[step.name] = digest
    progress(1.0, "assessed")
    feature = inputs.feature
    water = branches["water"]
    made = [name for name, branch in branches.items() if not isinstance(branch, NotRun)]
    assumptions = assumed(feature, inputs.surveyed, made)
    assumptions += assumed_of_ground(branches["surface"], files=inputs.ground is not None)
    return Assessment(
        feature=feature,
        survey=inputs.surveyed,
        shots=inputs.shots,
        ticks=inputs.ticks,
        **branches,
        defaults_used=feature.defaults_used + assumptions,
        limits_used=(),
        out_of_range=() if isinstance(water, NotRun) else water.out_of_range,
        digest=digest_of(feature, inputs.surveyed, inputs.shots, inputs.ticks, parts["prices"]),
        steps=tuple(digests.items()),
    )


def _left_out(step: Step, earlier: Assessment | None) -> NotRun:
    """Why a step of a later tier is not there: nobody asked, or what was made is of another feature than this."""
    unasked, stale = (NOT_ASKED, STALE) if step.tier == "full" else (NO_SURFACE, OLD_SURFACE)
    before = unasked if earlier is None else getattr(earlier, step.name)
    return unasked if before == unasked else stale


class Share:
    """Progress of one step, its number from 0, as a part of the whole."""

    def __init__(self, progress: Progress, number: int, of: int) -> None:
        self.progress, self.number, self.of = progress, number, of

    def __call__(self, share: float, doing: str) -> bool:
        return self.progress((self.number + share) / self.of, doing)


def _made(step: Step, inputs: Inputs, branches: dict[str, Any], progress: Progress) -> tuple[object, bool]:
    """The branch, and whether it was cancelled before it was done."""
    for name in step.branches:
        branch = branches[name]
        if isinstance(branch, NotRun):
            return NotRun(branch.reason if ": " in branch.reason else f"{name}: {branch.reason}"), False
    try:
        return step.make(inputs, branches, progress), False
    except NoAnswer as stopped:
        return NotRun(f"{step.name}: {stopped}"), isinstance(stopped, Cancelled)
