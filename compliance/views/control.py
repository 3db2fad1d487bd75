"""Control charts of scales, lots and technicians, and looks into their alarms."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _

from compliance.core.control import Chart, H
from compliance.forms.control import LookForm
from compliance.queries.control_charts import chart_of, charts, looks
from compliance.services import record_look
from shop.http import SignedInRequest, now, written
from shop.permissions import OWNER, TECHNICIAN, open_to

WIDE, HIGH = 320, 96  # of a drawing, in its own units
SHOWN = 60  # values in one drawing


@dataclass(frozen=True, slots=True)
class Drawing:
    """A chart with its two lines as points of a drawing: up above the middle, down below it."""

    chart: Chart
    upper: str
    lower: str
    over: float  # where the limits are drawn
    under: float

    @property
    def what(self) -> str:
        words = {
            "shelf": _("weight kept on the shelf"),
            "can": _("sealed to empty against the label"),
            "check": _("checks with the known weight"),
        }
        return words[self.chart.stream.what]

    @property
    def whose(self) -> str:
        words = {"scale": _("Scale"), "technician": _("Weighings of"), "lot": _("Lot")}
        return f"{words[self.chart.stream.kind]} {self.chart.stream.shown}"


def _drawing(made: Chart) -> Drawing:
    points = made.points[-SHOWN:]
    top = max(H * 1.3, *(max(point.upper, point.lower) for point in points))
    step, middle = WIDE / max(len(points), 1), HIGH / 2

    def at(place: int, value: float) -> str:
        return f"{(place + 0.5) * step:.1f},{middle - value / top * middle:.1f}"

    return Drawing(
        made,
        " ".join(at(place, point.upper) for place, point in enumerate(points)),
        " ".join(at(place, -point.lower) for place, point in enumerate(points)),
        round(middle - H / top * middle, 1),
        round(middle + H / top * middle, 1),
    )


@open_to(TECHNICIAN, OWNER)
def listing(request: SignedInRequest) -> HttpResponse:
    house = request.user.establishment
    made = [_drawing(one) for one in charts(house, request.user)]
    shown = {
        "asking": [one for one in made if one.chart.alarm],
        "quiet": [one for one in made if not one.chart.alarm],
        "looks": looks(house)[:12] if request.user.is_owner else (),
    }
    return render(request, "compliance/control/list.html", shown)


@open_to(OWNER)
def look(request: SignedInRequest) -> HttpResponse:
    """Say what was found; the chart named by ``?kind=&what=&key=`` starts anew."""
    asked = [request.GET.get(name, "").replace("\0", "")[:40] for name in ("kind", "key", "what")]
    house = request.user.establishment
    made = chart_of(house, request.user, (asked[0], asked[1], asked[2]))
    if made is None or made.alarm is None:
        raise Http404("no alarm on such a chart")
    form = LookForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            record_look(made, house, found=form.cleaned_data["found"], at=now(), by=request.user)
            messages.success(request, _("The look is signed. This chart starts anew."))
            return reverse("control:list")

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/control/look.html", {"one": _drawing(made), "form": form})
