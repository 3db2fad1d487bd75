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
    month, comma = MONTHS[MONTHS.index(found[1])], found[4]
    parts = {"month": month, "glue": found[2], "day": found[3], "year": found[5]}
    on = (
        phrase("{month}{glue}{day}, {year}", **parts)
        if comma
        else phrase("{month}{glue}{day} {year}", **parts)
    )
    return joined("", [on, found[6]])


def _replaced(found: re.Match[str]) -> str:
    """The line on a version that takes the place of another; why it does was typed and stays."""
    return phrase(
        "Replaces version {version} of {day}. {why}",
        version=found[1],
        day=_dated(found[2]),
        why=known(found[3]),
    )


def _changed(found: re.Match[str]) -> str:
    return phrase(
        "Changed: {what}. {why} Slip {slip}, {name}, {day}.",
        what=found[1],
        why=found[2],
        slip=found[3],
        name=found[4],
        day=_dated(found[5]),
    )


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
        re.compile(r"(.+) held no Section 609 proof of certification; written down by (.+)\."),
        lambda found: phrase(
            "{name} held no Section 609 proof of certification; written down by {by}.",
            name=found[1],
            by=found[2],
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
    (re.compile(r"Replaces version (\d+) of (\w{3}\s\d{1,2}(?: \d{4})?)\. (.+)"), _replaced),
    (re.compile(r"Changed: (.+?)\. (.+) Slip (CS\S+), (.+), (\w{3}\s\d{1,2}(?: \d{4})?)\."), _changed),
    (
        re.compile(r"(.+), (from a second-hand source, text not read|from memory, not checked)"),
        lambda found: phrase("{cite}, {status}", cite=found[1], status=word(found[2])),
    ),
    (re.compile(r"no state chosen|none on file for that day"), lambda found: word(found[0])),
    (
        re.compile(r"(.+) (\d{4}-\d\d)"),
        lambda found: phrase("{title} {edition}", title=word(found[1]), edition=found[2]),
    ),
)
