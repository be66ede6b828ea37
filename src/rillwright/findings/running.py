"""All rules over one assessment: checks graded, written up, and put in order."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from rillwright.assessment import Assessment, Feature, Finding, LimitUsed, Severity
from rillwright.findings.grading import bound_of, grade, likely_beyond, margin_of
from rillwright.findings.rule import Bound, Check, Fact, Rule, Weight
from rillwright.findings.rules import RULES
from rillwright.findings.words import named_in
from rillwright.units import Band

_LIKELY = {"at_least": "too little", "at_most": "too much"}
_LAST = 7 + 2 * int(max(Weight))
_STANDING = {Weight.STANDING: "always", Weight.UNCHECKED: "unchecked", Weight.OUTSIDE: "outside"}
_GRADES = (Severity.OK, Severity.WATCH, Severity.STOP)


class _Graded(Struct, frozen=True, kw_only=True):
    rule: Rule
    check: Check
    bound: Bound | None
    severity: Severity

    @property
    def limit(self) -> float | None:
        """The figure that counts: bad beyond it, else good [its unit]."""
        if self.bound is None or self.check.value is None:
            return None
        return self.bound.bad if self.severity is Severity.STOP else self.bound.good

    @property
    def margin(self) -> float | None:
        if self.bound is None or self.check.value is None or self.limit is None:
            return None
        return margin_of(self.check.value.value, self.limit, sense=self.bound.sense)

    @property
    def likely(self) -> bool:
        """Whether only its band reaches back over the limit, while the likeliest figure is beyond it."""
        value, bound = self.check.value, self.bound
        if value is None or bound is None or self.severity is not Severity.WATCH or self.check.severity is not None:
            return False
        return likely_beyond(value, bound)

    @property
    def people(self) -> bool:
        return self.rule.people or (self.bound is not None and self.bound.people)


def find(assessment: Assessment) -> tuple[Finding, ...]:
    """What every rule found, ok as well, worst first.

    Order: `stop` about people; other `stop`; what is likely a `stop`, its band reaching back over the limit; `watch`
    about people with a value beyond a limit; other `watch` with a value or a fact; what nobody has said; cautions that
    always hold; what was not checked; what a formula outside its range gave; `ok`. Inside each the worst of every code
    stands before the second of any, and the least margin for its limit before others.
    """
    return found_and_used(assessment)[0]


def limits_used(assessment: Assessment) -> tuple[LimitUsed, ...]:
    """Every limit against which something in this assessment was graded, by name."""
    return found_and_used(assessment)[1]


def found_and_used(assessment: Assessment) -> tuple[tuple[Finding, ...], tuple[LimitUsed, ...]]:
    """What `find` and `limits_used` say, from grading everything once."""
    graded = list(_graded(assessment))
    findings = tuple(_finding(assessment.feature, each) for each in _ordered(graded))
    return findings, _used(assessment, graded)


def _used(assessment: Assessment, graded: list[_Graded]) -> tuple[LimitUsed, ...]:
    bounds = {each.bound.name: each.bound for each in graded if each.bound and each.bound.name}
    found = []
    for name in sorted(bounds):
        usual = bound_of(assessment.feature, name)  # a computed figure holds for one element only
        found.append(
            LimitUsed(
                name=name, good=usual.good, bad=usual.bad, unit=usual.unit, source=usual.source, reason=usual.reason
            )
        )
    return tuple(found)


def _graded(assessment: Assessment) -> Iterator[_Graded]:
    for rule in RULES:
        for check in rule.find(assessment):
            yield _grade(assessment.feature, rule, check)


def _grade(feature: Feature, rule: Rule, check: Check) -> _Graded:
    bound = check.bound
    if bound is None and check.value is not None and rule.limits:
        bound = bound_of(feature, rule.limits[0])
    severity = check.severity
    if severity is None:
        severity = Severity.WATCH if bound is None or check.value is None else grade(check.value, bound)
    severity = min(severity, check.worst, key=_GRADES.index)
    return _Graded(rule=rule, check=check, bound=bound, severity=severity)


def _finding(feature: Feature, each: _Graded) -> Finding:
    rule, check, bound = each.rule, each.check, each.bound
    value, limit = check.value, each.limit
    well = each.severity is Severity.OK
    return Finding(
        code=rule.code,
        severity=each.severity,
        element=check.element,
        title=rule.title,
        value=value.value if value else None,
        value_low=value.low if value else None,
        value_high=value.high if value else None,
        limit=limit,
        limit_low=min(bound.good, bound.bad) if bound and value else None,
        limit_high=max(bound.good, bound.bad) if bound and value else None,
        margin=each.margin,
        unit=bound.unit if bound and value else "",
        limit_origin=bound.origin if bound else "default",
        source=bound.source if bound else rule.source,
        text=_text(each) + _reason(bound),
        remedy="" if well else check.remedy or rule.remedy,
        parameters=_parameters(feature, check, bound, value),
        people=each.people,
        limit_sense=bound.sense if bound and value else "",
        standing="" if well else _STANDING.get(rule.weight, ""),
    )


def _text(each: _Graded) -> str:
    """The template of what was found; where it is likely beyond its limit but may not be, that comes first."""
    rule, bound = each.rule, each.bound
    text = each.check.text or (rule.well if each.severity is Severity.OK else rule.ill)
    if bound is None or not each.likely:
        return text
    return f"Likely {rule.likely or _LIKELY[bound.sense]}: {text[:1].lower()}{text[1:]}"


def _reason(bound: Bound | None) -> str:
    """What is added where the feature gives the limit."""
    return " This feature sets the limit itself, at {good}: {reason}." if bound and bound.origin == "override" else ""


def _parameters(feature: Feature, check: Check, bound: Bound | None, value: Band | None) -> tuple[Fact, ...]:
    found: list[Fact] = [("name", named_in(feature, check.element), "")]
    if bound is not None and value is not None:
        found += [("value", value.value, bound.unit), ("low", value.low, bound.unit), ("high", value.high, bound.unit)]
    if bound is not None:
        found += [("good", bound.good, bound.unit), ("bad", bound.bad, bound.unit)]
    if bound is not None and bound.reason:
        found.append(("reason", bound.reason.strip().rstrip("."), ""))
    return (*found, *check.facts)


def _ordered(graded: list[_Graded]) -> list[_Graded]:
    worst_first = sorted(graded, key=lambda each: (_group(each), _strain(each)))
    seen: dict[tuple[int, str], int] = {}
    turns = []
    for each in worst_first:
        key = (_group(each), each.rule.code)
        turns.append(seen.get(key, 0))
        seen[key] = turns[-1] + 1
    order = sorted(range(len(worst_first)), key=lambda at: (_group(worst_first[at]), turns[at]))
    return [worst_first[at] for at in order]


def _group(each: _Graded) -> int:
    if each.severity is Severity.STOP:
        return 0 if each.people else 1
    if each.severity is Severity.OK:
        return _LAST
    if each.rule.weight is Weight.LEADS:
        return 2
    if each.likely and each.bound is not None and each.bound.severity is Severity.STOP:
        return 3 if each.people else 4
    if each.rule.weight is Weight.JUDGED:
        return 5 if each.people and each.check.value is not None else 6
    return 6 + 2 * int(each.rule.weight) - (1 if each.people else 0)


def _strain(each: _Graded) -> float:
    """Margin for its limit [-]: the smaller, the worse; without figures in the middle of those that fail."""
    margin, bound = each.margin, each.bound
    if margin is None or bound is None or each.limit is None:
        return -0.5
    scale = max(abs(bound.good), abs(bound.bad)) or {"m": 0.05}.get(bound.unit, 1.0)
    return margin / scale
