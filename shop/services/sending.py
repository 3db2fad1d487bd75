"""The sender: whatever is due goes out, each letter by one sender at a time, each try written down.

A letter is claimed in one statement, sent outside every transaction, and answered for in another. A sender that is
killed in between leaves the claim, which ends by itself; the letter is then sent once more under the same key.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction
from django.db.models import Max, Q, QuerySet

from shop.core.findings import Refused
from shop.core.outgoing import LETTER, SENT_AT, SIGNATURE, TRIAL, letter_body, signed, wait_after
from shop.models import Letter, LetterDue, LetterTry
from shop.services.outgoing import secret_of
from shop.services.transport import Answered, post_letter

HELD = timedelta(minutes=2)  # longer than any try takes
MOST_AT_ONCE = 500  # letters in one round; the next round is soon
Clock = Callable[[], datetime]


def send_due(clock: Clock) -> Counter[str]:
    """Send what is due; how many letters were "taken" and how many "failed".

    A listener that does not answer at all is left alone until the next round, so that it cannot hold up the others.
    """
    came, silent = Counter[str](), set[int]()
    for _ in range(MOST_AT_ONCE):
        letter = _next(clock(), silent)
        if letter is None:
            break
        tried = _tried(letter, clock)
        came["taken" if tried.taken else "failed"] += 1
        if tried.status is None:
            silent.add(letter.listener_id)
    return came


def send_now(letter: Letter, clock: Clock) -> LetterTry | None:
    """Try one letter at once; None when somebody else has it or it does not wait any more."""
    return _tried(letter, clock) if _claim(letter.pk, clock()) else None


def _next(at: datetime, silent: set[int]) -> Letter | None:
    """The letter that has waited longest, claimed for us."""
    while True:
        due = _free(at).filter(at__lte=at, letter__listener__end=None)
        key = due.exclude(letter__listener__in=silent).values_list("pk", flat=True).first()
        if key is None:
            return None
        if _claim(key, at):
            return Letter.objects.select_related("news__establishment", "listener").get(pk=key)


def _claim(key: int, at: datetime) -> bool:
    """One statement, so that of two senders one gets it: the second one finds that its condition holds no more."""
    return _free(at).filter(pk=key).update(held_until=at + HELD) == 1


def _free(at: datetime) -> QuerySet[LetterDue]:
    return LetterDue.objects.filter(Q(held_until=None) | Q(held_until__lte=at))


def _tried(letter: Letter, clock: Clock) -> LetterTry:
    at, began = clock(), time.monotonic()
    answer = _sent(letter, at)
    return _answered_for(letter, answer, at=at, took=time.monotonic() - began)


def _sent(letter: Letter, at: datetime) -> Answered:
    news = letter.news
    try:
        secret = secret_of(letter.listener)
    except Refused as refused:
        return Answered(error=str(refused)[:200])
    body = letter_body(
        letter.key,
        news.event,
        news.facts,
        shop=news.establishment.name,
        at=news.at.astimezone(ZoneInfo(news.establishment.time_zone)),
        practice=settings.PRACTICE,
    )
    sent_at = int((at - settings.PRACTICE_OFFSET).timestamp())  # a listener holds it against its own clock
    headers = {
        "Content-Type": "application/json",
        "User-Agent": "Tarebook",
        LETTER: letter.key,
        SENT_AT: str(sent_at),
        SIGNATURE: signed(secret, sent_at, body),
    }
    return post_letter(letter.listener.url, body, headers)


@transaction.atomic
def _answered_for(letter: Letter, answer: Answered, *, at: datetime, took: float) -> LetterTry:
    """Write the try down; let the letter go, wait for the next try, or give it up."""
    Letter.objects.select_for_update(no_key=True).get(pk=letter.pk)
    number = letter.tries.aggregate(last=Max("number"))["last"] or 0
    tried = LetterTry.objects.create(
        letter=letter,
        number=number + 1,
        at=at,
        took_ms=round(took * 1000),
        taken=answer.taken,
        status=answer.status,
        answer=answer.text,
        error=answer.error,
    )
    due = LetterDue.objects.filter(letter=letter).first()
    if due is not None:
        wait = wait_after(due.tries + 1)
        if answer.taken or (wait is None and letter.news.event == TRIAL):
            due.delete()
        else:
            due.tries, due.held_until = due.tries + 1, None
            due.at = at + wait if wait is not None else None
            due.save(update_fields=["tries", "at", "held_until"])
    return tried
