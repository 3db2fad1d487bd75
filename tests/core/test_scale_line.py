"""Lines as a bench scale sends them: fixtures/scale_lines.csv, which the page's script reads the same way."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.mass import Unit
from shop.core.reading import read_mass
from shop.core.scale_line import LONGEST, Said, read_scale_line
from tests.core.rows import rows_of

ROWS = rows_of("scale_lines.csv")


@pytest.mark.parametrize("row", ROWS, ids=[repr(row["line"]) for row in ROWS])
def test_a_line_says_what_the_table_says(row: dict[str, str]) -> None:
    said = read_scale_line(row["line"])

    found = (said.said, said.text, said.unit or "", "yes" if said.net else "no")
    assert found == (row["said"], row["text"], row["unit"], row["net"])


def test_the_table_has_every_kind_of_line() -> None:
    assert {row["said"] for row in ROWS} == {one.value for one in Said}


@given(st.text(max_size=LONGEST + 10))
def test_no_line_is_a_surprise(line: str) -> None:
    said = read_scale_line(line)

    assert said.is_weight <= bool(said.text and said.unit)


@given(st.decimals(0, 500, places=1), st.sampled_from(["g", "kg", "oz", "lb"]))
def test_what_is_taken_from_a_line_reads_like_what_is_typed(number: object, unit: str) -> None:
    line = read_scale_line(f"ST,GS,+{number} {unit}")
    typed, _found = read_mass(line.text, Unit(unit))

    assert typed is not None
    assert (typed.text, typed.unit, line.said) == (line.text, line.unit, Said.SETTLED)


@given(st.integers(1000, 9999))
def test_a_piece_of_a_line_is_a_weight_too_so_the_reader_drops_the_first_piece(number: int) -> None:
    """Why scale.js throws away what comes before the first end of a line."""
    whole, piece = read_scale_line(f"{number} g"), read_scale_line(f"{number} g"[1:])

    assert whole.is_weight
    assert piece.is_weight
    assert whole.text != piece.text
