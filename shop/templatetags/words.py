"""How pages write masses, states and refrigerants."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django import template
from django.conf import settings
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shop.core import cautions
from shop.core.cautions import Caution
from shop.core.mass import ZERO, Mass, Unit
from shop.core.phrase import in_language, phrase
from shop.core.table import shown

register = template.Library()
SHAPES = {"done": "■", "look": "▲", "stop": "⬣", "waiting": "○", "unneeded": "–", "corrected": "✎"}
# The words beside the shapes, marked here once for translation.
STATES = (
    phrase("Accepted"),
    phrase("All taken"),
    phrase("Another way, said below"),
    phrase("At its last ticket"),
    phrase("Back to the supplier as an empty core"),
    phrase("Charge unknown"),
    phrase("Charged"),
    phrase("Closed"),
    phrase("Corrected"),
    phrase("Current"),
    phrase("Danger"),
    phrase("Dead letter"),
    phrase("Dead letters"),
    phrase("Decided"),
    phrase("Did not pass"),
    phrase("Differs"),
    phrase("Does none"),
    phrase("Done"),
    phrase("Due"),
    phrase("Emptied"),
    phrase("Ended"),
    phrase("Estimated"),
    phrase("Everything has its answer"),
    phrase("For good"),
    phrase("Good"),
    phrase("High voltage"),
    phrase("Holds nothing by the book"),
    phrase("In"),
    phrase("In force, authorised"),
    phrase("In use"),
    phrase("Invoice missing"),
    phrase("It adds up"),
    phrase("Kept"),
    phrase("Kept for the next job"),
    phrase("Learned from empties"),
    phrase("Left as a difference"),
    phrase("Left out of this count"),
    phrase("Left to find"),
    phrase("Look"),
    phrase("Lost"),
    phrase("Missing"),
    phrase("Mixed"),
    phrase("Nearly full"),
    phrase("Never checked"),
    phrase("No"),
    phrase("No card in force"),
    phrase("No copy"),
    phrase("No password yet"),
    phrase("No trouble"),
    phrase("Nobody"),
    phrase("Not authorised"),
    phrase("Not charged"),
    phrase("Not finished"),
    phrase("Not found"),
    phrase("Not needed"),
    phrase("Not on it"),
    phrase("Not readable"),
    phrase("Not sent any more"),
    phrase("Not taken"),
    phrase("Not whole"),
    phrase("Not you"),
    phrase("Nothing"),
    phrase("Nothing sent yet"),
    phrase("On file"),
    phrase("On hold"),
    phrase("Open"),
    phrase("Origin unknown"),
    phrase("Over"),
    phrase("Overdue"),
    phrase("Passed"),
    phrase("Paused"),
    phrase("Put away"),
    phrase("Put right below"),
    phrase("Ready"),
    phrase("Refused, damaged on delivery"),
    phrase("Replaced"),
    phrase("Returned to the supplier"),
    phrase("Runs"),
    phrase("Saved"),
    phrase("Says"),
    phrase("Scale in doubt"),
    phrase("Scrap metal"),
    phrase("Sealed"),
    phrase("Sealed, by its label"),
    phrase("Sent later"),
    phrase("Set aside"),
    phrase("Shell estimated"),
    phrase("Shipped to a facility"),
    phrase("Sign-on ended"),
    phrase("Signed, not sent"),
    phrase("Stop"),
    phrase("Stops"),
    phrase("Taken"),
    phrase("Taken back"),
    phrase("The same"),
    phrase("The waste hauler took it"),
    phrase("To be told"),
    phrase("To come"),
    phrase("To follow"),
    phrase("Told"),
    phrase("Undone"),
    phrase("Undone as a mistake"),
    phrase("Unit added later"),
    phrase("Unknown"),
    phrase("Waiting"),
    phrase("Warns"),
    phrase("Weighed"),
    phrase("Weighed empty"),
    phrase("Whole"),
    phrase("Withdrawn"),
    phrase("Within"),
    phrase("Works here no longer"),
    phrase("Yes"),
    phrase("inside the label"),
    phrase("inside the label's tolerance, shown"),
    phrase("likely"),
    phrase("not shown either way"),
    phrase("on file"),
    phrase("outside the label's tolerance"),
    phrase("possible"),
    phrase("reprint"),
    phrase("set aside"),
)
FLAMMABLE = frozenset({"R-1234yf", "R-152a"})


@register.filter
def g(mass: Mass | None) -> str:
    """Whole grams with the unit; a dash where there is no mass."""
    return "–" if mass is None else f"{mass.rounded(Unit.G, 0):,} g"


@register.filter
def g1(mass: Mass | None) -> str:
    return "–" if mass is None else f"{mass.rounded(Unit.G, 1):,} g"


@register.filter
def oz(mass: Mass | None) -> str:
    return "–" if mass is None else f"{mass.rounded(Unit.OZ, 1):,} oz"


@register.filter
def both(mass: Mass | None) -> str:
    """Grams first, ounces in brackets."""
    return "–" if mass is None else f"{g(mass)} ({oz(mass)})"


@register.filter
def signed(mass: Mass | None) -> str:
    """A difference with its sign, in whole grams; a real minus sign."""
    if mass is None:
        return "–"
    sign = "+" if mass > ZERO else "−" if mass < ZERO else ""
    return f"{sign}{abs(mass).rounded(Unit.G, 0):,} g"


@register.filter
def ug_g(ug: int | None) -> str:
    return g(None if ug is None else Mass(ug))


@register.filter
def bare(mass: Mass, unit: str = "g") -> str:
    """The number alone, for a place that writes the unit beside it."""
    return f"{mass.rounded(Unit(unit), 0 if unit == 'g' else 1):,}"


@register.filter
def cents(amount: int) -> str:
    return f"${amount // 100:,}.{amount % 100:02d}"


@register.filter
def say(text: object) -> str:
    """A sentence or word of core and services in the reader's language."""
    return in_language(text, gettext) if isinstance(text, str) else str(text)


@register.filter
def word(value: object) -> str:
    """One of our own words that a record keeps as text, in the reader's language."""
    return gettext(str(value)) if value else ""


@register.simple_tag
def state(kind: str, word: str) -> SafeString:
    """Shape and word; colour comes last, from the class."""
    return format_html(
        '<span class="state {}"><span aria-hidden="true">{}</span> {}</span>',
        kind,
        SHAPES[kind],
        gettext(str(word)),
    )


@register.simple_tag
def refrigerant(code: str) -> SafeString:
    """A refrigerant's name in its box; a flammable one says so in words."""
    if str(code) in FLAMMABLE:
        return format_html('<span class="tag">{} <b>{}</b></span>', code, gettext("FLAMMABLE"))
    return format_html('<span class="tag">{}</span>', code)


@register.filter
def block_kind(block: object) -> str:
    """Which kind of block of a paper this is, so that a template can draw it."""
    return type(block).__name__


@register.filter
def plus(mass: Mass, other: Mass) -> str:
    """Two masses together, in whole grams."""
    return g(mass + other)


@register.filter
def shop_clock(instant: datetime) -> str:
    """When the server got it, to the second, on the shop's own clock."""
    return f"{timezone.localtime(instant + settings.PRACTICE_OFFSET):%H:%M:%S}"


@register.simple_tag
def caution(name: str) -> SafeString:
    """One caution of the list by its name, for a page that is no stage of a job."""
    one: Caution = getattr(cautions, name)
    return format_html(
        '<p class="caution"><span aria-hidden="true">▲</span> {} <small>{}</small></p>',
        gettext(one.text),
        gettext(cautions.DEFER),
    )


@register.filter
def ordinary(cautions: Sequence[Caution]) -> list[Caution]:
    """Those that may fold; the hazards stand by themselves."""
    return [one for one in cautions or () if not one.hazard]


@register.filter
def any_wrong(form: Any, names: Sequence[str]) -> bool:
    """Whether one of these fields has something wrong beside it, so that it must not stand folded."""
    return form.is_bound and any(name in form.errors for name in names)


@register.filter
def last_reading(tickets: Sequence[Any]) -> str:
    """What the newest of a can's tickets says."""
    return str(tickets[-1].ticket.reading)


@register.filter
def fields_of(names: str, form: Any) -> list[tuple[str, Any]]:
    """(name, value as typed) of some fields of a bound form, to be sent again unchanged."""
    return [(name, form[name].value()) for name in names.split()]


@register.filter
def cell(cells: dict[str, str], name: str) -> str:
    """What stands under a heading, cut where a line ends."""
    return shown(cells.get(name, ""))
