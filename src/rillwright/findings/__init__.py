"""The rules, one rule one function, and what they find."""

from rillwright.findings.crests import tension_words
from rillwright.findings.grading import bound_of
from rillwright.findings.numbers import NumberIn, is_limit, number_in
from rillwright.findings.odds import chance_in_words
from rillwright.findings.page import page
from rillwright.findings.rule import Bound, Check, Rule, Weight
from rillwright.findings.rules import NOT_YET_USED, RULES
from rillwright.findings.running import find, found_and_used, limits_used
from rillwright.findings.words import named, named_in

__all__ = [
    "NOT_YET_USED",
    "RULES",
    "Bound",
    "Check",
    "NumberIn",
    "Rule",
    "Weight",
    "bound_of",
    "chance_in_words",
    "find",
    "found_and_used",
    "is_limit",
    "limits_used",
    "named",
    "named_in",
    "number_in",
    "page",
    "tension_words",
]
