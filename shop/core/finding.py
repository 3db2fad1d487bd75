"""Finding: how what is typed meets what is kept, whatever the blanks, dashes, accents and O for 0.

Every word that a thing can be found by is kept with all of its endings, so that any fragment of it is the beginning
of one of them: an index answers that, on either database, however many words there are.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from enum import StrEnum

SHORTEST, LONGEST = 2, 40  # characters: a fragment that is looked for, and what is kept of a word
LETTERS_ENOUGH = 4  # a slip in fewer letters than these could be any other word
_ALIKE = str.maketrans(
    "OQI", "001"
)  # a VIN has none of the three (49 CFR 565.13(a), from memory); plates mix them up


class Kind(StrEnum):
    """What can be found."""

    CAR = "car"
    JOB = "job"
    PAPER = "paper"
    CONTAINER = "container"
    LOT = "lot"
    DELIVERY = "delivery"


@dataclass(frozen=True, slots=True)
class Findable:
    """One thing and the words it is found by. ``key`` is what its page is called by."""

    kind: Kind
    key: str
    words: tuple[str, ...]


def folded(text: str) -> str:
    """Letters and digits alone, upper case, without accents; O and Q as 0, I as 1."""
    plain = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).upper())
    return "".join(one for one in plain if one.isalnum()).translate(_ALIKE)


def fragments(typed: str) -> list[str]:
    """The words typed, folded; those too short to look for are left out."""
    return [word for word in map(folded, typed.split()) if len(word) >= SHORTEST]


def tails(text: str) -> list[str]:
    """A word, folded, and all its endings, longest first; nothing where it is too short to be looked for."""
    word = folded(text)[:LONGEST]
    return [word[at:] for at in range(len(word) - SHORTEST + 1)]


def may_be_misspelt(typed: str) -> bool:
    """Whether a word near to this one may be meant: names and plates, not numbers, where the next one is a different
    thing and no slip."""
    word = [one for one in typed if one.isalnum()]
    letters = sum(one.isalpha() for one in word)
    return letters >= LETTERS_ENOUGH - 1 and len(word) >= LETTERS_ENOUGH and 2 * letters >= len(word)


def parts_of(needle: str) -> tuple[str, ...]:
    """Pieces of a needle of which one is whole in every word that holds it with one slip.

    A wrong, missing or spare letter leaves one half untouched. Two letters that changed places across the middle
    leave neither, so the needle with these two put back is a piece too.
    """
    half = len(needle) // 2
    swapped = needle[: half - 1] + needle[half] + needle[half - 1] + needle[half + 1 :]
    return needle[:half], needle[half:], swapped


def nearly_in(needle: str, word: str) -> bool:
    """Whether a stretch of the word is the needle with one slip at most: a letter wrong, missing, spare, or two letters
    that changed places."""
    if (
        needle[1:] in word or needle[1::-1] + needle[2:] in word
    ):  # the slip is in the first letter, or the first two
        return True
    begins = (at for at, one in enumerate(word) if one == needle[0])
    return any(_slipped(needle, word[at:]) for at in begins)


def _slipped(needle: str, text: str) -> bool:
    """The same for the beginning of a text that begins with the needle's own first letter."""
    same = next((at for at, one in enumerate(needle) if text[at : at + 1] != one), len(needle))
    typed, kept = needle[same:], text[same:]
    return (
        kept[1:].startswith(typed[1:])  # a letter wrong, or nothing at all
        or kept[1:].startswith(typed)
        or kept.startswith(typed[1:])
        or (len(typed) > 1 and kept[:2] == typed[1] + typed[0] and kept[2:].startswith(typed[2:]))
    )
