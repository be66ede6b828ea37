"""What a rule is, what it reports of each element, and the bound against which that is graded."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import IntEnum

from msgspec import Struct

from rillwright.assessment import Assessment, Severity
from rillwright.units import Band

Fact = tuple[str, float | str, str]  # (name, SI value or words, SI unit; "" for words)


class Weight(IntEnum):
    """How much a rule's `watch` says of this very feature; what says more comes first."""

    LEADS = -1  # the main thing is not known: before all that is no stop
    JUDGED = 0  # a value against a limit, or a plain fact
    UNSAID = 1  # something that nobody has said yet
    STANDING = 2  # a caution that always holds
    UNCHECKED = 3  # what was not computed
    OUTSIDE = 4  # computed, by a formula outside its range


class Bound(Struct, frozen=True, kw_only=True):
    """A limit as it applies here, in SI `unit`, and the severity beyond bad. `sense` is at_least or at_most."""

    name: str
    sense: str
    good: float
    bad: float
    severity: Severity
    unit: str
    source: str
    origin: str  # default | override | computed
    reason: str = ""
    people: bool = False


class Check(Struct, frozen=True, kw_only=True):
    """One element as a rule found it.

    With a `value` it is graded, against `bound` or else the rule's only limit; without one `severity` says it.
    `worst` holds the grade where the value is not the whole story. `text` and `remedy` replace the rule's.
    """

    element: str
    value: Band | None = None
    bound: Bound | None = None
    severity: Severity | None = None
    worst: Severity = Severity.STOP
    facts: tuple[Fact, ...] = ()
    text: str = ""
    remedy: str = ""


class Rule(Struct, frozen=True, kw_only=True):
    """One rule: what is checked, in words; the limits it reads; what is said when all is well, when not; what to do."""

    code: str
    area: str
    title: str
    well: str  # template
    ill: str  # template
    remedy: str  # template
    find: Callable[[Assessment], Iterable[Check]]
    limits: tuple[str, ...] = ()
    source: str = "common practice"  # where no limit gives one
    people: bool = False
    weight: Weight = Weight.JUDGED
    likely: str = ""  # where the likeliest figure is beyond the limit but not all of its band: "too low"
