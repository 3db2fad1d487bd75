"""Shop set-up: the shop's own rules, what each rests on, and their changes."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from shop.core.house import SHEET
from shop.forms import RuleForm
from shop.http import SignedInRequest, now, written
from shop.permissions import OWNER, open_to
from shop.queries import rule_sheet
from shop.services import change_rule


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
                request, f"{SHEET[rule.key].name}: {rule.value} from {rule.from_day:%b %d, %Y} on."
            )
            return reverse("house:rules")

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/house/rules.html", {"form": form, "rules": rule_sheet(house, today)})
