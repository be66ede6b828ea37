"""Why nothing fits, and what would, in words."""

from __future__ import annotations

from rillwright.fit.problem import FitProblem
from rillwright.fit.result import FitResult, GiveUp
from rillwright.fit.whole_units import PER_M
from rillwright.units import Style, show


def short_words(problem: FitProblem, result: FitResult, style: Style) -> tuple[str, ...]:
    """By how much it does not fit, then every way out, a sentence each; nothing where something fits."""

    def said(count: int) -> str:
        return show(count / PER_M[problem.unit], "length", style)

    if result.count:
        return ()
    first = "Nothing fits as it is asked."
    if result.short_by:
        first = f"Nothing fits: it needs {said(result.short_by)} more height than there is."
    elif result.over_by:
        first = f"Nothing fits: the highest drops allowed leave {said(result.over_by)} of the height unspent."
    told = [first]
    for way in result.would_fit:
        given = " and ".join(_given_up(give, said(give.amount or 0)) for give in way.give_up)
        more = any(give.what == "more drops" for give in way.give_up)
        spare = f", with {said(way.to_spare)} of height to share out" if way.to_spare and not more else ""
        told.append(f"It would fit {given}{spare}.")
    return tuple(told)


def _given_up(give: GiveUp, amount: str) -> str:
    """What is given up, in words."""
    count = give.amount or 0
    kind = give.kind or "drop"
    return {
        "fewer drops": f"with {count} {kind}{'' if count == 1 else 's'} fewer",
        "more drops": f"with {count} drop{'' if count == 1 else 's'} more",
        "wish": f"without wish {1 + (give.index or 0)}",
        "least last": f"with a last fall {amount} lower than the least asked for",
        "least pitch": "with level beds",
    }[give.what]
