"""What Today asks about counts that came out too far off, and about scales: checks due, checks not passed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from django.urls import reverse

from compliance.queries.attention_office import Ask
from compliance.queries.control_charts import all_charts
from inventory.core.suspects import said
from inventory.queries import doubts, over_the_limit
from shop.core.days import said_day
from shop.core.phrase import phrase
from shop.core.roles import Role
from shop.models import Check, Equipment, Establishment, Person
from shop.queries import in_service, last_check, rules_on


def counts_off(establishment: Establishment) -> Iterator[Ask]:
    """A difference of the newest count that is over the shop's limit, until it is left with a note."""
    for one in over_the_limit(establishment):
        text = phrase(
            "The count of {on:%b} {day} is {mass} g off in {refrigerant}. The shop's limit is {limit} g.",
            on=one.count.on,
            day=one.count.on.day,
            mass=said(one.sum.difference),
            refrigerant=one.sum.refrigerant,
            limit=said(one.limit.mass).lstrip("+"),
        )
        href = reverse("difference", args=[one.count.pk, one.sum.refrigerant])
        yield Ask("look", text, href, phrase("Find the difference"))


def chart_asks(establishment: Establishment, person: Person) -> Iterator[Ask]:
    """Alarms of the control charts, for the owner."""
    if person.role != Role.OWNER:
        return
    for one in all_charts(establishment):
        if one.alarm:
            yield Ask("look", one.sentence, reverse("control:list"), phrase("Look"))


def _cause(scale: Equipment, check: Check | None) -> str:
    return f"scale {scale.code} after check {check.pk if check else 'none'}"


def scale_asks(establishment: Establishment, day: date, role: str) -> Iterator[Ask]:
    """Scales whose check with the known weight is due by the shop's rule, or that did not pass."""
    told = set()
    for doubt in doubts(establishment):
        scale = doubt.check.equipment
        told.add(scale.pk)
        text = phrase(
            "{scale} did not pass its check of {on:%b} {day}. Its weigh tickets are in doubt until the owner decides.",
            scale=scale.code,
            on=doubt.check.on,
            day=doubt.check.on.day,
        )
        page = reverse("doubt", args=[doubt.check.pk])
        yield Ask("look", text, page, phrase("Look"), _cause(scale, doubt.check))
    within = rules_on(establishment, day).scale_check_days
    for scale in in_service(establishment, day, "scale"):
        check = last_check(scale, day)
        if check is None or (day - check.on).days > within:
            text = (
                phrase("Scale {scale} was never checked with a known weight.", scale=scale.code)
                if check is None
                else phrase(
                    "Scale {scale} was last checked {on}. Check it with the known weight.",
                    scale=scale.code,
                    on=said_day(check.on),
                )
            )
            office = role == Role.FRONT_OFFICE  # which checks no scale
            href = reverse("equipment:page" if office else "equipment:check", args=[scale.code])
            do, cause = phrase("Look") if office else phrase("Check it"), _cause(scale, check)
            yield Ask("look", text, href, do, cause)
        if check is not None and not check.passed and scale.pk not in told:
            text = phrase("Scale {scale} did not pass its last check.", scale=scale.code)
            page = reverse("equipment:page", args=[scale.code])
            yield Ask("look", text, page, phrase("Look"), _cause(scale, check))
