"""The API in OpenAPI 3.1, read out of the views that answer."""

from __future__ import annotations

from functools import cache
from http import HTTPStatus
from threading import Lock
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import translation
from django.views.decorators.http import conditional_page, require_safe
from drf_spectacular.extensions import OpenApiAuthenticationExtension
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.openapi import AutoSchema
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, OpenApiResponse

from shop.api.base import Door, Lists
from shop.api.problems import MEDIA, ProblemOut
from shop.permissions import public

ANY = (
    HTTPStatus.UNAUTHORIZED,
    HTTPStatus.FORBIDDEN,
    HTTPStatus.NOT_FOUND,
    HTTPStatus.NOT_ACCEPTABLE,
    HTTPStatus.TOO_MANY_REQUESTS,
)
WRITING = (
    HTTPStatus.BAD_REQUEST,
    HTTPStatus.CONFLICT,
    HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
    HTTPStatus.UNSUPPORTED_MEDIA_TYPE,
    HTTPStatus.UNPROCESSABLE_ENTITY,
)
JSON = "application/json"
ONCE = OpenApiParameter(
    "Idempotency-Key",
    {"type": "string", "pattern": "^[!-~]{8,64}$"},
    OpenApiParameter.HEADER,
    required=True,
    description="A new one for each thing that is written. Sent again with the same request it gets the first answer.",
)

RETRY_AFTER = OpenApiParameter(
    "Retry-After",
    int,
    OpenApiParameter.HEADER,
    description="In how many seconds it may be asked again.",
    response=[int(HTTPStatus.TOO_MANY_REQUESTS)],
)


class Schema(AutoSchema):
    """What each ``Door`` says of itself, and the problems that any of them may answer."""

    view: Door  # type: ignore[override]

    @property
    def writing(self) -> bool:
        return self.method == "POST"

    def _is_list_view(self, serializer: Any = None) -> bool:
        return isinstance(self.view, Lists) and not self.writing

    def get_tags(self) -> list[str]:
        return [self.path.removeprefix("/api/").split("/")[0]]

    def get_description(self) -> str:  # type: ignore[override]
        roles, scope = self.view.opens[self.method]
        who = ", ".join(sorted(role.value for role in roles))
        return f"{super().get_description()}\n\nOpens to: {who}; a key needs the scope {scope.value}."

    def get_serializer_name(self, serializer: Any, direction: Any) -> str:
        return str(super().get_serializer_name(serializer, direction)).removesuffix("Out")

    def get_override_parameters(self) -> list[Any]:
        return [ONCE, RETRY_AFTER] if self.writing else [RETRY_AFTER]

    def get_request_serializer(self) -> Any:
        return self.view.takes if self.writing else None

    def get_examples(self) -> list[OpenApiExample]:
        if not self.writing or self.view.example is None:
            return []
        return [OpenApiExample("Example", self.view.example, request_only=True)]

    def get_response_serializers(self) -> Any:
        row = self.view.row if isinstance(self.view, Lists) and not self.writing else None
        good = HTTPStatus.CREATED if self.writing else HTTPStatus.OK
        gives = row or self.view.gives if self.view.media == JSON else OpenApiTypes.BINARY
        answers: dict[Any, Any] = {(int(good), self.view.media): gives}
        bad = [*ANY, *WRITING] if self.writing else [*ANY, HTTPStatus.BAD_REQUEST]
        answers |= {
            (int(status), MEDIA): OpenApiResponse(ProblemOut, status.phrase) for status in sorted(bad)
        }
        if not self.writing:
            answers[int(HTTPStatus.NOT_MODIFIED)] = OpenApiResponse(
                description="If-None-Match names this very answer."
            )
        return answers


class KeyInTheSchema(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    target_class = "shop.api.keys.ByProgramKey"
    name = "key"

    def get_security_definition(self, auto_schema: AutoSchema) -> dict[str, Any]:
        return {"type": "http", "scheme": "bearer", "description": "A key made under Records, Programs."}


ONE_AT_A_TIME = Lock()  # its generator cannot be asked by two threads at once


def schema() -> dict[str, Any]:
    """The whole schema, made once in a process."""
    with ONE_AT_A_TIME:
        return _made()


@cache
def _made() -> dict[str, Any]:
    with translation.override("en"):
        made: dict[str, Any] = SchemaGenerator().get_schema(request=None, public=True)  # type: ignore[no-untyped-call]
    return made


@public
@require_safe
@conditional_page
def page(request: HttpRequest) -> HttpResponse:
    """The schema as JSON. It tells what can be asked, nothing of the shop."""
    return JsonResponse(schema(), json_dumps_params={"indent": 1})
