"""A program shows its key; from then on it is the person who made the key, in the key's role."""

from __future__ import annotations

from rest_framework.authentication import BaseAuthentication, get_authorization_header
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.request import Request

from shop.http import night_has_come, now
from shop.models import Person, ProgramKey
from shop.queries import program_key_shown
from shop.services import note_program_use


class ByProgramKey(BaseAuthentication):
    """``Authorization: Bearer KEY`` (RFC 6750). A wrong, ended or taken-back key is one and the same answer."""

    def authenticate(self, request: Request) -> tuple[Person, ProgramKey] | None:
        word, _, rest = get_authorization_header(request).partition(b" ")
        if word.lower() != b"bearer":
            return None
        at = now()
        key = program_key_shown(rest.strip().decode("ascii", "replace"), at)
        if key is not None and key.person.leaves_on:
            night_has_come(request._request)
            key = program_key_shown(rest.strip().decode("ascii", "replace"), at)
        if key is None:
            raise AuthenticationFailed
        note_program_use(key, at=at, by=key.person)
        key.person.role = (
            key.role
        )  # for this request only: services ask the person, and the row is never saved
        return key.person, key

    def authenticate_header(self, request: Request) -> str:
        return 'Bearer realm="Tarebook"'
