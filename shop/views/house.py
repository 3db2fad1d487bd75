"""Shop set-up: the shop's own rules, what each rests on, and their changes."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.core.days import said_day
from shop.core.house import SHEET
from shop.forms import BackupTrialForm, ReminderForm, RuleForm
from shop.http import SignedInRequest, now, written
from shop.models import BackupTrial
from shop.permissions import OWNER, open_to
from shop.queries import rule_sheet
from shop.services import change_rule, log_backup_trial, send_reminders_to


@open_to(OWNER)
def rules(request: SignedInRequest) -> HttpResponse:
    """The rules in force today; ``?rule=`` puts one of them in the form."""
    house, at = request.user.establishment, now()
    today = timezone.localdate(at)
    form = RuleForm(request.POST or None, initial={"from_day": today, "key": request.GET.get("rule", "")})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            rule = change_rule(house, **form.change(), today=today, at=at, by=request.user)
            messages.success(
                request, f"{SHEET[rule.key].name}: {rule.value} from {said_day(rule.from_day)} on."
            )
            return reverse("house:rules")

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/house/rules.html", {"form": form, "rules": rule_sheet(house, today)})


@open_to(OWNER)
def reminders(request: SignedInRequest) -> HttpResponse:
    """Where the weekly letter goes."""
    house = request.user.establishment
    form = ReminderForm(request.POST or None, initial={"reminders_to": house.reminders_to})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            send_reminders_to(form.cleaned_data["reminders_to"], house, at=now(), by=request.user)
            messages.success(request, _("Kept. What is due is also on Today, as ever."))
            return reverse("house:reminders")

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/house/reminders.html", {"form": form})


@open_to(OWNER)
def backups(request: SignedInRequest) -> HttpResponse:
    """Backups that were brought back, and how they did."""
    house, at = request.user.establishment, now()
    today = timezone.localdate(at)
    form = BackupTrialForm(request.POST or None, initial={"on": today})
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data

        def write() -> str:
            tried = {"on": said["on"], "whole": form.is_whole(), "note": said["note"]}
            log_backup_trial(house, **tried, today=today, at=at, by=request.user)
            messages.success(request, _("On file."))
            return reverse("house:backups")

        if answer := written(request, form, write):
            return answer
    tried = BackupTrial.objects.filter(establishment=house).select_related("by")[:24]
    return render(request, "shop/house/backups.html", {"form": form, "tried": tried})
