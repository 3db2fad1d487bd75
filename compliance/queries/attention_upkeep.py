"""What has to be looked after by the calendar: cylinders to be requalified, backups to be tried, old records in
January, the copy of last month."""

from __future__ import annotations

from datetime import date, timedelta

from django.urls import reverse

from compliance.core.old import Keeps
from compliance.models import Job
from compliance.queries.attention_office import Ask
from compliance.queries.cleared import is_due, step_of, waiting
from compliance.queries.old_records import old_records
from compliance.queries.packages import made_after
from inventory.core.requalification import filling_findings, good_until
from inventory.queries import in_the_cabinet
from shop.core.days import said_day
from shop.core.period import Period
from shop.core.phrase import phrase
from shop.models import Establishment
from shop.queries import last_backup_trial, rules_on

BACKUP_TRIED_EVERY = 92  # days


def requalification_asks(establishment: Establishment, day: date) -> list[Ask]:
    """Cylinders in use that are past their requalification, or will be within 90 days."""
    years = rules_on(establishment, day).cylinder_years
    found = []
    for cylinder in in_the_cabinet(establishment).filter(kind="cylinder"):
        stamped = cylinder.cylinder.requalified_on
        for finding in filling_findings(cylinder.code, stamped, years, day, ""):
            page = reverse("containers:page", args=[cylinder.code])
            cause = f"{finding.code} {cylinder.code} {good_until(stamped, years)}"
            found.append(Ask("look", finding.message, page, phrase("Look"), cause))
    return found


def backup_asks(establishment: Establishment, day: date) -> list[Ask]:
    """A backup that nobody brought back for three months is a hope."""
    last = last_backup_trial(establishment)
    if last is not None and last.whole and (day - last.on).days <= BACKUP_TRIED_EVERY:
        return []
    if last is None:
        text = phrase("No backup was ever brought back to try it.")
    elif not last.whole:
        text = phrase("The backup that was tried on {on} was not whole.", on=said_day(last.on))
    else:
        text = phrase("The last backup was tried on {on}.", on=said_day(last.on))
    cause = f"backup after {last.pk if last else 'none'}"
    return [Ask("waiting", text, reverse("house:backups"), phrase("Try one"), cause)]


def old_asks(establishment: Establishment, day: date) -> list[Ask]:
    """In January: how much is past its time. Nothing happens by itself."""
    if day.month != 1:
        return []
    records = old_records(establishment, day)
    if all(one.archived or not one.is_free for one in records):
        return []
    text = phrase(
        "{past} records are past their time: {held} on hold, {needed} still needed by newer work. Make the archive"
        " file?",
        past=sum(not one.cleared for one in records),
        held=sum(one.keeps is Keeps.HOLD for one in records),
        needed=sum(one.keeps is Keeps.NEEDED for one in records),
    )
    return [Ask("waiting", text, reverse("old:list"), phrase("Look"), f"old records {day.year}")]


def clearing_asks(establishment: Establishment, day: date) -> list[Ask]:
    """A clearing that waits for the owner's word: to be confirmed, or due. Nothing happens by itself."""
    found = []
    for one in waiting(establishment):
        page = reverse("old:clearing", args=[one.pk])
        if is_due(one, day):
            text = phrase("Old records that were put away may be cleared now.")
            found.append(Ask("waiting", text, page, phrase("Look"), f"clearing {one.pk} due"))
        elif step_of(one) == "asked":
            text = phrase("{by} asked to clear old records.", by=one.by.name)
            found.append(Ask("waiting", text, page, phrase("Look"), f"clearing {one.pk} asked"))
    return found


def copy_asks(establishment: Establishment, day: date) -> list[Ask]:
    """The copy of last month for the drive in the office, when there was work by then and none was made."""
    month = Period.month(day.replace(day=1) - timedelta(days=1))
    begun = Job.objects.filter(establishment=establishment, on__lte=month.last).exists()
    if not begun or made_after(establishment, month) is not None:
        return []
    facts = {"month": month.first, "year": month.first.year}
    text = phrase("The monthly copy of {month:%b} {year} is not made.", **facts)
    cause = f"monthly copy {month.first:%Y-%m}"
    return [Ask("waiting", text, reverse("bundle"), phrase("Make it"), cause)]
