"""CO2e on the usage report: off by default, by one named table, with its factor printed."""

from __future__ import annotations

from dataclasses import replace

from compliance.core.paper import Table
from compliance.core.usage_co2e import co2e_facts
from compliance.core.usage_report import usage_report
from compliance.core.usage_report_facts import UsageReportFacts
from shop.core.canonical import canonical, rebuild
from tests.compliance.papers.reading import text
from tests.compliance.papers.sample import G, usage_report_facts


def asked(table: str, *, yf_released: int = 0) -> UsageReportFacts:
    facts = usage_report_facts()
    yf = facts.new[1]
    new = (facts.new[0], replace(yf, released_ug=yf_released, heels_ug=yf.heels_ug - yf_released))
    return replace(facts, new=new, co2e=co2e_facts(table, new, facts.recovered))


def block(facts: UsageReportFacts) -> Table:
    return next(one for one in usage_report(facts).blocks if isinstance(one, Table) and "CO2e" in one.title)


def test_a_report_says_nothing_of_co2e_unless_it_is_asked_for() -> None:
    assert "CO2e" not in text(usage_report(usage_report_facts()))
    assert co2e_facts("", (), ()) is None


def test_95_g_released_are_136_kg_by_the_federal_table() -> None:
    # 0.095 kg x 1430 = 135.85 kg
    facts = asked("aim")

    assert facts.co2e is not None
    assert facts.co2e.total_kg == "135.850"
    assert block(facts).rows == (("R-134a", "95", "1,430", "136"),)
    said = text(usage_report(facts))
    assert (
        "Factors: AIM Act exchange values, 42 U.S.C. 7675(c)(1). Source: 42 U.S.C. 7675(c)(1), read." in said
    )
    assert "Nothing here was avoided or saved" in said
    assert "Optional" in block(facts).asked_by


def test_r1234yf_stands_there_without_a_factor_and_says_that_it_is_no_regulated_substance() -> None:
    shown = block(asked("aim", yf_released=10 * G))

    assert ("R-1234yf", "10", "none", "–") in shown.rows
    assert any(
        "no regulated substance" in note and "Its 10 g are not in this sum" in note for note in shown.notes
    )


def test_where_a_table_has_both_they_are_added() -> None:
    # 0.095 x 1530 = 145.35; 0.010 x 0.501 = 0.00501
    shown = block(asked("ar6", yf_released=10 * G))

    assert shown.rows == (
        ("R-134a", "95", "1,530", "145"),
        ("R-1234yf", "10", "0.501", "0.005"),
        ("All with a factor", "", "", "145"),
    )


def test_the_facts_come_back_as_they_were_stored_and_older_ones_come_back_too() -> None:
    facts = asked("ar6")
    before = canonical(usage_report_facts()).replace('"co2e":null,', "")

    assert rebuild(UsageReportFacts, canonical(facts)) == facts
    assert "co2e" not in before
    assert rebuild(UsageReportFacts, before) == usage_report_facts()
