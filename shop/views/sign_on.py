"""Sign on and sign off: who is standing here."""

from __future__ import annotations

from django.conf import settings
from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from shop.forms import SignOnForm
from shop.permissions import public


@public
@sensitive_post_parameters("password")
@never_cache
def sign_on(request: HttpRequest) -> HttpResponse:
    """Ask who it is; then go to the page that was wanted, if it is one of ours, else to Today."""
    wanted = request.POST.get("next") or request.GET.get("next", "")
    ours = url_has_allowed_host_and_scheme(wanted, {request.get_host()}, require_https=request.is_secure())
    after = wanted if ours else settings.LOGIN_REDIRECT_URL
    if request.user.is_authenticated:
        return redirect(after)
    form = SignOnForm(request, request.POST or None)
    if request.method == "POST" and form.is_valid():
        login(request, form.get_user())
        return redirect(after)
    return render(request, "shop/sign_on.html", {"form": form, "next": wanted if ours else ""})


@public
@require_POST
def sign_off(request: HttpRequest) -> HttpResponse:
    """The next person signs on under their own name."""
    logout(request)
    return redirect("sign-on")
