"""One spelling for facts: what is written down comes back, and a changed byte changes the fingerprint."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.core.chain import START, link_hash
from shop.core.canonical import canonical, rebuild, sha256


@dataclass(frozen=True, slots=True)
class Line:
    code: str
    out_ug: int


@dataclass(frozen=True, slots=True)
class Sheet:
    number: str
    remark: str | None
    lines: tuple[Line, ...]
    places: tuple[str, int]
    total: Line | None = None


lines = st.builds(Line, st.text(), st.integers())
sheets = st.builds(
    Sheet,
    st.text(),
    st.none() | st.text(),
    st.lists(lines, max_size=4).map(tuple),
    st.tuples(st.text(), st.integers()),
    st.none() | lines,
)


def test_keys_are_sorted_and_no_blank_is_spent() -> None:
    assert canonical(Line("K-0311", 338)) == '{"code":"K-0311","out_ug":338}'
    assert canonical({"b": [1], "a": "°"}) == '{"a":"°","b":[1]}'


@pytest.mark.parametrize("value", [338.0, {1, 2}, b"338", object()])
def test_what_does_not_come_back_as_typed_is_refused(value: object) -> None:
    with pytest.raises(TypeError, match="facts hold text, whole numbers"):
        canonical({"out": value})


def test_the_facts_of_something_else_are_refused() -> None:
    with pytest.raises(TypeError, match="not the facts of a Line"):
        rebuild(Line, "null")


def test_the_fingerprint_is_sha_256() -> None:
    # FIPS 180-2, appendix B.1: the digest of "abc" (from memory)
    assert sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert sha256(b"abc") == sha256("abc")


@given(sheets)
def test_facts_come_back_as_they_were(sheet: Sheet) -> None:
    assert rebuild(Sheet, canonical(sheet)) == sheet


@given(sheets, sheets)
def test_two_sheets_have_one_spelling_only_when_they_are_equal(one: Sheet, other: Sheet) -> None:
    assert (canonical(one) == canonical(other)) == (one == other)


@given(st.lists(st.text(), min_size=2, max_size=5, unique=True))
def test_a_chain_tells_the_order_of_its_links(bodies: list[str]) -> None:
    assert _end(bodies) != _end([bodies[1], bodies[0], *bodies[2:]])


def _end(bodies: list[str]) -> str:
    before = START
    for body in bodies:
        before = link_hash(before, body)
    return before
