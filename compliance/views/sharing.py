"""A certificate by link: made at the counter, opened by the customer, taken back by the shop."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import get_language, override
from django.utils.translation import gettext as _

from compliance.forms import LinkForm
from compliance.models import CustomerLink, Document
from compliance.queries import link_with, links_of, newest_certificate, paper_state
from compliance.queries.papers import certificate_of
from compliance.services import end_link, give_link
from compliance.services.copies import linked_copy, linked_pdf
from shop.http import SignedInRequest, now, private, written
from shop.pdf.qr import qr_svg_box, qr_svg_path
from shop.permissions import EVERYONE, open_to, public

LANGUAGES = ("en", "es")


@open_to(*EVERYONE)
def links(request: SignedInRequest, number: str, version: int) -> HttpResponse:
    """Whose car it is, the links that were given, and a new one."""
    rows = Document.objects.filter(establishment=request.user.establishment, certificate__isnull=False)
    rows = rows.select_related("certificate__closing__job")
    document = get_object_or_404(rows, number=number, version=version)
    car = certificate_of(document).car
    form = LinkForm(request.POST or None, initial={"given_to": car.customer})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            give_link(document, **form.cleaned_data, at=now(), by=request.user)
            messages.success(request, _("The link opens this job's certificate, and nothing else."))
            return reverse("papers:links", args=[number, version]) + "#links"

        if answer := written(request, form, write):
            return answer
    given = [_given(link) for link in links_of(document.certificate.closing)]
    shown = {"form": form, "document": document, "car": car, "given": given}
    return render(request, "compliance/papers/links.html", shown)


@open_to(*EVERYONE)
def end(request: SignedInRequest, pk: int) -> HttpResponse:
    """Take a link back."""
    rows = CustomerLink.objects.filter(closing__job__establishment=request.user.establishment)
    link = get_object_or_404(rows, pk=pk)
    paper = newest_certificate(link.closing)
    page = reverse("papers:links", args=[paper.number, paper.version]) + "#links"
    if request.method != "POST":
        return redirect(page)

    def write() -> str:
        end_link(link, at=now(), by=request.user)
        messages.success(request, _("The link opens nothing any more."))
        return page

    return written(request, LinkForm({}), write) or redirect(page)


@public
def opened(request: HttpRequest, token: str) -> HttpResponse:
    """What a customer sees: the newest certificate of the one job, in words first."""
    link, language = link_with(token), _language(request)
    with override(language):
        if link is None:
            return private(render(request, "compliance/papers/not_opened.html", status=404))
        document = newest_certificate(link.closing)
        withdrawn = paper_state(document) == "withdrawn"
        shown = {
            "establishment": link.closing.job.establishment,
            "document": document,
            "paper": None if withdrawn else linked_copy(document, language),
            "token": token,
            "language": language,
        }
        return private(render(request, "compliance/papers/opened.html", shown))


@public
def opened_pdf(request: HttpRequest, token: str) -> HttpResponse:
    """The same to print."""
    link, language = link_with(token), _language(request)
    if link is None:
        raise Http404("no link, or one that was taken back")
    document = newest_certificate(link.closing)
    if paper_state(document) == "withdrawn":
        raise Http404("a withdrawn certificate is not given out")
    name = f"{document.number}-v{document.version}-{language}.pdf"
    headers = {"Content-Disposition": f'inline; filename="{name}"', "X-Content-Type-Options": "nosniff"}
    pdf = linked_pdf(document, language)
    return private(HttpResponse(pdf, content_type="application/pdf", headers=headers))


def _given(link: CustomerLink) -> dict[str, Any]:
    address = settings.SITE_URL + reverse("customer", args=[link.token])
    return {"link": link, "address": address, "box": qr_svg_box(address), "path": qr_svg_path(address)}


def _language(request: HttpRequest) -> str:
    asked = request.GET.get("language") or (get_language() or "")
    return asked if asked in LANGUAGES else "en"
