"""How pages write masses, states and refrigerants."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from shop.core.mass import ZERO, Mass, Unit

register = template.Library()
SHAPES = {"done": "■", "look": "▲", "stop": "⬣", "waiting": "○", "unneeded": "–", "corrected": "✎"}
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


@register.simple_tag
def state(kind: str, word: str) -> SafeString:
    """Shape and word; colour comes last, from the class."""
    return format_html(
        '<span class="state {}"><span aria-hidden="true">{}</span> {}</span>', kind, SHAPES[kind], word
    )


@register.simple_tag
def refrigerant(code: str) -> SafeString:
    """A refrigerant's name in its box; a flammable one says so in words."""
    if str(code) in FLAMMABLE:
        return format_html('<span class="tag">{} <b>FLAMMABLE</b></span>', code)
    return format_html('<span class="tag">{}</span>', code)


@register.filter
def block_kind(block: object) -> str:
    """Which kind of block of a paper this is, so that a template can draw it."""
    return type(block).__name__


@register.filter
def last_reading(tickets: Sequence[Any]) -> str:
    """What the newest of a can's tickets says."""
    return str(tickets[-1].ticket.reading)


@register.filter
def fields_of(names: str, form: Any) -> list[tuple[str, Any]]:
    """(name, value as typed) of some fields of a bound form, to be sent again unchanged."""
    return [(name, form[name].value()) for name in names.split()]
