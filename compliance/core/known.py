"""Texts that a record keeps in our own words with values in them, told again as phrases, so that a copy in another
language can say them. What does not come out as it was kept stays as it was."""

from __future__ import annotations

import re
from collections.abc import Callable

from compliance.core.wording import plain_days
from shop.core.days import MONTHS
from shop.core.phrase import joined, phrase, word


def known(text: str) -> str:
    """The text as a phrase when it is one of ours; else as it stands, its ISO days written like every other day."""
    shown = plain_days(text)
    for pattern, say in KNOWN:
        found = pattern.fullmatch(shown)
        if found is not None:
            again = say(found)
            return again if again == shown else shown
    return shown


def known_list(text: str) -> str:
    """The same for each part of a list, such as the rule packs that a closing looked at."""
    return joined(", ", [known(part) for part in text.split(", ")])


def _dated(text: str) -> str:
    """ "Jun 26 2026, 3:40 pm" with its month as a word of ours; any other text as it stands."""
    found = DAY.fullmatch(text)
    if found is None or found[1] not in MONTHS:
        return text
    month = MONTHS[MONTHS.index(found[1])]
    parts = {"month": month, "glue": found[2], "day": found[3], "year": found[5]}
    plain = phrase("{month}{glue}{day} {year}", **parts)
    with_comma = phrase("{month}{glue}{day}, {year}", **parts)  # as the sentence about a card once had it
    return joined("", [with_comma if found[4] else plain, found[6]])


DAY = re.compile(r"([A-Z][a-z]{2})(\s)(\d{1,2})(,?) (\d{4})(|, .+)")
KNOWN: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], str]], ...] = (
    (
        re.compile(r"(.+) held Section 609 proof of certification (.+), issued (.+), on this date\."),
        lambda found: phrase(
            "{name} held Section 609 proof of certification {card}, issued {issued_on}, on this date.",
            name=found[1],
            card=found[2],
            issued_on=_dated(found[3]),
        ),
    ),
    (
        re.compile(r"shop allowance, give or take (\S+) g"),
        lambda found: phrase("shop allowance, give or take {grams} g", grams=found[1]),
    ),
    (
        re.compile(r"checked (.+), passed"),
        lambda found: phrase("checked {day}, passed", day=_dated(found[1])),
    ),
    (
        re.compile(r"checked (.+), did not pass"),
        lambda found: phrase("checked {day}, did not pass", day=_dated(found[1])),
    ),
    (
        re.compile(r"shop rules as of (.+)"),
        lambda found: phrase("shop rules as of {day}", day=_dated(found[1])),
    ),
    (
        re.compile(r"(.+), signed on as (\S+), (.+)"),
        lambda found: phrase(
            "{name}, signed on as {username}, {moment}",
            name=found[1],
            username=found[2],
            moment=_dated(found[3]),
        ),
    ),
    (re.compile(r"no state chosen|none on file for that day"), lambda found: word(found[0])),
    (
        re.compile(r"(.+) (\d{4}-\d\d)"),
        lambda found: phrase("{title} {edition}", title=word(found[1]), edition=found[2]),
    ),
)
