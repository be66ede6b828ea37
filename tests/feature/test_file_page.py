"""Every key of the feature file stands in its page."""

from __future__ import annotations

import re
from pathlib import Path

from rillwright.feature import json_schema

PAGE = (Path(__file__).parents[2] / "docs" / "feature-file.md").read_text(encoding="utf-8")


def keys() -> set[str]:
    schema = json_schema()
    parts = [schema, *schema["$defs"].values()]
    return {key for part in parts for key in part.get("properties", {})}


def test_every_key_is_documented() -> None:
    said = set(re.findall(r"`([a-z_]+)[`:]", PAGE))
    assert keys() - said == set()
