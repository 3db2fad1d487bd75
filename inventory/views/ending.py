"""What became of a container: disposed of, kept, on hold, lost; the rest is said where it happens."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.forms import EmptiesForm, EndedForm
from inventory.models import Container, Fate
from inventory.queries import containers, empties
from inventory.services import dispose_of, end_hold, keep_for_next, put_on_hold, say_lost
from inventory.services.ending import disposal_problems, keeping_problems, losing_problems, not_found_at
from inventory.services.holds import hold_end_problems, hold_of, hold_problems
from shop.core.findings import Finding
from shop.core.mass import Unit
from shop.core.roles import Role
from shop.http import SignedInRequest, now, say, written
from shop.models import Person
from shop.permissions import EVERYONE, open_to


@dataclass(frozen=True, slots=True)
class Option:
    """One way; with ``why_not`` it is not possible now, with ``href`` it is said on another page."""

    key: str
    title: str
    why_not: tuple[str, ...] = ()
    href: str = ""


@open_to(*EVERYONE)
def ended(request: SignedInRequest, code: str) -> HttpResponse:
    container, at = _container(request, code), now()
    today = timezone.localdate(at)
    options = _options(container, request.user, today)
    here = [(one.key, one.title) for one in options if not one.why_not]
    form = EndedForm(request.POST or None, choices=here)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            messages.success(request, _write(container, form, today, at, request.user))
            return reverse("containers:page", args=[code])

        if answer := written(request, form, write):
            return answer
    elsewhere = [*_heel(container, request.user), *_open_to(request.user, _elsewhere(container))]
    shown: dict[str, Any] = {
        "container": container,
        "form": form if here else None,
        "hold": hold_of(container),
        "elsewhere": [one for one in elsewhere if one.href],
        "not_now": [one for one in (*options, *elsewhere) if one.why_not],
        "times_missed": not_found_at(container),
    }
    return render(request, "inventory/containers/ended.html", shown)


def _write(container: Container, form: EndedForm, today: date, at: Any, by: Person) -> str:
    what, why, code = form.cleaned_data["what"], form.cleaned_data["why"], {"code": container.code}
    if what == "disposed":
        dispose_of([container], form.disposal(), on=today, at=at, by=by)
        return _("%(code)s is marked empty and disposed of.") % code
    if what == "kept":
        keep_for_next(container, at=at, by=by)
        return _("What is left in %(code)s is kept for the next job.") % code
    if what == "hold":
        put_on_hold(container, why=why, at=at, by=by)
        return _("%(code)s is on hold. No job takes it.") % code
    if what == "hold end":
        end_hold(container, why=why, at=at, by=by)
        return _("%(code)s may be used again.") % code
    say_lost(container, why=why, on=today, at=at, by=by)
    return _("%(code)s is lost. What it held is booked as a difference.") % code


def _options(container: Container, by: Person, today: date) -> list[Option]:
    def one(key: str, title: str, findings: list[Finding]) -> Option:
        return Option(key, title, tuple(say(finding.message) for finding in findings))

    options = [
        one("kept", _("Kept for the next job"), keeping_problems(container)),
        one("disposed", _("Emptied and disposed of, marked empty"), disposal_problems(container, today)),
        one("lost", _("Lost"), losing_problems(container, by)),
    ]
    if hold_of(container) is None:
        return [*options, one("hold", _("On hold: nobody is to use it"), hold_problems(container))]
    return [*options, one("hold end", _("Off hold: it may be used again"), hold_end_problems(container, by))]


def _heel(container: Container, by: Person) -> list[Option]:
    """What is left in an open can, or one that was refused, is recovered and weighed, by who may recover."""
    opened = container.kind == "can" and container.tickets.exists()
    here = _is_refused_here(container) if hasattr(container, "fate") else opened
    if not here or container.waits_for or by.role == Role.FRONT_OFFICE:
        return []
    return [
        Option(
            "heel", _("Recovered into a cylinder and weighed"), href=reverse("heel", args=[container.code])
        )
    ]


def _open_to(by: Person, options: list[Option]) -> list[Option]:
    """No link leads where a role does not get in; then it says whose it is."""
    office, owner = _("The front office or the owner does this."), _("The owner does this.")
    said = []
    for one in options:
        if one.href and one.key == "undone" and not by.is_owner:
            one = replace(one, href="", why_not=(owner,))
        elif one.href and by.role == Role.TECHNICIAN:
            one = replace(one, href="", why_not=(office,))
        said.append(one)
    return said


def _elsewhere(container: Container) -> list[Option]:
    """The ways that have pages of their own, with papers and money."""
    damaged, back, undone = _("Refused, damaged"), _("Returned to the supplier"), _("Delivery undone")
    shipped = _("Shipped to a facility")
    if hasattr(container, "fate"):
        if not _is_refused_here(container):
            return []
        number = container.delivered.line.delivery.number
        return [Option("back", back, href=reverse("deliveries:back", args=[number]))]
    if container.kind == "cylinder":
        return [Option("shipped", shipped, href=reverse("shipments:new"))]
    ship = Option("shipped", shipped, (_("Cans are not shipped. A heel goes into a cylinder first."),))
    if not hasattr(container, "delivered"):
        why = (_("It did not come with a delivery, so no supplier takes it back."),)
        return [Option("damaged", damaged, why), Option("back", back, why), ship]
    if container.tickets.exists():
        why = (_("It was opened here."),)
        return [
            Option("damaged", damaged, why),
            Option("back", back, why),
            Option("undone", undone, why),
            ship,
        ]
    number = container.delivered.line.delivery.number
    return [
        Option("damaged", damaged, href=reverse("deliveries:damage", args=[number, container.code])),
        Option("back", back, href=reverse("deliveries:back", args=[number])),
        Option("undone", undone, href=reverse("deliveries:undo", args=[number])),
        ship,
    ]


def _is_refused_here(container: Container) -> bool:
    return container.fate.what == Fate.What.REFUSED and not hasattr(container, "given_back")


def _container(request: SignedInRequest, code: str) -> Container:
    mine = containers(request.user.establishment).select_related(
        "can__type",
        "cylinder",
        "fate",
        "disposal",
        "given_back",
        "delivered__line__delivery",
        "establishment",
    )
    return get_object_or_404(mine, pk=code)


@open_to(*EVERYONE)
def empty_cans(request: SignedInRequest) -> HttpResponse:
    """Ten empties on a Friday: tick them, say how they go."""
    at = now()
    today = timezone.localdate(at)
    ready, not_yet = [], []
    for can in empties(request.user.establishment):
        problems = disposal_problems(can, today)
        if problems:
            not_yet.append((can, say(problems[0].message)))
        else:
            ready.append((can, _words(can)))
    form = EmptiesForm(request.POST or None, cans=ready)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            made = dispose_of(form.chosen(), form.disposal(), on=today, at=at, by=request.user)
            messages.success(
                request, _("%(cans)s marked empty and disposed of.") % {"cans": _cans(len(made))}
            )
            return reverse("containers:empties")

        if answer := written(request, form, write):
            return answer
    shown = {"form": form, "ready": ready, "not_yet": not_yet}
    return render(request, "inventory/containers/empties.html", shown)


def _cans(number: int) -> str:
    return _("1 can is") if number == 1 else _("%(cans)s cans are") % {"cans": number}


def _words(can: Container) -> str:
    if hasattr(can, "fate"):
        return _("%(code)s, heel recovered") % {"code": can.code}
    left = can.book.rounded(Unit.G, 0)
    return _("%(code)s, last %(last)s, %(left)s g by the book") % {
        "code": can.code,
        "last": f"{can.last_text} {can.last_unit}",
        "left": left,
    }
