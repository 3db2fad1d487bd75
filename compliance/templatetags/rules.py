"""Who asks for what, beside the stage or the delivery that it is asked of."""

from __future__ import annotations

from typing import Any

from django import template
from django.utils import timezone

from compliance.core.packs import Kind, Layer
from compliance.queries.packs import answers_given, job_rules, rules_asked
from compliance.queries.sheets import Sheet
from shop.http import now

register = template.Library()


@register.simple_tag
def rules_at(sheet: Sheet, kind: str) -> list[Layer]:
    """The rules of the job's packs that are looked at in this stage."""
    return [one for one in job_rules(sheet).asked.layers if one.rule.moment.value == str(kind)]


@register.simple_tag
def rules_unsaid(sheet: Sheet) -> list[Layer]:
    """What is to be said to the customer before the work and was not written down as said."""
    sayings = job_rules(sheet).asked.of(Kind.DISCLOSURE)
    given = answers_given(sheet) if sayings else {}
    return [one for one in sayings if one.rule.code not in given]


@register.simple_tag(takes_context=True)
def rules_for_cans(context: dict[str, Any]) -> list[Layer]:
    """What the packs of today want of a small can that comes in, beyond that anybody may buy it."""
    house, today = context["request"].user.establishment, timezone.localdate(now())
    asked = rules_asked(house, today).asked.of(Kind.SUPPLY)
    small = [one for one in asked if one.rule.grams("more_than_g") is None]
    return [one for one in small if one.rule.text("verdict") != "allowed"]
