"""No odds on any paper: a customer may get to see it."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace

from rillwright import job
from rillwright.assessment import FOR_THE_BUILDER, Judged, NotRun
from rillwright.compare import change_order
from rillwright.judge import judge
from rillwright.packet import packet
from rillwright.packet.on_paper import on_paper
from tests.findings.odds_cases import odds

SAID = re.compile(r"crews' work|\bodds\b|\d of 1,?000?\b", re.IGNORECASE)


def with_odds(chance: float) -> Judged:
    """The quick check of an example with odds that were drawn elsewhere, judged."""
    quick = job.judge(job.open(job.examples()["clinic-forecourt"])).assessment
    return judge(replace(quick, **odds(chance)))


@pytest.fixture(scope="module")
def drawn() -> Judged:
    found = with_odds(0.6)
    assert {"rim.odds"} == {each.code for each in found.findings if each.code in FOR_THE_BUILDER}
    assert "rim.odds" in {used.name for used in found.assessment.limits_used}
    return found


def test_what_goes_on_paper_knows_nothing_of_them(drawn: Judged) -> None:
    paper = on_paper(drawn)
    assert isinstance(paper.assessment.odds, NotRun)
    assert len(paper.findings) < len(drawn.findings)
    assert not {each.code for each in paper.findings} & set(FOR_THE_BUILDER)
    assert not {used.name for used in paper.assessment.limits_used} & set(FOR_THE_BUILDER)
    assert not [used for used in paper.assessment.defaults_used if used.path.startswith("odds/")]


@pytest.mark.deep
def test_the_packet_is_the_same_with_them_and_without(drawn: Judged) -> None:
    import io

    import pdfplumber

    made = packet(drawn)
    assert made == packet(on_paper(drawn))
    with pdfplumber.open(io.BytesIO(made)) as pdf:
        text = "\n".join(page.extract_text() for page in pdf.pages)
    assert "highest water" in text
    assert not SAID.findall(text)


def test_a_change_order_does_not_tell_of_them(drawn: Judged) -> None:
    order = change_order(with_odds(0.0), drawn)
    assert not {each.code for each in order.what} & set(FOR_THE_BUILDER)
