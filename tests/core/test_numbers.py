"""Numbers of containers as typed and scanned: fixtures/scanned_numbers.csv, which scan.js reads the same way."""

from __future__ import annotations

import pytest

from inventory.core.numbers import number_in, numbers_in
from tests.core.rows import rows_of

ROWS = rows_of("scanned_numbers.csv")


@pytest.mark.parametrize("row", ROWS, ids=[row["typed"] for row in ROWS])
def test_a_number_is_read_as_the_table_says(row: dict[str, str]) -> None:
    assert number_in(row["typed"]) == row["number"]


def test_a_list_keeps_each_number_once() -> None:
    assert numbers_in("312, k-0312\nhttps://tarebook.example/containers/RC-02/;311") == [
        "K-0312",
        "RC-02",
        "K-0311",
    ]
