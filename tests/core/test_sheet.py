"""Sheets: exact grams, ISO days, and text that no spreadsheet takes for a formula."""

from __future__ import annotations

import csv
import io
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.mass import Mass
from shop.core.sheet import BYTE_ORDER_MARK, Sheet, Value, columns, csv_text, dollars, neutral


def written(*values: Value) -> list[str]:
    """One row, through CSV and back."""
    sheet = Sheet("s", "", columns(*((f"c{at}", "") for at, _ in enumerate(values))), [values])
    text = "".join(csv_text(sheet))
    assert text.startswith(BYTE_ORDER_MARK)
    return list(csv.reader(io.StringIO(text[1:], newline="")))[1]


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Mass(340_194_278), "340.194278"),  # 12 oz, to the microgram
        (Mass(-1), "-0.000001"),
        (Mass(500_000_000_000), "500000"),
        (Mass(0), "0"),
        (date(2024, 4, 2), "2024-04-02"),
        (datetime(2024, 4, 2, 18, 0, tzinfo=UTC), "2024-04-02 18:00:00+00:00"),
        (True, "yes"),
        (False, "no"),
        (None, ""),
        (-3, "-3"),
        (dollars(64218), "642.18"),
        (dollars(5), "0.05"),
        ("1 lb 4.5 oz", "1 lb 4.5 oz"),
        ('say "no", then\nleave', 'say "no", then\nleave'),
    ],
)
def test_a_value_leaves_as_itself(value: Value, text: str) -> None:
    assert written(value) == [text]


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1 555 0100",
        "-2+3",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        "\n=1",
        "  =1",
        "\u00a0=1",
        "\uff1d1",
        '=HYPERLINK("x")',
    ],
)
def test_text_that_begins_a_formula_is_made_neutral(text: str) -> None:
    assert written(text) == [f"'{text}"]


@pytest.mark.parametrize("text", ["", "K-0001", "a=b", "1-2", "'quoted"])
def test_other_text_is_left_alone(text: str) -> None:
    assert neutral(text) == text


@given(st.integers(min_value=-(10**18), max_value=10**18))
def test_grams_come_back_to_the_microgram(ug: int) -> None:
    assert Decimal(written(Mass(ug))[0]) * 1_000_000 == ug


def test_a_long_sheet_comes_in_pieces() -> None:
    sheet = Sheet("s", "", columns(("n", "")), ((n,) for n in range(1000)))

    pieces = list(csv_text(sheet))

    assert len(pieces) > 4
    assert "".join(pieces).split() == [BYTE_ORDER_MARK + "n", *(str(n) for n in range(1000))]
