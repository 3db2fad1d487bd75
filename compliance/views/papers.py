"""Papers: the list, the page that says the same as the PDF, new versions, and the public check page."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse

from compliance.forms import WhyForm
from compliance.models import Document
from compliance.queries import documents, paper_state
from compliance.queries.cleared import clearing_of_paper, job_of_paper
from compliance.queries.papers import as_paper
from compliance.queries.photos import photos_beside
from compliance.services import reissue_usage_report, withdraw_document
from compliance.services.copies import customers_copy, customers_pdf
from shop.http import SignedInRequest, now, written
from shop.permissions import EVERYONE, OWNER, open_to, public


@open_to(*EVERYONE)
def certificates(request: SignedInRequest) -> HttpResponse:
    rows = documents(request.user.establishment, Document.Kind.CERTIFICATE)
    pages = Paginator(rows, 50).get_page(request.GET.get("page"))
    return render(request, "compliance/papers/list.html", {"pages": pages})


@open_to(*EVERYONE)
def page(request: SignedInRequest, number: str, version: int) -> HttpResponse:
    document, spanish = _document(request, number, version), _in_spanish(request)
    if (clearing := clearing_of_paper(document)) is not None:
        shown = {"document": document, "clearing": clearing, "job": job_of_paper(document)}
        return render(request, "compliance/papers/cleared.html", shown)
    context = {
        "document": document,
        "paper": customers_copy(document) if spanish else as_paper(document),
        "spanish": spanish,
        "state": paper_state(document),
        "photos": photos_beside(document),
    }
    return render(request, "compliance/papers/page.html", context)


@open_to(*EVERYONE)
def pdf(request: SignedInRequest, number: str, version: int) -> HttpResponse:
    document, spanish = _document(request, number, version), _in_spanish(request)
    if clearing_of_paper(document) is not None:
        return redirect("papers:page", number, version)
    spanish = spanish and document.kind == Document.Kind.CERTIFICATE
    name = f"{number}-v{version}{'-es' if spanish else ''}.pdf"
    return HttpResponse(
        customers_pdf(document) if spanish else bytes(document.pdf),
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"', "X-Content-Type-Options": "nosniff"},
    )


@open_to(OWNER)
def reissue(request: SignedInRequest, number: str, version: int) -> HttpResponse:
    document = _document(request, number, version)
    if document.kind == Document.Kind.CERTIFICATE:
        return redirect("corrections:new", number=document.certificate.closing.job.number)
    if document.kind != Document.Kind.USAGE_REPORT:
        raise Http404(
            "a receipt makes the next shipment record, a signer the next statement; a case file or a binder has none"
        )
    form = WhyForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            new = reissue_usage_report(document, why=form.reason(), at=now(), by=request.user)
            return reverse("papers:page", args=[new.number, new.version])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/papers/reissue.html", {"form": form, "document": document})


@open_to(OWNER)
def withdraw(request: SignedInRequest, number: str, version: int) -> HttpResponse:
    document = _document(request, number, version)
    form = WhyForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            withdraw_document(document, why=form.reason(), at=now(), by=request.user)
            return reverse("papers:page", args=[number, version])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/papers/withdraw.html", {"form": form, "document": document})


@public
def check(request: SignedInRequest, number: str, version: int) -> HttpResponse:
    rows = Document.objects.defer("pdf", "facts").select_related("replaced_by", "withdrawal", "establishment")
    document = rows.filter(number=number, version=version).first()
    state = paper_state(document) if document is not None else "unknown"
    clearing = clearing_of_paper(document) if document is not None else None
    context = {
        "number": number,
        "version": version,
        "document": document,
        "state": state,
        "clearing": clearing,
    }
    return render(
        request, "compliance/papers/check.html", context, status=200 if document is not None else 404
    )


def _in_spanish(request: SignedInRequest) -> bool:
    return request.GET.get("language") == "es"


def _document(request: SignedInRequest, number: str, version: int) -> Document:
    rows = Document.objects.filter(establishment=request.user.establishment).select_related(
        "replaced_by",
        "replaces",
        "withdrawal",
        "by",
        "usage_report",
        "shipment_record__shipment",
        "certificate__closing__job",
        "case_file__job",
    )
    return get_object_or_404(rows, number=number, version=version)
