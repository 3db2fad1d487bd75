"""Rules in force: who asks for what and why, and the packs that the shop works under."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from compliance.core.packs.telling import details
from compliance.forms.packs import PackChoiceForm, RulesDayForm, asked_forms
from compliance.models import PackChoice
from compliance.queries.packs import (
    choices_to_come,
    job_rules,
    kept_for,
    pack_answers,
    rule_called,
    rules_asked,
)
from compliance.services import AnswerIn, answer_pack, choose_packs
from compliance.views.stages import open_sheet
from shop.http import SignedInRequest, now, written
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER, open_to
from shop.queries import rule_sheet


@open_to(*EVERYONE)
def rules(request: SignedInRequest) -> HttpResponse:
    """What federal, state and local rules and the shop's own ask of a job of today, or of ``?day=``."""
    house, today = request.user.establishment, timezone.localdate(now())
    form = RulesDayForm(request.GET if "day" in request.GET else None, initial={"day": today})
    day = form.cleaned_data["day"] if form.is_valid() else today
    context = {
        "form": form,
        "rules": rules_asked(house, day),
        "day": day,
        "to_come": choices_to_come(house, day),
        "kept": kept_for(house, day),
        "house_rules": rule_sheet(house, day),
    }
    return render(request, "compliance/packs/rules.html", context)


@open_to(*EVERYONE)
def rule(request: SignedInRequest, code: str) -> HttpResponse:
    """One rule of a pack: who asks, where it is written, and where it was read."""
    today = timezone.localdate(now())
    layer = rule_called(code, today)
    if layer is None:
        raise Http404("no pack on file has that rule")
    held = rules_asked(request.user.establishment, today).asked.layers
    in_force = any(one.rule.code == code for one in held)
    shown = {"layer": layer, "details": list(details(layer.rule)), "in_force": in_force, "today": today}
    return render(request, "compliance/packs/rule.html", shown)


@open_to(OWNER)
def choose(request: SignedInRequest) -> HttpResponse:
    """The owner's choice of state and local packs, from a day on."""
    house, at = request.user.establishment, now()
    today = timezone.localdate(at)
    chosen = PackChoice.objects.on(house, today)
    begin = {"from_day": today} | ({"state": chosen.state, "local": chosen.local_ids} if chosen else {})
    form = PackChoiceForm(request.POST or None, initial=begin, today=today)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            choose_packs(house, form.choice(), today=today, at=at, by=request.user)
            messages.success(
                request, "The choice is kept. Closed jobs keep the rules they were closed under."
            )
            return reverse("packs:rules")

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/packs/choose.html", {"form": form})


@open_to(*EVERYONE)
def asked(request: SignedInRequest, number: str) -> HttpResponse:
    """What the packs ask to be looked at or said on this job; the front office says things to customers, no more."""
    sheet = open_sheet(request, number)
    office = request.user.role == FRONT_OFFICE
    layers = job_rules(sheet).asked.answered(by_office=office)
    forms = asked_forms(layers, pack_answers(sheet), request.POST if request.method == "POST" else None)
    for form in forms:
        if not (form.is_bound and form.is_valid()):
            continue
        code, answers = form.layer.rule.code, form.answers()

        def write(code: str = code, answers: dict[str, AnswerIn] = answers) -> str:
            answer_pack(sheet.job, code, answers, at=now(), by=request.user)
            messages.success(request, _("The answers are kept."))
            return reverse("jobs:asked", args=[number])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/jobs/asked.html", {"forms": forms, "job": sheet.job})
