"""The documentation page says what the data says."""

from __future__ import annotations

from pathlib import Path

from rillwright import sources
from rillwright.sources.page import whole_page

_PAGE = Path(__file__).parents[2] / "docs" / "method" / "sources.md"


def test_page_is_made_from_the_data() -> None:
    written = _PAGE.read_text(encoding="utf-8")
    introduction = written.partition("## Limits\n")[0]
    assert written == whole_page(introduction), (
        "write it anew: python -m rillwright.sources.page docs/method/sources.md"
    )


def test_page_names_every_limit_default_and_source() -> None:
    written = _PAGE.read_text(encoding="utf-8")
    for name in (
        *(limit.name for limit in sources.limits()),
        *(default.name for default in sources.defaults()),
        *(source.id for source in sources.sources()),
    ):
        assert f"`{name}`" in written, name
