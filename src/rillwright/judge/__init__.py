"""An assessment and what was found in it; its words in the reader's units; its JSON."""

from rillwright.judge.as_json import finding_json, to_json
from rillwright.judge.fields import field_of
from rillwright.judge.judging import judge
from rillwright.judge.rendering import limit_of, limit_words, remedy_of, render, text_of

__all__ = ["field_of", "finding_json", "judge", "limit_of", "limit_words", "remedy_of", "render", "text_of", "to_json"]
