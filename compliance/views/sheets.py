"""Take it out: every list as CSV and XLSX, the whole shop, and the bookkeeper's sheet."""

from __future__ import annotations

import tempfile

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import FileResponse, Http404, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _

from compliance.sheets import BY_NAME, SHEETS
from compliance.sheets.recall import recall_sheet
from compliance.sheets.whole import MANIFEST, whole_shop, write_zip
from compliance.views.recall import lot_asked
from shop.http import SignedInRequest, now, sheet_answer
from shop.permissions import EVERYONE, OWNER, by_password, open_to
from shop.services import note_taken_out


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    """The sheets that this person may take, with what their columns hold."""
    house = request.user.establishment
    mine = [(one, one.make(house)) for one in SHEETS if request.user.role in one.roles]
    return render(request, "compliance/sheets/list.html", {"sheets": mine})


@open_to(*EVERYONE)
def download(request: SignedInRequest, name: str, ending: str) -> HttpResponseBase:
    """One list, for whoever may open the list."""
    listed = BY_NAME.get(name)
    if listed is None:
        raise Http404("no such sheet")
    if request.user.role not in listed.roles:
        raise PermissionDenied
    return sheet_answer(listed.make(request.user.establishment), ending)


@open_to(*EVERYONE)
def recall(request: SignedInRequest, ending: str) -> HttpResponseBase:
    """The vehicles and cans of one lot, named by ``?lot=``."""
    return sheet_answer(recall_sheet(request.user.establishment, lot_asked(request)), ending)


@open_to(OWNER)
def whole(request: SignedInRequest) -> HttpResponseBase:
    """The whole shop as one ZIP, for an owner who signed on with the password; who took it is written down."""
    if not by_password(request):
        messages.warning(request, _("Sign on with your password first: this holds everything."))
        return redirect("sheets:list")
    if request.method != "POST":
        return render(request, "compliance/sheets/whole.html", {"manifest": MANIFEST})
    house, at = request.user.establishment, now()
    file = tempfile.TemporaryFile()  # noqa: SIM115 - the answer closes it
    write_zip(whole_shop(house, at), file)
    note_taken_out("the whole shop", at=at, by=request.user)
    file.seek(0)
    name = f"{slugify(house.name) or 'shop'}-{timezone.localdate(at)}.zip"
    return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")
