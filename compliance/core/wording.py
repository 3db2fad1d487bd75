"""How papers write masses, days and times; and how rounded masses are made to add up on paper."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from decimal import Decimal

from shop.core.canonical import canonical, sha256
from shop.core.days import MONTHS
from shop.core.gauge import with_minus
from shop.core.mass import Mass, Unit
from shop.core.phrase import Phrase, joined, made, phrase, word

MINUS, GLUE = "−", "\u00a0"
NOT_RECORDED = phrase("not recorded")
AS_READ = phrase("Weights are as read on the shop's scales.")
GRAM = 1_000_000  # micrograms


# --- Masses


def places_for(amounts: Iterable[int]) -> int:
    """Decimals of a gram for a set of amounts in micrograms: none when all are whole grams, else one."""
    return 0 if all(amount % GRAM == 0 for amount in amounts) else 1


def number(ug: int, places: int = 0) -> str:
    """Grams without the unit, thousands parted by commas, a real minus sign: "10,946", "−35", "0.4"."""
    shown = Mass(ug).rounded(Unit.G, places)
    return _minus(f"{abs(shown):,}", negative=shown < 0)


def grams(ug: int, places: int = 0) -> str:
    """ "503 g"; the space never breaks."""
    return f"{number(ug, places)}{GLUE}g"


def ounces(ug: int) -> str:
    """ "17.7 oz", to a tenth."""
    return f"{ounce_number(ug)}{GLUE}oz"


def ounce_number(ug: int) -> str:
    shown = Mass(ug).rounded(Unit.OZ, 1)
    return _minus(f"{abs(shown):,}", negative=shown < 0)


def both(ug: int, places: int = 0) -> str:
    """Grams first, ounces in brackets: "503 g (17.7 oz)"."""
    return f"{grams(ug, places)} ({ounces(ug)})"


def spelled(ug: int, places: int = 0) -> str:
    """As a sentence says it: "503 grams (17.7 oz)"."""
    said = {"number": number(ug, places), "glue": GLUE, "ounces": ounces(ug)}
    one = phrase("{number}{glue}gram ({ounces})", **said)
    many = phrase("{number}{glue}grams ({ounces})", **said)
    return one if abs(ug) == GRAM else many


def signed(ug: int, places: int = 0) -> str:
    """A difference with its sign, without the unit: "+3", "−35", "0"."""
    shown = number(ug, places)
    return shown if shown.startswith(MINUS) or not Mass(ug).rounded(Unit.G, places) else f"+{shown}"


def signed_ounces(ug: int) -> str:
    shown = ounce_number(ug)
    return shown if shown.startswith(MINUS) or not Mass(ug).rounded(Unit.OZ, 1) else f"+{shown}"


def percent(part: int, whole: int) -> str:
    """ "−0.6 %", to a tenth; a dash when there is no whole to take a part of."""
    if not whole:
        return "–"
    shown = (Decimal(part) * 100 / Decimal(whole)).quantize(Decimal("0.1"))
    return _minus(f"{abs(shown)}{GLUE}%", negative=shown < 0)


def footed(amounts: Sequence[int], total: int, places: int) -> tuple[int, ...]:
    """Amounts rounded so that what is printed adds up to ``total`` as printed; micrograms in and out.

    Each amount is first rounded half-even by itself. When that does not add up, the amounts are rounded down and the
    units that are missing go to those with the largest remainders, so no amount moves by a whole printed unit.
    Amounts may be negative. Raises ValueError when the exact amounts do not come to the total within its rounding.
    """
    unit = GRAM // 10**places
    goal = _rounded(total, places)
    plain = tuple(_rounded(amount, places) for amount in amounts)
    if sum(plain) == goal:
        return plain
    if abs(sum(amounts) - goal) >= unit:
        raise ValueError(f"{sum(amounts)} does not come to {total} micrograms")
    down = [amount // unit * unit for amount in amounts]
    missing = (goal - sum(down)) // unit
    order = sorted(range(len(amounts)), key=lambda place: (down[place] - amounts[place], place))
    for place in order[:missing]:
        down[place] += unit
    return tuple(down)


def held(amounts: Iterable[int], total: int, of: str) -> None:
    """Raise ValueError when a sum that a paper is about to print does not hold exactly."""
    come_to = sum(amounts)
    if come_to != total:
        raise ValueError(f"{of}: the parts come to {come_to}, not {total} micrograms")


def _rounded(ug: int, places: int) -> int:
    return int(Mass(ug).rounded(Unit.G, places) * GRAM)


def _minus(shown: str, *, negative: bool) -> str:
    return f"{MINUS}{shown}" if negative else shown


# --- Days and times


def short_date(iso: str, first: str, last: str) -> str:
    """ "Jun 11" on a paper whose days, ``first`` to ``last``, lie in that one year; else with its year."""
    if not iso[:4] == first[:4] == last[:4]:
        return day(iso)
    return f"{MONTHS[int(iso[5:7]) - 1]}{GLUE}{int(iso[8:10])}"


def day(iso: str) -> str:
    """ "Jun 11 2026" for an ISO day or instant; "not recorded" for none."""
    return _day(datetime.fromisoformat(iso).date()) if iso else NOT_RECORDED


def clock(iso: str) -> str:
    """ "12:04 pm" on the shop's own clock."""
    at = datetime.fromisoformat(iso)
    return f"{at.hour % 12 or 12}:{at.minute:02d}{GLUE}{'am' if at.hour < 12 else 'pm'}"


def moment(iso: str) -> str:
    """ "Jun 11 2026, 12:04 pm"; "not recorded" for none."""
    return joined(", ", [day(iso), clock(iso)]) if iso else NOT_RECORDED


def zone(iso: str) -> str:
    """The offset of an instant from Coordinated Universal Time: "UTC−7", "UTC+5:30"."""
    offset = datetime.fromisoformat(iso).utcoffset()
    minutes = int(offset.total_seconds() // 60) if offset else 0
    sign = MINUS if minutes < 0 else "+"
    hours, rest = divmod(abs(minutes), 60)
    return f"UTC{sign}{hours}" + (f":{rest:02d}" if rest else "")


def span(started: str, ended: str, on: str) -> str:
    """ "10:12 to 10:31 am"; a day that is not the day ``on`` of the job is said."""
    if not started or not ended:
        return _at(started or ended, on) if started or ended else NOT_RECORDED
    if started[:10] != ended[:10]:
        return phrase("{first} to {last}", first=moment(started), last=moment(ended))
    first, last = clock(started), clock(ended)
    if first[-2:] == last[-2:]:
        first = first[:-3]
    said = phrase("{first} to {last}", first=first, last=last)
    return said if started[:10] == on else joined(", ", [day(started), said])


def at(iso: str, on: str) -> str:
    """A time on the day of the job; with its day when that is another one."""
    return _at(iso, on) if iso else NOT_RECORDED


def duration(minutes: int) -> str:
    """ "43 min", "1 h 15 min"."""
    hours, rest = divmod(minutes, 60)
    parts = [f"{hours}{GLUE}h"] if hours else []
    return " ".join(parts + ([f"{rest}{GLUE}min"] if rest or not hours else []))


def plain_days(text: str) -> str:
    """Free text with its ISO days and instants written like every other day on paper."""
    return ISO.sub(lambda found: moment(found[0]) if "T" in found[0] else day(found[0]), text)


def _at(iso: str, on: str) -> str:
    return clock(iso) if iso[:10] == on else moment(iso)


def _day(on: date) -> str:
    return phrase(
        "{month}{glue}{day} {year}", month=MONTHS[on.month - 1], glue=GLUE, day=on.day, year=on.year
    )


# --- Words


def said(text: str) -> str:
    """The text, or that it was not recorded; a paper never leaves a blank."""
    return text if isinstance(text, Phrase) else plain_days(with_minus(text.strip())) or NOT_RECORDED


def words(text: str) -> str:
    """A list of our own words as a record keeps it ("eyes, dye"), each of them to be translated."""
    return joined(", ", [word(one.strip()) for one in text.split(",") if one.strip()]) or NOT_RECORDED


def listed(items: Sequence[str], last: str = "and") -> str:
    """ "a, b and c"."""
    items = [item for item in items if item]
    if len(items) < 2:
        return "".join(items) if not items else items[0]
    parts = {"first": joined(", ", items[:-1]), "last": items[-1]}
    return phrase("{first} or {last}", **parts) if last == "or" else phrase("{first} and {last}", **parts)


def counted(count: int, one: str, many: str = "") -> str:
    """ "1 can", "14 cans"."""
    return f"{count:,}{GLUE}{one if count == 1 else many or one + 's'}"


def sentence(text: str) -> str:
    """The text with a capital at its start and a full stop at its end."""
    return made(_sentence, text)


def _sentence(text: str) -> str:
    text = text.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".?!" else ".")


def made_line(made_at: str, *, weights: bool = True) -> str:
    """The line on every page of every paper; one without weights does not speak of scales."""
    on = joined(" ", [moment(made_at), zone(made_at)]) if made_at else NOT_RECORDED
    if not weights:
        return phrase("Made by the shop's record system on {on}.", on=on)
    return phrase("Made by the shop's record system on {on}. {as_read}", on=on, as_read=AS_READ)


def fingerprint(facts: object) -> str:
    """The first twelve digits of the SHA-256 of the facts in their one spelling."""
    return sha256(canonical(facts))[:12]


ISO = re.compile(r"\b\d{4}-\d\d-\d\d(T\d\d:\d\d(:\d\d(\.\d+)?)?([+-]\d\d:\d\d|Z)?)?\b")
