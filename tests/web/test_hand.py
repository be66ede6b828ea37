"""The hand of the screens: the drawings' colours, words that can be read in the sun, a font under its own name."""

from __future__ import annotations

import re

import pytest

from rillwright.drawings import DARK, LIGHT
from tests.house.tree import ROOT
from tests.web.node import WEB

TOKENS = (WEB / "src" / "hand" / "tokens.css").read_text(encoding="utf-8")
WORDS = ("ink", "word-quiet", "word-water", "word-stone", "word-earth", "word-built", "word-stop", "word-watch")
SHARED = (
    "ink",
    "quiet",
    "grid",
    "water",
    "water wash",
    "water band",
    "liner",
    "stone",
    "stone wash",
    "earth",
    "built",
    "stop",
    "watch",
    "spare wash",
    "watch wash",
    "stop wash",
)
IN_THE_SUN = 7.0  # to 1; WCAG 2.1, success criterion 1.4.6, enhanced


def tokens(block: str) -> dict[str, str]:
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", block))


LIGHT_TOKENS, DARK_TOKENS = (tokens(part) for part in TOKENS.split("@media (prefers-color-scheme: dark)"))
THEMES = {"light": LIGHT_TOKENS, "dark": DARK_TOKENS}


def luminance(colour: str) -> float:
    """Relative luminance [-] by WCAG 2.1."""
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_reckoned_as_published() -> None:
    """Black on white is 21 to 1; #767676 on white is the well-known 4.54 to 1 (from memory)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0, abs=0.05)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize(("theme", "palette"), [("light", LIGHT), ("dark", DARK)])
def test_the_colours_are_those_of_the_drawings(theme: str, palette: dict[str, str]) -> None:
    ours = {name: THEMES[theme][name.replace(" ", "-")] for name in SHARED}
    assert ours == {name: palette[name] for name in SHARED}
    assert THEMES[theme]["sheet"] == palette["paper"]


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("word", WORDS)
def test_words_can_be_read_in_the_sun(theme: str, word: str) -> None:
    colours = THEMES[theme]
    for under in ("paper", "raised"):
        assert contrast(colours[word], colours[under]) >= IN_THE_SUN, f"{word} on {under}"


def test_text_is_written_in_words_alone() -> None:
    """No component sets text in a drawing's colour, which may be too faint to read."""
    faint = [
        f"{file.name}: {line.strip()}"
        for file in sorted((WEB / "src").rglob("*.svelte"))
        for line in file.read_text(encoding="utf-8").splitlines()
        if re.search(r"(?<![-\w])color: var\(--(?!word-|ink|paper|of)", line)
    ]
    assert not faint


def test_keys_are_large_enough_for_gloves() -> None:
    (touch,) = re.findall(r"--touch: (\d+)px", TOKENS)
    assert int(touch) >= 56
    base = (WEB / "src" / "hand" / "base.css").read_text(encoding="utf-8")
    assert "min-height: var(--touch)" in base
    assert "min-width: var(--touch)" in base


def test_the_font_bears_its_own_name_and_its_licence() -> None:
    content = (WEB / "public" / "sans.woff2").read_bytes()
    assert content[:4] == b"wOF2"
    assert len(content) < 30_000
    notice = (ROOT / "NOTICE").read_text(encoding="utf-8")
    assert "Rillwright Sans" in notice
    assert "OFL.txt" in notice
