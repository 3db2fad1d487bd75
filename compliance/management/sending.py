"""The round that tells other programs: look at the stock of each shop now and then, and send what is due."""

from __future__ import annotations

import logging
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Thread
from zoneinfo import ZoneInfo

from django.db import connections

from inventory.services.low import look_at_stock
from shop.core.outgoing import TIMEOUT_S
from shop.http import now
from shop.models import Establishment
from shop.services.sending import send_due

EVERY_S = 30
LOOK_EVERY_S = 300  # at the stock: it reads eight weeks of movements, and cans are used up by the hour
log = logging.getLogger(__name__)


def one_round(*, look: bool = True) -> Counter[str]:
    """How many letters were "taken" and how many "failed". ``look`` at the stock first, or only send."""
    for establishment in Establishment.objects.order_by("pk") if look else ():
        at = now()
        look_at_stock(establishment, on=at.astimezone(ZoneInfo(establishment.time_zone)).date(), at=at)
    return send_due(now)


@contextmanager
def rounds_beside(every: float = EVERY_S) -> Iterator[None]:
    """Go round in a thread of its own for as long as the server runs; at the end a letter on its way is waited for."""
    over = Event()
    thread = Thread(target=_go_round, args=(over, every), name="outgoing", daemon=True)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join(TIMEOUT_S + 5)


def _go_round(over: Event, every: float) -> None:
    next_look = 0.0
    while not over.wait(every):
        look = time.monotonic() >= next_look
        try:
            one_round(look=look)
            if look:
                next_look = time.monotonic() + LOOK_EVERY_S
        except Exception:  # whatever it is, the server goes on and the next round tries again
            log.exception("Other programs could not be told; the next round tries again.")
        finally:
            connections.close_all()
