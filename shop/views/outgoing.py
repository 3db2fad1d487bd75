"""Other programs that are told: made by the owner, tried, ended; and the letters that none of them took."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.core.paginator import Paginator
from django.forms import Form
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from shop.core.outgoing import LETTER, MOST_TRIES, SENT_AT, SIGNATURE
from shop.forms import ListenerForm
from shop.http import SignedInRequest, now, say, written
from shop.models import Letter, LetterTry, Listener
from shop.permissions import OWNER, by_password, open_to
from shop.queries import letters_to, listeners
from shop.services import add_listener, end_listener, send_again, write_trial
from shop.services.sending import send_now
from shop.views.device import password_first

PER_PAGE = 40
HEADERS = {"letter": LETTER, "sent_at": SENT_AT, "signature": SIGNATURE}


@open_to(OWNER)
def listing(request: SignedInRequest) -> HttpResponse:
    rows = list(listeners(request.user.establishment))
    told = [one for one in rows if not hasattr(one, "end")]
    shown = {"told": told, "ended": [one for one in rows if one not in told]}
    return render(request, "shop/outgoing/list.html", shown)


@open_to(OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    """The secret stands on the answer to this form and nowhere else; the form sent twice leads to the page."""
    if not by_password(request):
        return password_first(request)
    form, made = ListenerForm(request.POST or None), list[tuple[Listener, str]]()
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            made.append(add_listener(form.listener(), request.user.establishment, at=now(), by=request.user))
            return _page_of(made[0][0])

        answer = written(request, form, write)
        if made:
            listener, secret = made[0]
            shown = {"form": form, "listener": listener, "secret": secret, **HEADERS}
            return render(request, "shop/outgoing/new.html", shown)
        if answer is not None:
            return answer
    return render(request, "shop/outgoing/new.html", {"form": form})


@open_to(OWNER)
def page(request: SignedInRequest, pk: int) -> HttpResponse:
    """What one program was told, letter by letter, with every try."""
    listener = _mine(request, pk)
    letters = Paginator(letters_to(listener), PER_PAGE).get_page(request.GET.get("page"))
    shown = {"listener": listener, "letters": letters, "most": MOST_TRIES, "form": Form()}
    return render(request, "shop/outgoing/page.html", shown)


@open_to(OWNER)
@require_POST
def trial(request: SignedInRequest, pk: int) -> HttpResponse:
    """Send a letter that says nothing, at once, and say what came back."""
    listener = _mine(request, pk)

    def write() -> Letter:
        return write_trial(listener, at=now(), by=request.user)

    return _sent_at_once(request, listener, write)


@open_to(OWNER)
@require_POST
def again(request: SignedInRequest, pk: int) -> HttpResponse:
    """Send one dead letter again, at once, or all of them with the next round."""
    listener, key = _mine(request, pk), request.POST.get("letter", "").replace("\0", "")

    def write() -> Letter | None:
        keys = [key] if key else None
        letters = send_again(listener, keys, at=now(), by=request.user)
        return letters[0] if key else None

    return _sent_at_once(request, listener, write)


@open_to(OWNER)
def end(request: SignedInRequest, pk: int) -> HttpResponse:
    listener = _mine(request, pk)
    form = Form(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            end_listener(listener, at=now(), by=request.user)
            messages.success(request, _("%s is told nothing any more.") % listener.name)
            return reverse("house:outgoing")

        if answer := written(request, form, write):
            return answer
    return render(request, "shop/outgoing/end.html", {"form": form, "listener": listener})


def _mine(request: SignedInRequest, pk: int) -> Listener:
    return get_object_or_404(listeners(request.user.establishment), pk=pk)


def _page_of(listener: Listener) -> str:
    return reverse("house:outgoing-page", args=[listener.pk])


def _sent_at_once(
    request: SignedInRequest, listener: Listener, write: Callable[[], Letter | None]
) -> HttpResponse:
    """Write under the form's key, then send what was written, outside that transaction; the same form sent twice
    sends nothing twice."""
    form, to_send = Form({}), list[Letter | None]()

    def once() -> str:
        to_send.append(write())
        return _page_of(listener)

    answer = written(request, form, once)
    for error in form.non_field_errors():
        messages.error(request, str(error))
    for letter in to_send:
        _say(request, send_now(letter, now) if letter else None, listener)
    return answer or HttpResponseRedirect(_page_of(listener))


def _say(request: SignedInRequest, tried: LetterTry | None, listener: Listener) -> None:
    if tried is None:
        messages.success(request, _("They go out with the next round."))
    elif tried.taken:
        messages.success(request, _("%s took the letter.") % listener.name)
    else:
        messages.warning(request, f"{_('The letter was not taken.')} {say(tried.error)}")
