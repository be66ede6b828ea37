"""Pages on rims and on earth: what stands on them, only where there is something; questions that share a page."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from rillwright import job
from rillwright.assessment import Containment, Earth, Finished, Judged, NotRun
from rillwright.packet import cut_fill_page, over_time_page, pump_page, run_over_page
from rillwright.packet.blocks import title, words
from rillwright.packet.packed import packed
from rillwright.packet.paper import READING, Sheet
from rillwright.packet.pdf import page_count, print_sheets
from rillwright.packet.whole import _contents
from rillwright.shape import SoilBalance
from tests.drawings import meshes, rims
from tests.drawings import sample as drawn
from tests.packet import ink, sample
from tests.packet.test_water_pages import printed

FOOT = {"feature": "a", "levels": "b", "checked": "c", "said": "page "}


def judged(spec: Any = drawn.METRIC, *, low_m: float = -0.03) -> Judged:
    assessment = meshes.with_finished(rims.with_rims(drawn.make(spec), low_m=low_m))
    return Judged(assessment=assessment, findings=())


def test_where_it_runs_over_is_told_with_what_to_raise_and_where_it_goes() -> None:
    text = printed(run_over_page.run_over(judged()))
    assert "rim3 10.10 m 26 mm under water 76 mm water leaves here stopped, topped up while running" in text
    assert "The edge of the liner round pond and stream s1, 33.76 m, unrolled" in text
    assert "rim3 9.50 m to 10.70 m 88 mm" in text
    assert "From the pond at 10.10 m along the rim: towards footing terrace." in text
    assert "Somebody stays with it at the first filling" in text


def test_a_stretch_that_passes_the_beginning_says_so() -> None:
    """33.76 m round: from 33.36 m to 0.94 m, counted on to 34.70 m."""
    found = judged()
    assert isinstance(found.assessment.containment, Containment)
    (raised,) = found.assessment.containment.raises
    turned = replace(raised, from_m=33.36, to_m=34.70)
    containment = replace(found.assessment.containment, raises=(turned,))
    told = replace(found, assessment=replace(found.assessment, containment=containment))
    assert "rim3 33.36 m over 0 to 0.94 m 88 mm" in printed(run_over_page.run_over(told))


def test_one_balance_of_soil_and_beside_it_what_the_list_has() -> None:
    """By the surface two cubic metres are short, by the sizes of the parts some are left: one line says both."""
    found, earth = judged(), sample.judged(drawn.METRIC).assessment.earth
    finished = found.assessment.finished
    assert isinstance(earth, Earth)
    assert isinstance(finished, Finished)
    listed = replace(earth, soil_out_m3=2.5, brought_in_m3=0.0)
    for soil, said, other in (
        (SoilBalance(out_m3=1.5, truckloads=1), "soil to place or cart", "soil to bring in"),
        (SoilBalance(brought_in_m3=2.0), "soil to bring in", "soil to place or cart"),
    ):
        made = replace(finished, soil=soil, digest=said)
        text = printed(
            cut_fill_page.cut_and_fill(
                replace(found, assessment=replace(found.assessment, earth=listed, finished=made))
            )
        )
        assert said in text
        assert other not in text
        assert "go by this" in text
        assert "the sizes of the parts and has 2.5 m³ to cart" in text


def test_a_rim_that_has_its_spare_needs_no_raising() -> None:
    fine = judged(low_m=0.1)
    containment = replace(fine.assessment.containment, raises=())
    told = replace(fine, assessment=replace(fine.assessment, containment=containment))
    text = printed(run_over_page.run_over(told))
    assert "nothing needs to be raised" in text
    assert "less than wanted" not in text


def test_no_odds_on_papers() -> None:
    """A chance of spilling is for the builder's eyes."""
    for sheet in (run_over_page.run_over(judged()), cut_fill_page.cut_and_fill(judged())):
        text = printed(sheet).lower()
        assert not any(word in text for word in ("chance", "odds", "probab", "in 100", "likely"))


@pytest.mark.parametrize("spec", [drawn.METRIC, drawn.FEET], ids=["metric", "us"])
def test_cut_and_fill_have_their_soil_and_their_sections(spec: Any) -> None:
    text = printed(cut_fill_page.cut_and_fill(judged(spec)))
    assert "A to A: the lowest place of the rim" in text
    assert "the deepest cut" in text
    assert ("1:1 from its foot: no dig below it" in text) is (spec is drawn.METRIC), "a footing more than 4 m off"
    assert "services located and marked before the first dig" in text
    part = "ponds/pond 6.2 m³ 1.4 m³ 843 mm 200 mm" if spec is drawn.METRIC else "ponds/pond 8.1 cu yd 1.8 cu yd"
    assert part in text


def test_there_is_a_page_only_where_there_is_something() -> None:
    bare = Judged(assessment=drawn.make(drawn.METRIC), findings=())
    assert isinstance(bare.assessment.finished, NotRun)
    assert run_over_page.run_over(bare) is None
    assert cut_fill_page.cut_and_fill(bare) is None
    told = [question for _, questions in _contents(bare, ()) for question in questions]
    assert not {run_over_page.QUESTION, cut_fill_page.QUESTION} & set(told)
    told = [question for _, questions in _contents(judged(), ()) for question in questions]
    assert {run_over_page.QUESTION, cut_fill_page.QUESTION} <= set(told)


def short(question: str, lines: int) -> Sheet:
    return Sheet(
        question=question,
        paper=READING["metric"],
        blocks=(title(question), *(words(f"line {n} of {question}") for n in range(lines))),
    )


def test_short_sheets_share_a_page_and_the_strip_names_both() -> None:
    sheets = packed([short("How much", 10), short("How long", 10)], title="t", strip=FOOT)
    assert len(sheets) == 1
    (page,) = ink.read(print_sheets(sheets, title="t", strip=FOOT)).pages
    text = str(page.extract_text())
    assert "How much · How long" in text
    assert "line 9 of How long" in text


def test_sheets_that_fill_their_pages_stay_apart() -> None:
    long = [short("How much", 30), short("How long", 30)]
    assert packed(long, title="t", strip=FOOT) == long


def test_a_question_that_runs_on_is_named_on_its_second_page() -> None:
    both = packed([short("How much", 10), short("How long", 50)], title="t", strip=FOOT)
    assert len(both) == 1
    pages = ink.read(print_sheets(both, title="t", strip=FOOT)).pages
    assert len(pages) == 2
    assert "How much" not in str(pages[1].extract_text())
    assert "How long" in str(pages[1].extract_text())


@pytest.mark.parametrize("name", ["weavers-court", "orchard-press", "clinic-forecourt"])
def test_the_examples_have_both_pages_whole(name: str) -> None:
    """Nothing over anything, one sheet each; two pump runs and what is told of time take no more than one page each."""
    found = job.judge(job.open(job.examples()[name]), tier="surface")
    for sheet in (run_over_page.run_over(found), cut_fill_page.cut_and_fill(found)):
        assert "not drawn" not in printed(sheet).lower()
    pump = pump_page.pumps(found, close=True)
    assert pump is not None
    assert page_count([pump], title="t", strip=FOOT) == 1
    time = over_time_page.over_time_sheet(found)
    assert time is not None
    assert page_count([time], title="t", strip=FOOT) == 1
