"""What says the same of several elements is told once, and the three worst are three different matters."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.assessment import Finding, Severity
from rillwright.findings import find
from rillwright.judge import Matter, before_the_dig, likewise, matters, matters_json, remedy_of, text_of, three_worst
from rillwright.units import METRIC, US, Style
from tests.findings.sample import changed


def finding(
    code: str, element: str, name: str, depth_m: float = 0.12, severity: Severity = Severity.WATCH, what: str = ""
) -> Finding:
    return Finding(
        code=code, severity=severity, element=element, title="The bank is high enough", value=depth_m,
        value_low=depth_m, value_high=depth_m, limit=0.2, limit_low=0.2, limit_high=0.2, margin=depth_m - 0.2,
        unit="m", limit_origin="default", source="common practice", text="{name} stands {value} high{what}.",
        remedy="Raise {name}.", parameters=(("name", name, ""), ("value", depth_m, "m"), ("what", what, "")),
    )  # fmt: skip


def bank(number: int, depth_m: float = 0.12, **more: Severity) -> Finding:
    return finding("bank.low", f"reaches/b{number}.bank", f"bed b{number}", depth_m, **more)


POND = finding("rim.low", "ponds/pond", "the pond")


def test_the_same_words_of_many_elements_are_one_matter() -> None:
    found = matters([bank(5), POND, bank(10), bank(2)], US)
    assert [matter.finding.element for matter in found] == ["reaches/b5.bank", "ponds/pond"]
    assert found[0].elements == ("reaches/b5.bank", "reaches/b10.bank", "reaches/b2.bank")
    assert text_of(found[0].finding, US) == "Bed b5 stands 4 3/4 in high."
    assert likewise(found[0]) == "Likewise bed b2 and b10."
    assert likewise(found[1]) == ""


def test_nouns_are_said_once_and_bodies_keep_their_article() -> None:
    of = [bank(1), bank(2), finding("bank.low", "ponds/pond", "the pond"), finding("bank.low", "streams/s", "the s")]
    (matter,) = matters(of, US)
    assert likewise(matter) == "Likewise bed b2, the pond and the s."


def test_an_element_that_is_named_twice_is_told_once() -> None:
    (matter,) = matters([bank(1), bank(1)], US)
    assert (matter.elements, likewise(matter)) == (("reaches/b1.bank",), "")


def test_what_prints_alike_is_alike_and_only_that() -> None:
    """A tenth of a millimetre is nothing in eighths of an inch; a millimetre may be one in metric."""
    assert len(matters([bank(1), bank(2, 0.1201)], US)) == 1
    assert len(matters([bank(1), bank(2, 0.129)], METRIC)) == 2
    assert len(matters([bank(1), bank(2, severity=Severity.STOP)], US)) == 2
    assert len(matters([bank(1), finding("bank.low", "reaches/b2", "bed b2", what=" over {name}")], US)) == 2


def test_what_is_ok_is_no_matter() -> None:
    assert matters([bank(1, severity=Severity.OK)], US) == ()


def test_services_stand_beside_the_worries_of_a_visit_and_lead_those_of_a_job() -> None:
    judged = changed({"feature.site.services": None})
    found = matters(find(judged), US)
    assert three_worst(found)[0].finding.code == "dig.services"
    assert "dig.services" not in {matter.finding.code for matter in three_worst(found, visit=True)}
    assert len(three_worst(found, visit=True)) == 3
    assert [each.code for each in before_the_dig(find(judged))] == ["dig.services"]
    assert before_the_dig(find(changed({}))) == ()  # located: nothing to say


def test_the_three_worst_are_of_three_codes() -> None:
    found = matters([bank(1), bank(2, 0.15), bank(3, 0.18), POND], US)
    assert [matter.finding.code for matter in three_worst(found)] == ["bank.low", "rim.low"]
    assert three_worst(found)[0] is found[0]


CODES = st.sampled_from(["bank.low", "rim.low", "crest.thin", "pipe.fast"])
FINDINGS = st.lists(
    st.builds(
        lambda code, number, depth_m, severity: finding(
            code, f"reaches/b{number}", f"bed b{number}", depth_m, severity
        ),
        CODES,
        st.integers(0, 12),
        st.sampled_from([0.05, 0.1, 0.1001]),
        st.sampled_from(Severity),
    ),
    max_size=30,
)


@pytest.mark.parametrize("style", [US, METRIC])
@given(findings=FINDINGS)
def test_every_finding_is_in_one_matter_and_none_is_told_twice(style: Style, findings: list[Finding]) -> None:
    found = matters(findings, style)
    kept = [each for matter in found for each in matter.findings]
    wanted = [each for each in findings if each.severity is not Severity.OK]
    assert sorted(map(id, kept)) == sorted(map(id, wanted))
    first = [findings.index(matter.finding) for matter in found]
    assert first == sorted(first)  # as bad as they came
    said = [words_of(matter, style) for matter in found]
    assert len(set(said)) == len(said)
    worst = three_worst(found)
    assert len({matter.finding.code for matter in worst}) == len(worst) == min(3, len({f.code for f in wanted}))
    told = matters_json(findings, style)
    assert [findings[one["finding"]] for one in told["matters"]] == [matter.finding for matter in found]
    assert [found[index] for index in told["worst"]] == list(worst)


def words_of(matter: Matter, style: Style) -> tuple[str, ...]:
    """What is read of a matter apart from its elements."""
    finding = matter.finding
    told = [text_of(finding, style), remedy_of(finding, style)]
    return finding.code, finding.severity.value, *(re.sub(r"(?i)bed b\d+", "", each) for each in told)
