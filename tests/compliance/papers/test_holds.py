"""What the certificate says about what the tests of a job could see."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from compliance.core.certificate import certificate
from compliance.core.certificate_facts import CertificateFacts, HoldFacts, LeakTestFacts
from compliance.core.certificate_holds import hold_rows
from shop.core.canonical import canonical, rebuild
from tests.compliance.papers.reading import text
from tests.compliance.papers.sample import G, certificate_facts

SEEING = HoldFacts("seeing", "84 °F (29 °C)", limit="2.2 g", rate="77 kg", equations="Tarebook properties 1")


def with_hold(saw: HoldFacts | None, scale: str = "4") -> CertificateFacts:
    facts = certificate_facts()
    held = LeakTestFacts(
        by="Dev Larkin",
        at="2026-06-11T11:38-07:00",
        mass_ug=75 * G,
        pressure_start="52 psi",
        pressure_end="52 psi",
        minutes=15,
        temperature="84 °F",
        result="no change seen on the gauge",
        temperature_end="83 °F",
        saw=saw,
    )
    checks = tuple(replace(one, detector_scale=scale) for one in facts.leak_checks)
    return replace(facts, leak_test=held, leak_checks=checks)


@pytest.mark.parametrize(
    ("saw", "sentence"),
    [
        (SEEING, "Losses above 2.2 g in 15 min, leaks above about 77 kg a year: gross ones only."),
        (
            replace(SEEING, off="4.0 psi", gone="4.4 g"),
            "4.0 psi below what the temperature explains, about 4.4 g. Oil can take it up too.",
        ),
        (replace(SEEING, off="4.0 psi"), "4.0 psi above what the temperature explains."),
        (
            HoldFacts("blind", "55 °F (13 °C)"),
            "Nothing: blind at 55 °F (13 °C). Some may have been liquid, and the gauge would read the same with less.",
        ),
        (
            HoldFacts("excess", "84 °F (29 °C)"),
            "more pressure than this refrigerant alone has at 84 °F (29 °C)",
        ),
        (HoldFacts("unknown", why="The hold was too short."), "Not known. The hold was too short."),
    ],
)
def test_it_says_what_the_hold_could_see(saw: HoldFacts, sentence: str) -> None:
    said = text(certificate(with_hold(saw)))
    assert sentence in said
    assert "84 °F, 83 °F at the end" in said
    assert "no leak" not in said.lower()


@pytest.mark.parametrize(
    ("scale", "sentence"),
    [
        ("7", "Looked for with the electronic detector, set to 7 g a year."),
        ("none", "Not looked for with an electronic detector."),
    ],
)
def test_it_says_once_which_test_can_find_slow_leaks(scale: str, sentence: str) -> None:
    facts = with_hold(SEEING, scale)
    again = replace(facts, leak_checks=(*facts.leak_checks, *facts.leak_checks))
    said = text(certificate(again))
    assert said.count(sentence) == 1
    assert said.count("A hold under pressure or vacuum shows gross leaks only.") == 1


def test_a_paper_from_before_is_drawn_as_it_was() -> None:
    facts = with_hold(None, "")
    assert facts.leak_test is not None
    facts = replace(facts, leak_test=replace(facts.leak_test, temperature_end=""))
    older = json.loads(canonical(facts))
    for name in ("saw", "temperature_end", "barometer"):
        del older["leak_test"][name]
    del older["leak_checks"][0]["detector_scale"]
    rebuilt = rebuild(CertificateFacts, json.dumps(older))
    assert rebuilt == facts
    assert rebuilt.leak_test is not None
    assert list(hold_rows(rebuilt.leak_test)) == []
    assert "Slow leaks" not in text(certificate(rebuilt))
