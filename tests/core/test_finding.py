"""Words as they are looked for: folded, cut into endings, and forgiven one slip."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.finding import folded, may_be_misspelt, nearly_in, parts_of, tails

LETTERS = "ABCDEFG"  # few, so that repeats and chance hits come up
words = st.text(LETTERS, min_size=4, max_size=9)


def slips(word: str) -> set[str]:
    """Every text one slip away from the word, by brute force: Damerau's four kinds of mistake (1964)."""
    places = range(len(word))
    return {
        word,
        *(word[:at] + word[at + 1 :] for at in places),
        *(word[:at] + one + word[at:] for at in range(len(word) + 1) for one in LETTERS),
        *(word[:at] + one + word[at + 1 :] for at in places for one in LETTERS),
        *(word[:at] + word[at + 1] + word[at] + word[at + 2 :] for at in places[:-1]),
    }


@given(words, st.text(LETTERS, max_size=12))
def test_one_slip_is_forgiven_and_no_second_one(needle: str, word: str) -> None:
    assert nearly_in(needle, word) is any(one in word for one in slips(needle))


@given(words, st.data())
def test_one_piece_of_what_was_typed_is_whole_in_every_word_near_to_it(
    needle: str, data: st.DataObject
) -> None:
    """Else the index would not lead to it."""
    word = data.draw(st.sampled_from(sorted(slips(needle))))

    assert any(piece in word for piece in parts_of(needle))


@given(st.text(max_size=60))
def test_folding_twice_is_folding_once(text: str) -> None:
    assert folded(folded(text)) == folded(text)


@given(st.text(LETTERS + "0123456789-", max_size=30), st.data())
def test_every_fragment_is_the_beginning_of_an_ending(word: str, data: st.DataObject) -> None:
    plain = folded(word)
    first = data.draw(st.integers(0, len(plain)))
    fragment = plain[first : data.draw(st.integers(first, len(plain)))]

    assert len(fragment) < 2 or any(tail.startswith(fragment) for tail in tails(word))


@pytest.mark.parametrize(
    ("typed", "plain"),
    [("qoi-417", "001417"), (" Inés Löwe ", "1NESL0WE"), ("(555) 010-0177", "5550100177"), ("–", "")],
)
def test_words_are_folded(typed: str, plain: str) -> None:
    assert folded(typed) == plain


@pytest.mark.parametrize(
    ("typed", "may"),
    [
        ("Calloway", True),
        ("SMP-418", True),
        ("K-0012", False),
        ("J24-0001", False),
        ("5550100", False),
        ("Bo", False),
    ],
)
def test_names_and_plates_are_misspelt_and_numbers_are_not(typed: str, may: bool) -> None:
    assert may_be_misspelt(typed) is may
