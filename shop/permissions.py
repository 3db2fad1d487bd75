"""Who may open which page. Every view says so, and a contract test reads it back."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, cast

from django.contrib.auth import BACKEND_SESSION_KEY
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponseBase

from shop.core.roles import Role

FRONT_OFFICE, TECHNICIAN, OWNER = Role.FRONT_OFFICE, Role.TECHNICIAN, Role.OWNER
EVERYONE = (FRONT_OFFICE, TECHNICIAN, OWNER)


def open_to(
    *roles: Role,
) -> Callable[[Callable[..., HttpResponseBase]], Callable[..., HttpResponseBase]]:
    """Let these roles in; send a stranger to sign on and refuse everybody else."""

    def decorate(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if not request.user.is_authenticated:
                return redirect_to_login(request.get_full_path())
            if request.user.role not in roles:
                raise PermissionDenied
            return view(request, *args, **kwargs)

        cast(Any, guarded).roles = frozenset(roles)
        return guarded

    return decorate


def by_password(request: HttpRequest) -> bool:
    """Whether this sign-on was made with the password, not with a PIN or a badge."""
    return str(request.session.get(BACKEND_SESSION_KEY, "")).endswith(".ModelBackend")


def public(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Let anybody in; for pages that show nothing private."""
    cast(Any, view).roles = frozenset()
    return view
