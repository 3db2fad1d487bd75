"""A program shows its key; from then on it is the person who made the key, in the key's role."""

from __future__ import annotations

from datetime import datetime
from http import HTTPStatus

from django.conf import settings
from django.core.cache import cache
from django.utils.translation import gettext as _
from rest_framework.authentication import BaseAuthentication, get_authorization_header
from rest_framework.exceptions import APIException, AuthenticationFailed
from rest_framework.request import Request

from shop.http import night_has_come, now
from shop.models import Person, ProgramKey
from shop.queries import program_key_shown
from shop.services import note_program_use


class TooMany(APIException):
    """Asked too often; ``wait`` is in how many seconds it may be asked again."""

    status_code = HTTPStatus.TOO_MANY_REQUESTS

    def __init__(self, wait: int) -> None:
        self.wait = wait
        sentence = _("Too many requests in this minute. Ask again in %(seconds)s s.") % {"seconds": wait}
        super().__init__(sentence, "too_many")


def refuse_beyond(most: int, who: str, at: datetime) -> None:
    """Raise ``TooMany`` when ``who`` asked more than ``most`` times in this minute. Each process counts for itself,
    and not to the last request: a counter that two threads put up at once may miss one."""
    minute, second = divmod(int(at.timestamp()), 60)
    counted = f"asked-{minute}-{who}"
    asked = cache.get(counted, 0) + 1
    cache.set(counted, asked, 60)
    if asked > most:
        raise TooMany(60 - second)


class ByProgramKey(BaseAuthentication):
    """``Authorization: Bearer KEY`` (RFC 6750). A wrong, ended or taken-back key is one and the same answer.

    A key may ask so often in a minute, an address show so many wrong ones; a right key passes beside those.
    """

    def authenticate(self, request: Request) -> tuple[Person, ProgramKey] | None:
        word, _space, rest = get_authorization_header(request).partition(b" ")
        if word.lower() != b"bearer":
            return None
        at = now()
        key = program_key_shown(rest.strip().decode("ascii", "replace"), at)
        if key is not None and key.person.leaves_on:
            night_has_come(request._request)
            key = program_key_shown(rest.strip().decode("ascii", "replace"), at)
        if key is None:
            refuse_beyond(settings.WRONG_KEYS_A_MINUTE, request.META["REMOTE_ADDR"], at)
            raise AuthenticationFailed
        refuse_beyond(settings.REQUESTS_A_MINUTE, key.key_sha256, at)
        note_program_use(key, at=at, by=key.person)
        key.person.role = (
            key.role
        )  # for this request only: services ask the person, and the row is never saved
        return key.person, key

    def authenticate_header(self, request: Request) -> str:
        return 'Bearer realm="Tarebook"'
