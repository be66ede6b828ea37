"""An assessment and what was found in it; its words in the reader's units; its JSON."""

from rillwright.findings import tension_words
from rillwright.judge.as_json import finding_json, to_json
from rillwright.judge.fields import field_of, label_of
from rillwright.judge.judging import judge
from rillwright.judge.matters import Matter, before_the_dig, likewise, matters, matters_json, three_worst
from rillwright.judge.rendering import limit_of, limit_words, remedy_of, render, text_of

__all__ = [
    "Matter",
    "before_the_dig",
    "field_of",
    "finding_json",
    "judge",
    "label_of",
    "likewise",
    "limit_of",
    "limit_words",
    "matters",
    "matters_json",
    "remedy_of",
    "render",
    "tension_words",
    "text_of",
    "three_worst",
    "to_json",
]
