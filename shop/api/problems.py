"""Every answer that says no: a problem by RFC 9457, with the findings that a page would show beside its fields."""

from __future__ import annotations

from http import HTTPStatus
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext as _
from django.views.defaults import page_not_found, server_error
from rest_framework import exceptions, serializers
from rest_framework.response import Response
from rest_framework.views import set_rollback

from shop.core.findings import Finding, Refused
from shop.http import say

MEDIA = "application/problem+json"


class FindingOut(serializers.Serializer[Finding]):
    """One thing that is wrong: a code that stays, the field of the request, a sentence for a person."""

    code = serializers.CharField()
    field = serializers.CharField(
        help_text="Path into the request, such as lines.0.sound; empty for the whole."
    )
    sentence = serializers.CharField()
    weight = serializers.ChoiceField(
        ["blocks", "warns", "note"], help_text="A warning passes when its code is sent along in seen."
    )
    basis = serializers.CharField(help_text="The paragraph, standard or shop rule it rests on, or empty.")


class ProblemOut(serializers.Serializer[dict[str, Any]]):
    """A problem as RFC 9457 has it; type is about:blank, so that title is the status in words and code tells more."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField()
    code = serializers.CharField()
    findings = FindingOut(many=True)


class Problem(exceptions.APIException):
    """An answer of our own that says no."""

    def __init__(self, status: HTTPStatus, code: str, sentence: str) -> None:
        self.status_code = status
        super().__init__(sentence, code)


def problem(
    status: int, code: str, detail: str, findings: list[dict[str, str]] | None = None
) -> dict[str, Any]:
    title = HTTPStatus(status).phrase
    about = {"type": "about:blank", "title": title, "status": int(status), "detail": detail, "code": code}
    return about | {"findings": findings or []}


def answer(raised: Exception, context: dict[str, Any]) -> Response | None:
    """What Django REST framework asks when a view raised; None for what nobody foresaw, which is a 500."""
    set_rollback()
    if isinstance(raised, Refused):
        found = [
            _line(one.code, one.field, say(one.message), one.weight, one.basis) for one in raised.findings
        ]
        return _said(HTTPStatus.UNPROCESSABLE_ENTITY, "refused", found[0]["sentence"], found)
    if isinstance(raised, Http404):
        raised = exceptions.NotFound()
    if isinstance(raised, PermissionDenied):
        raised = exceptions.PermissionDenied()
    if isinstance(raised, exceptions.ValidationError):
        found = list(_lines(raised.get_full_details()))
        return _said(HTTPStatus.BAD_REQUEST, "invalid", _("The request holds what cannot be meant."), found)
    if isinstance(raised, exceptions.APIException):
        code = str(raised.get_codes())
        said = _said(raised.status_code, code, str(raised.detail))
        if header := getattr(raised, "auth_header", None):
            said["WWW-Authenticate"] = header
        if wait := getattr(raised, "wait", None):
            said["Retry-After"] = str(wait)
        return said
    return None


def _said(status: int, code: str, detail: str, findings: list[dict[str, str]] | None = None) -> Response:
    return Response(problem(status, code, detail, findings), status=status, content_type=MEDIA)


def _line(code: str, field: str, sentence: str, weight: str = "blocks", basis: str = "") -> dict[str, str]:
    return {"code": code, "field": field, "sentence": sentence, "weight": str(weight), "basis": basis}


def _lines(details: Any, path: str = "") -> Any:
    """The nested errors of a serializer, flat: one line for each, with the path to its field."""
    if isinstance(details, dict) and set(details) == {"message", "code"}:
        yield _line(str(details["code"]), path, str(details["message"]))
    elif isinstance(details, dict):
        for name, inner in details.items():
            own = "" if name == "non_field_errors" else str(name)
            yield from _lines(inner, ".".join(part for part in (path, own) if part))
    else:
        flat = all(isinstance(one, dict) and set(one) == {"message", "code"} for one in details)
        for index, inner in enumerate(details):
            yield from _lines(inner, path if flat else f"{path}.{index}" if path else str(index))


def missing(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Nothing is at this address: a problem for a program, a page for a person."""
    if not request.path.startswith("/api/"):
        return page_not_found(request, exception)
    about = problem(HTTPStatus.NOT_FOUND, "not_found", _("Nothing is at this address."))
    return JsonResponse(about, status=HTTPStatus.NOT_FOUND, content_type=MEDIA)


def broken(request: HttpRequest) -> HttpResponse:
    """What nobody foresaw: a problem for a program, a page for a person, and of what broke not a word."""
    if not request.path.startswith("/api/"):
        return server_error(request)
    sentence = _("Something broke. What was sent was kept whole or not at all; look before it is sent again.")
    about = problem(HTTPStatus.INTERNAL_SERVER_ERROR, "broke", sentence)
    return JsonResponse(about, status=HTTPStatus.INTERNAL_SERVER_ERROR, content_type=MEDIA)
