"""assess(): run the steps, or take over what has not changed."""

from __future__ import annotations

from typing import Any

from rillwright.assess.assumed import assumed
from rillwright.assess.inputs import Inputs, digest_of, part_digests
from rillwright.assess.steps import STEPS, Step
from rillwright.assessment import Assessment, NotRun
from rillwright.errors import NoAnswer
from rillwright.progress import Progress, silent

TIERS = ("quick", "full")


def assess(
    inputs: Inputs, *, earlier: Assessment | None = None, tier: str = "quick", progress: Progress = silent
) -> Assessment:
    """The assessment of these inputs.

    A step whose inputs have the digest that they had in `earlier` is taken over from there. A step that finds no answer
    is NotRun with its reason, and so is every step that reads it; the others are made all the same.

    Raises
    ------
    ValueError
        If `tier` is neither quick nor full.
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
        digest = digest_of(step.name, *(parts[name] for name in step.parts), *(digests[b] for b in step.branches))
        if earlier is not None and known.get(step.name) == digest:
            branches[step.name] = getattr(earlier, step.name)
        elif not going:
            branches[step.name], digest = NotRun("stopped before it was reached"), ""
        elif step.tier == "full" and tier == "quick":
            branches[step.name], digest = NotRun("not asked for: it belongs to the full assessment"), ""
        else:
            branches[step.name] = _made(step, inputs, branches)
        digests[step.name] = digest
    progress(1.0, "assessed")
    feature = inputs.feature
    water = branches["water"]
    made = [name for name, branch in branches.items() if not isinstance(branch, NotRun)]
    return Assessment(
        feature=feature,
        survey=inputs.surveyed,
        shots=inputs.shots,
        ticks=inputs.ticks,
        **branches,
        defaults_used=feature.defaults_used + assumed(feature, inputs.surveyed, made),
        limits_used=(),
        out_of_range=() if isinstance(water, NotRun) else water.out_of_range,
        digest=digest_of(feature, inputs.surveyed, inputs.shots, inputs.ticks, parts["prices"]),
        steps=tuple(digests.items()),
    )


def _made(step: Step, inputs: Inputs, branches: dict[str, Any]) -> object:
    for name in step.branches:
        branch = branches[name]
        if isinstance(branch, NotRun):
            return NotRun(branch.reason if ": " in branch.reason else f"{name}: {branch.reason}")
    try:
        return step.make(inputs, branches)
    except NoAnswer as stopped:
        return NotRun(f"{step.name}: {stopped}")
