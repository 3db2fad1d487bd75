"""What every address of the API does: who may come in, one answer for each one-time key, lists in pages."""

from __future__ import annotations

import hashlib
import json
import re
import zoneinfo
from abc import ABC, abstractmethod
from collections.abc import Callable, Collection
from http import HTTPStatus
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError as NoKey
from django.core.validators import ProhibitNullCharactersValidator
from django.db import IntegrityError
from django.db.models import Model, QuerySet
from django.utils import timezone, translation
from django.utils.decorators import method_decorator
from django.utils.translation import gettext as _
from django.views.decorators.http import conditional_page
from rest_framework.exceptions import NotFound, ParseError, ValidationError
from rest_framework.generics import GenericAPIView
from rest_framework.pagination import CursorPagination
from rest_framework.parsers import JSONParser
from rest_framework.permissions import BasePermission
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.serializers import Serializer
from rest_framework.views import APIView

from shop.api.problems import Problem
from shop.core.roles import ROLES, Role
from shop.core.scopes import Scope
from shop.http import tried_again
from shop.models import Establishment, Person, ProgramAnswer, ProgramKey

ONCE = re.compile(r"[!-~]{8,64}")  # visible ASCII
Opening = dict[str, tuple[Collection[Role], Scope]]


def reads(roles: Collection[Role], scope: Scope) -> Opening:
    """GET opens to these roles, for keys with this scope."""
    return {"GET": (frozenset(roles), scope)}


def writes(roles: Collection[Role], scope: Scope) -> Opening:
    """POST opens to these roles, for keys with this scope."""
    return {"POST": (frozenset(roles), scope)}


class StrictJson(JSONParser):
    """JSON that can be kept: no endless nesting, no half of a character."""

    def parse(self, stream: Any, media_type: Any = None, parser_context: Any = None) -> Any:
        try:
            read = super().parse(stream, media_type, parser_context)
            json.dumps(read, ensure_ascii=False).encode()
        except (RecursionError, UnicodeEncodeError) as strange:
            raise ParseError(_("The request is no JSON that can be kept.")) from strange
        return read


class NewestFirst(CursorPagination):
    """Pages of a list, each with the address of the next; rows that come meanwhile do not shift it."""

    ordering = "-pk"
    page_size = 50
    page_size_query_param = "size"
    max_page_size = 200
    key: Any  # what a cursor says a place of: the field of the list's primary key

    def get_paginated_response_schema(self, schema: dict[str, Any]) -> dict[str, Any]:
        page = {"type": ["string", "null"], "format": "uri"}
        parts = {"next": page, "previous": page, "results": schema}
        return {"type": "object", "required": list(parts), "properties": parts}

    def paginate_queryset(self, queryset: Any, request: Request, view: Any = None) -> Any:
        self.key = queryset.model._meta.pk
        return super().paginate_queryset(queryset, request, view)

    def decode_cursor(self, request: Request) -> Any:
        try:
            cursor = super().decode_cursor(request)
            if cursor is not None and cursor.position is not None:
                self.key.to_python(cursor.position)
                ProhibitNullCharactersValidator()(cursor.position)
            return cursor
        except (NotFound, NoKey) as unread:
            raise ValidationError(
                {"cursor": [_("Take the cursor from next or previous as it stands.")]}
            ) from unread


class Opens(BasePermission):
    """A view names for each method the roles that may come in, and the scope that a program's key must have."""

    def has_permission(self, request: Request, view: APIView) -> bool:
        opens: Opening = getattr(view, "opens", {})
        roles, scope = opens.get("GET" if request.method == "HEAD" else str(request.method), (ROLES, None))
        if not request.user.is_authenticated or request.user.role not in roles:
            return False
        return not isinstance(request.auth, ProgramKey) or scope is None or scope in request.auth.opens


@method_decorator(conditional_page, name="dispatch")
class Door(GenericAPIView[Any], ABC):
    """One address. ``opens`` names for each method who may come in; a body is read by the ``Serializer`` in ``takes``,
    an answer told by the one in ``gives``."""

    opens: Opening = {}
    roles: frozenset[Role] = frozenset()
    takes: type[Serializer[Any]] | None = None
    gives: type[Serializer[Any]]
    model: type[Model]
    media = "application/json"
    example: Any = None  # a body that POST takes: stands in the schema, and a test sends it
    permission_classes = (Opens,)
    parser_classes = (StrictJson,)

    def __init_subclass__(cls, **rest: Any) -> None:
        super().__init_subclass__(**rest)
        cls.roles = frozenset(role for roles, _scope in cls.opens.values() for role in roles)

    @property
    def house(self) -> Establishment:
        return self.person.establishment

    @property
    def person(self) -> Person:
        assert isinstance(self.request.user, Person)  # noqa: S101 - nobody else passes the permission
        return self.request.user

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        if int(request.META.get("CONTENT_LENGTH") or 0) > settings.DATA_UPLOAD_MAX_MEMORY_SIZE:
            sentence = _("The request is larger than anything that is asked here.")
            raise Problem(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "too_large", sentence)
        super().initial(request, *args, **kwargs)
        timezone.activate(zoneinfo.ZoneInfo(self.house.time_zone))
        translation.activate(self.person.language)

    def finalize_response(self, request: Request, response: Any, *args: Any, **kwargs: Any) -> Any:
        final = super().finalize_response(request, response, *args, **kwargs)
        final.headers["Cache-Control"] = "private, no-cache"
        return final

    def get_queryset(self) -> QuerySet[Any]:
        """For the schema only: what a filter's field is called in this model. Views give ``rows``."""
        return self.model._default_manager.none()

    def get_serializer_class(self) -> type[Serializer[Any]]:
        return self.gives

    def told(self, thing: Any) -> Any:
        """A thing as its answer's data."""
        return self.gives(thing, context=self.get_serializer_context()).data

    def said(self) -> Any:
        """The body as validated; raises ``ValidationError``."""
        assert self.takes is not None  # noqa: S101 - only a method with a body asks
        body = self.takes(data=self.request.data, context=self.get_serializer_context())
        body.is_valid(raise_exception=True)
        return body.validated_data

    def once(self, write: Callable[[], Any], *, status: int = HTTPStatus.CREATED) -> Response:
        """Run a write in a transaction under the request's one-time key, and answer with what it wrote.

        The same request under the same key gets the first answer; another one is refused. ``Refused`` passes through
        with nothing written, so that the request can be put right and sent again under its key.
        """
        once, asked = self._one_time_key(), self._fingerprint()

        def keep() -> bytes:
            kept = ProgramAnswer.objects.create(by=self.person, once=once, asked_sha256=asked, status=status)
            body = JSONRenderer().render(self.told(write()))
            ProgramAnswer.objects.filter(pk=kept.pk).update(body=body.decode())
            return body

        try:
            return Response(json.loads(tried_again(keep)), status=status)
        except IntegrityError:
            first = ProgramAnswer.objects.filter(by=self.person, once=once).first()
            if first is None:
                raise
            return _again(first, asked)

    def _one_time_key(self) -> str:
        once = self.request.headers.get("Idempotency-Key", "")
        if not ONCE.fullmatch(once):
            sentence = _(
                "Send an Idempotency-Key of 8 to 64 visible characters, a new one for each thing that is written."
            )
            raise Problem(HTTPStatus.BAD_REQUEST, "key_missing", sentence)
        return once

    def _fingerprint(self) -> str:
        asked = {"at": self.request.get_full_path(), "body": self.request.data}
        return hashlib.sha256(json.dumps(asked, sort_keys=True).encode()).hexdigest()


def _again(first: ProgramAnswer, asked: str) -> Response:
    if first.asked_sha256 != asked:
        sentence = _("This Idempotency-Key was used for another request. A new request takes a new key.")
        raise Problem(HTTPStatus.CONFLICT, "key_used", sentence)
    headers = {"First-Answered": first.sent_at.isoformat(timespec="seconds")}
    return Response(json.loads(first.body), status=first.status, headers=headers)


class Lists(Door):
    """GET gives the rows in pages, newest first, narrowed by ``filterset_class``; a filter nobody knows is refused.
    ``row`` tells one of them where that is less than ``gives``."""

    pagination_class = NewestFirst
    row: type[Serializer[Any]] | None = None

    @abstractmethod
    def rows(self, *given: Any, **named: Any) -> QuerySet[Any]:
        """All rows of this list that the shop may see."""

    def on_page(self, rows: list[Any]) -> list[Any]:
        """What is told of the rows of one page: the rows, with what no query adds to them."""
        return rows

    def get(self, request: Request, **named: Any) -> Response:
        rows = self.rows(**named)
        if self._named_filters():  # reading none of them takes as long as reading some
            rows = self.filter_queryset(rows)
        page = self.on_page(self.paginate_queryset(rows) or [])
        told = (self.row or self.gives)(page, many=True, context=self.get_serializer_context())
        return self.get_paginated_response(told.data)

    def _named_filters(self) -> set[str]:
        """The filters that the request names; raises ``ValidationError`` for one that is none."""
        filters = getattr(self, "filterset_class", None)
        known, paging = set(filters.base_filters if filters else ()), {"cursor", "size"}
        named = set(self.request.query_params) - paging
        if unknown := sorted(named - known):
            sentence = _("There is no such filter here. There are: %s.") % ", ".join(sorted(known | paging))
            raise ValidationError({name[:40]: [sentence] for name in unknown[:5]})
        return named


class Shows(Door):
    """GET gives one thing: ``thing`` finds it or raises ``Http404``."""

    @abstractmethod
    def thing(self, *given: Any, **named: Any) -> Any:
        """What is told by ``gives``."""

    def get(self, request: Request, **named: Any) -> Response:
        return Response(self.told(self.thing(**named)))


class Writes(Door):
    """POST writes once: ``write`` gets what was said and gives back what ``gives`` tells.

    The body is read behind the one-time key: sent again it may name what its first sending has ended.
    """

    @abstractmethod
    def write(self, *given: Any, **named: Any) -> Any:
        """Write by a service what was ``said``; gives back what ``gives`` tells."""

    def post(self, request: Request, **named: Any) -> Response:
        return self.once(lambda: self.write(self.said(), **named))
