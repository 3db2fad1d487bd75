"""When a recovery cylinder may last be filled."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from inventory.core.requalification import filling_findings, good_until, sending_findings

FIVE = Decimal(5)  # 40 CFR 82 Subpart B App. C 7.3.3


@pytest.mark.parametrize(
    ("stamped", "years", "until"),
    [
        (date(2021, 6, 1), FIVE, date(2026, 6, 30)),  # a stamp of 06 21, to the end of its month
        (date(2019, 2, 1), FIVE, date(2024, 2, 29)),
        (date(2020, 12, 31), FIVE, date(2025, 12, 31)),
        (date(2014, 1, 1), Decimal(12), date(2026, 1, 31)),  # 49 CFR 180.209(a) Table 1 knows 12 years too
    ],
)
def test_a_stamp_counts_to_the_end_of_its_month(stamped: date, years: Decimal, until: date) -> None:
    assert good_until(stamped, years) == until


@pytest.mark.parametrize(
    ("day", "codes", "blocks"),
    [
        (date(2026, 4, 1), [], False),
        (date(2026, 4, 2), ["requalification-soon"], False),
        (date(2026, 6, 30), ["requalification-soon"], False),
        (date(2026, 7, 1), ["requalification-past"], True),
    ],
)
def test_nothing_goes_in_from_the_day_after(day: date, codes: list[str], blocks: bool) -> None:
    found = filling_findings("RC-02", date(2021, 6, 1), FIVE, day, "cylinder")
    assert [one.code for one in found] == codes
    assert any(one.blocks for one in found) == blocks


def test_one_past_its_day_may_be_sent_off_when_somebody_says_so() -> None:
    (found,) = sending_findings("RC-02", date(2021, 6, 1), FIVE, date(2026, 7, 1), "RC-02")
    assert not found.blocks
    assert sending_findings("RC-02", date(2021, 6, 1), FIVE, date(2026, 6, 30), "RC-02") == []
