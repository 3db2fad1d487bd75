"""Reminders by e-mail: at most one letter a week, and no cause twice."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction

from compliance.models import Reminder
from compliance.queries.attention import worth_a_reminder
from compliance.queries.attention_office import Ask
from shop.models import Establishment

WEEK = timedelta(days=7)


@transaction.atomic
def remind(establishment: Establishment, *, on: date, at: datetime) -> list[Reminder]:
    """Send what is new, in one letter to the shop's address; nothing when it has none, or had a letter this week.

    A letter that cannot be sent leaves nothing behind, so that the next try tells the same.
    """
    shop = Establishment.objects.select_for_update().get(
        pk=establishment.pk
    )  # two runs at once send one letter
    to = shop.reminders_to
    sent = Reminder.objects.filter(establishment=shop)
    if not to or sent.filter(on__gt=on - WEEK).exists():
        return []
    told = set(sent.values_list("cause", flat=True))
    asks = {ask.cause: ask for ask in worth_a_reminder(shop, on) if ask.cause not in told}
    if not asks:
        return []
    rows = [
        Reminder(establishment=shop, cause=ask.cause, text=str(ask.text)[:300], to=to, on=on, at=at)
        for ask in asks.values()
    ]
    Reminder.objects.bulk_create(rows)
    EmailMessage(f"{shop.name}: {_things(len(asks))}", _letter(list(asks.values())), to=[to]).send()
    return rows


def _things(number: int) -> str:
    return "one thing to look at" if number == 1 else f"{number} things to look at"


def _letter(asks: Sequence[Ask]) -> str:
    lines = [f"- {ask.text}\n  {settings.SITE_URL}{ask.href}" for ask in asks]
    foot = (
        "Each of these is told once, in one letter a week at most. Today shows all of them until they are done:"
        f" {settings.SITE_URL}/"
    )
    practice = ["This is the practice shop: nothing here is a record."] if settings.PRACTICE else []
    return "\n\n".join([*practice, *lines, foot]) + "\n"
