"""The catalogue of rules: codes, limits, sources, documents."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rillwright.findings import NOT_YET_USED, RULES, Rule, find, page
from rillwright.findings.words import book_path, named
from rillwright.sources import COMMON_PRACTICE, limits, sources
from tests.findings.sample import whole

every_rule = pytest.mark.parametrize("rule", RULES, ids=[rule.code for rule in RULES])
PAGE = Path(__file__).resolve().parents[2] / "docs" / "findings.md"
HURT = re.compile(
    r"engineer|electrician|competent person|local|authority|chart|fence|climb|steps|nobody|machine", re.IGNORECASE
)


def test_codes_are_used_once() -> None:
    codes = [rule.code for rule in RULES]
    assert len(set(codes)) == len(codes)


@every_rule
def test_a_code_is_readable(rule: Rule) -> None:
    assert re.fullmatch(r"[a-z]+\.[a-z]+", rule.code)


@every_rule
def test_every_code_is_documented(rule: Rule) -> None:
    assert f"`{rule.code}`" in PAGE.read_text(encoding="utf-8")


def test_the_page_is_that_of_the_rules() -> None:
    assert PAGE.read_text(encoding="utf-8") == page()


@every_rule
def test_it_says_what_is_wrong_and_what_to_do(rule: Rule) -> None:
    whole = (".", "{what}", "{more}")  # what a book or a fall says ends its own sentence
    assert rule.ill.endswith(whole)
    assert rule.remedy.endswith(".")
    assert not rule.well or rule.well.endswith(whole)
    assert not re.search(r"\b(safe|proved?|guarantee)", rule.well + rule.ill + rule.remedy)


@every_rule
def test_limits_and_sources_are_known(rule: Rule) -> None:
    known = {one.name for one in limits()}
    assert set(rule.limits) <= known
    assert rule.source in {COMMON_PRACTICE} | {one.id for one in sources()}


@every_rule
def test_where_people_can_be_hurt_somebody_answers(rule: Rule) -> None:
    by_limit = {one.name for one in limits() if one.people} & set(rule.limits)
    if rule.people or by_limit:
        assert HURT.search(rule.remedy), rule.remedy


def test_every_limit_is_read_or_its_reason_given() -> None:
    read = {name for rule in RULES for name in rule.limits}
    unread = {one.name for one in limits()} - read
    assert unread == set(NOT_YET_USED)


def test_titles_say_one_thing_each() -> None:
    titles = [rule.title for rule in RULES]
    assert len(set(titles)) == len(titles)


def test_findings_name_their_source() -> None:
    known = {COMMON_PRACTICE} | {one.id for one in sources()}
    assert {finding.source for finding in find(whole())} <= known


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("rims/r2", "rim r2"),
        ("falls/f3.crest", "fall f3"),
        ("ponds/pond", "the pond"),
        ("ponds/sump", "reservoir sump"),
        ("runs/run", "the pipe run"),
        ("feature/whole", "the feature"),
        ("site/whole", "the site"),
        ("anything else", "anything else"),
    ],
)
def test_elements_are_called_by_name(path: str, words: str) -> None:
    assert named(path, reservoirs=["sump"]) == words


@pytest.mark.parametrize("book", ["ground.csv", "books/ground.csv", "books\\ground.csv"])
def test_a_level_book_has_a_path(book: str) -> None:
    assert book_path(book) == "books/ground"
