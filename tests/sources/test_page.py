"""The documentation page says what the data says."""

from __future__ import annotations

from pathlib import Path

from rillwright import sources
from rillwright.sources.page import whole_page

_PAGE = Path(__file__).parents[2] / "docs" / "method" / "sources.md"


def _made() -> str:
    introduction = _PAGE.read_text(encoding="utf-8").partition("## Limits\n")[0]
    return whole_page(introduction)


def test_page_is_made_from_the_data() -> None:
    assert _PAGE.read_text(encoding="utf-8") == _made(), (
        "write it anew: PYTHONPATH=src python -m tests.sources.test_page"
    )


def test_page_names_every_limit_default_and_source() -> None:
    written = _PAGE.read_text(encoding="utf-8")
    for name in (
        *(limit.name for limit in sources.limits()),
        *(default.name for default in sources.defaults()),
        *(source.id for source in sources.sources()),
    ):
        assert f"`{name}`" in written, name


if __name__ == "__main__":
    _PAGE.write_text(_made(), encoding="utf-8")
