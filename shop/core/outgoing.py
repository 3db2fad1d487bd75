"""What other programs are told, and how: the events, the letter's bytes, its signature, when it is tried again.

The signature is HMAC-SHA256 (RFC 2104) over the time of sending, a full stop and the body, so that neither can be
changed and an old letter cannot be sent again as a new one.
"""

from __future__ import annotations

import hashlib
import hmac
import ipaddress
import json
from collections.abc import Mapping
from datetime import datetime, timedelta
from enum import StrEnum
from urllib.parse import SplitResult, urlsplit

from shop.core.canonical import canonical
from shop.core.findings import Finding, blocked
from shop.core.mass import Mass, Reading, Unit
from shop.core.phrase import phrase

LETTER, SENT_AT, SIGNATURE = "Tarebook-Letter", "Tarebook-Sent-At", "Tarebook-Signature"
TIMEOUT_S = 10  # for a whole try: connecting, sending, and reading the answer
ANSWER_BYTES = 1024  # of an answer are read
ANSWER_CHARACTERS = 200  # of it are kept
WAITS = (  # after the first, second ... try; the tool's own choice, no source
    timedelta(minutes=1),
    timedelta(minutes=5),
    timedelta(minutes=30),
    timedelta(hours=2),
    timedelta(hours=12),
)
MOST_TRIES = len(WAITS) + 1
LONGEST_URL = 500
# Where machines of clouds ask for their own keys, beside the link-local addresses (RFC 3927): fixed ones that no shop's
# network has. A name tells nothing: what it leads to is looked at.
KEYS_OF_A_MACHINE = frozenset(
    map(
        ipaddress.ip_address,
        ("100.100.100.200", "168.63.129.16", "192.0.0.192", "fd00:ec2::254", "fd20:ce::254"),
    )
)
IPV4_AT_THE_END = tuple(ipaddress.IPv6Network(net) for net in ("::/96", "::ffff:0:0/96", "64:ff9b::/96"))


class What(StrEnum):
    """What may be told; each is the name of a choice of ``Listener``, and of the event in a letter."""

    JOB_CLOSED = "job_closed"
    REPORT_SIGNED = "report_signed"
    STOCK_LOW = "stock_low"


TRIAL = "trial"  # the event of a letter that the owner sends to try an address


def seal(secret: bytes, text: bytes) -> str:
    """HMAC-SHA256 (RFC 2104) of a text, lower-case hexadecimal."""
    return hmac.new(secret, text, hashlib.sha256).hexdigest()


def signed(secret: str, sent_at: int, body: bytes) -> str:
    """The signature of a body sent at a Unix time in seconds."""
    return seal(secret.encode(), f"{sent_at}.".encode() + body)


def letter_body(
    key: str, event: str, facts: str, *, shop: str, at: datetime, practice: bool = False
) -> bytes:
    """What is sent: always the same bytes for the same letter. ``facts`` is canonical JSON, ``at`` when it happened."""
    envelope = {
        "letter": key,
        "event": event,
        "at": at.isoformat(timespec="seconds"),
        "shop": shop,
        "practice": practice,
        "facts": json.loads(facts),
    }
    return canonical(envelope).encode()


def subject(facts: str) -> str:
    """What a piece of news is about, by number or name: J24-0001, UR-24-01, R-134a; empty for a trial."""
    told = json.loads(facts)
    return str(told.get("job") or told.get("report", {}).get("number") or told.get("refrigerant", ""))


def told_reading(reading: Reading) -> dict[str, str | int]:
    """A reading as typed, its unit, and the mass it stands for in micrograms."""
    return {"value": reading.text, "unit": reading.unit.value, "micrograms": reading.mass.ug}


def told_mass(mass: Mass) -> dict[str, str | int]:
    """A mass that was worked out: exact grams and micrograms."""
    return {"value": f"{mass.to(Unit.G).normalize():f}", "unit": Unit.G.value, "micrograms": mass.ug}


def wait_after(tries: int) -> timedelta | None:
    """How long to wait after so many tries that failed; None when it was the last one."""
    return WAITS[tries - 1] if tries < MOST_TRIES else None


def is_refused_place(address: str) -> bool:
    """Whether nothing is ever sent to this IP address: link-local (where machines of a cloud ask for their own keys),
    everybody at once, nowhere. The own machine and the shop's network are fine: that is where its programs run."""
    place = ipaddress.ip_address(address.partition("%")[0])
    if isinstance(place, ipaddress.IPv6Address):
        place = _ipv4_inside(place) or place
    return (
        place.is_link_local or place.is_multicast or place.is_unspecified or place in KEYS_OF_A_MACHINE
    ) or str(place) == "255.255.255.255"


def _ipv4_inside(place: ipaddress.IPv6Address) -> ipaddress.IPv4Address | None:
    """The IPv4 address that an IPv6 one leads to: mapped and compatible (RFC 4291, 2.5.5), 6to4 (RFC 3056) or by a
    translator (RFC 6052)."""
    if any(place in net for net in IPV4_AT_THE_END) and int(place) > 1:  # ::1 is this machine, :: is nowhere
        return ipaddress.IPv4Address(int(place) & 0xFFFFFFFF)
    return place.sixtofour


def url_problems(url: str) -> list[Finding]:
    """What is wrong with an address that letters shall go to."""
    if sentence := _not_an_address(url):
        return [blocked("url-unread", sentence, "url")]
    parts = urlsplit(url)
    if parts.username is not None or parts.password is not None:
        sentence = phrase("Leave name and password out of the address. Letters are signed with a secret.")
        return [blocked("url-password", sentence, "url")]
    if _is_refused_host(parts.hostname or ""):
        sentence = phrase(
            "Nothing is sent to {host}: it is no program of a shop that listens there.", host=parts.hostname
        )
        return [blocked("url-place", sentence, "url")]
    return []


def _not_an_address(url: str) -> str:
    """Why a URL cannot be read; empty when it can."""
    if len(url) > LONGEST_URL:
        return phrase("An address has at most {most} characters.", most=LONGEST_URL)
    if not url.isascii() or not url.isprintable() or " " in url:
        return phrase("Write the address in plain letters, digits and signs, without blanks.")
    parts = _split(url)
    if parts is None or parts.scheme not in ("http", "https") or not parts.hostname:
        return phrase("Type a whole address that begins with https:// or http://.")
    if parts.port == 0:
        return phrase("A port is a number from 1 to 65535.")
    if parts.fragment:
        return phrase("Leave out the # and what follows it: no program ever sees that part.")
    return ""


def _split(url: str) -> SplitResult | None:
    """None when the address cannot be taken apart: a bracket that does not close, a port that is no number."""
    try:
        parts = urlsplit(url)
        _ = parts.port
    except ValueError:
        return None
    return parts


def _is_refused_host(host: str) -> bool:
    try:
        return is_refused_place(host)
    except ValueError:
        return False  # a name; what it leads to is looked at whenever something is sent


def choices(chosen: Mapping[str, bool]) -> list[Finding]:
    """At least one thing is told, else there is nothing to send."""
    if any(chosen.values()):
        return []
    return [blocked("nothing-told", phrase("Choose at least one thing to be told."), "events")]
