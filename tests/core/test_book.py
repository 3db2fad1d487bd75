"""What ``verify`` asks of rows: here the rule packs that closings were signed under."""

from __future__ import annotations

from compliance.core.book import EditionRow, edition_findings


def test_each_edition_is_told_once_with_the_first_job_under_it() -> None:
    closed = [EditionRow(f"J24-000{number}", "us-2026-11", "old") for number in (1, 2, 3)]
    closed += [EditionRow("J24-0004", "us-2026-11", "now"), EditionRow("J24-0004", "us-wi-2026-11", "gone")]

    found = edition_findings(closed, {"us-2026-11": "now", "us-ca-2024-12": "not asked"})

    assert [(one.code, one.blocks) for one in found] == [("pack-changed", True), ("pack-missing", True)]
    assert "J24-0001" in found[0].message
    assert "us-wi-2026-11 that J24-0004" in found[1].message


def test_editions_that_read_as_they_did_are_whole() -> None:
    assert edition_findings([EditionRow("J24-0001", "us-2026-11", "now")], {"us-2026-11": "now"}) == []
    assert edition_findings([], {}) == []
