"""One letter over HTTP: no redirect is followed, TLS is verified, the whole try has ten seconds, little is read."""

from __future__ import annotations

import socket
import ssl
import time
from collections.abc import Mapping
from dataclasses import dataclass
from http.client import HTTPConnection, HTTPException, HTTPResponse, HTTPSConnection
from queue import Empty, Queue
from threading import Event, Thread, Timer
from typing import Any
from urllib.parse import urlsplit

from shop.core.outgoing import ANSWER_BYTES, ANSWER_CHARACTERS, TIMEOUT_S, is_refused_place
from shop.core.phrase import phrase

Place = tuple[Any, Any, int, str, Any]  # family, kind, protocol, name, address, as the system gives them


@dataclass(frozen=True, slots=True)
class Answered:
    """What came back: the answer's number and beginning, or in words why none came."""

    status: int | None = None
    text: str = ""
    error: str = ""

    @property
    def taken(self) -> bool:
        """Only a 2xx says that a listener has it (RFC 9110, 15.3)."""
        return self.status is not None and 200 <= self.status < 300


class Unreachable(OSError):  # noqa: N818 - reads as a sentence
    """The name leads to a place that nothing is sent to."""


class Line:
    """A connection that is cut when the time is up, wherever it then is: a listener may answer byte by byte."""

    def __init__(self, seconds: float) -> None:
        self.until, self.cut = time.monotonic() + seconds, Event()
        self._timer = Timer(seconds, self._cut)
        self._ends: list[socket.socket] = []

    def __enter__(self) -> Line:
        self._timer.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._timer.cancel()
        for end in self._ends:
            end.close()

    def connected(self, host: str, port: int) -> socket.socket:
        """A socket to the first place that answers of those that the name leads to. The name is looked up once, and
        what is looked at is what is called, so that it cannot lead somewhere else in between."""
        last: OSError = Unreachable("the name leads nowhere")
        for family, kind, protocol, _, place in _places(host, port, self._left()):
            if is_refused_place(str(place[0])):
                last = Unreachable(f"nothing is sent to {place[0]}")
                continue
            end = socket.socket(family, kind, protocol)
            end.settimeout(self._left())
            self._ends.append(end.dup())
            try:
                end.connect(place)
            except OSError as error:
                end.close()
                last = error
            else:
                return end
        raise last

    def _left(self) -> float:
        """Seconds of the try that are left."""
        left = self.until - time.monotonic()
        if left <= 0:
            raise TimeoutError
        return left

    def _cut(self) -> None:
        self.cut.set()
        for end in self._ends:
            try:
                end.shutdown(socket.SHUT_RDWR)
            except OSError:  # not connected yet: its own timeout ends it
                continue


def _places(host: str, port: int, seconds: float) -> list[Place]:
    """What a name leads to. The system's look-up cannot be stopped, so it runs in a thread that nobody waits for when
    the time is up."""
    came: Queue[list[Place] | Exception] = Queue()

    def look() -> None:
        try:
            came.put(socket.getaddrinfo(host, port, type=socket.SOCK_STREAM))
        except (OSError, ValueError) as error:
            came.put(error)

    Thread(target=look, name="look-up", daemon=True).start()
    try:
        found = came.get(timeout=seconds)
    except Empty:
        raise TimeoutError from None
    if isinstance(found, Exception):
        raise found
    return found


def post_letter(url: str, body: bytes, headers: Mapping[str, str], *, seconds: float = TIMEOUT_S) -> Answered:
    """Send one letter and read the beginning of the answer. Never raises for what a network or a listener does."""
    parts = urlsplit(url)
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    with Line(seconds) as line:
        connection = _connection(parts.scheme, str(parts.hostname), parts.port, line)
        try:
            connection.request("POST", path, body, dict(headers))
            answer = connection.getresponse()
            if line.cut.is_set():  # http.client takes a head that breaks off for a whole one
                raise TimeoutError
            return Answered(answer.status, _beginning(answer), _refusal(answer.status))
        except (OSError, HTTPException, UnicodeError) as error:
            return Answered(error=_words(error, cut=line.cut.is_set()))
        finally:
            connection.close()


def _connection(scheme: str, host: str, port: int | None, line: Line) -> HTTPConnection:
    return _Plain(host, port or 80, line) if scheme == "http" else _Secure(host, port or 443, line)


class _Plain(HTTPConnection):
    """http.client looks up and connects by itself; here ``line`` does."""

    def __init__(self, host: str, port: int, line: Line) -> None:
        super().__init__(host, port)
        self.line = line

    def connect(self) -> None:
        self.sock = self.line.connected(self.host, self.port)


class _Secure(HTTPSConnection):
    def __init__(self, host: str, port: int, line: Line) -> None:
        self.verified = ssl.create_default_context()
        super().__init__(host, port, context=self.verified)
        self.line = line

    def connect(self) -> None:
        plain = self.line.connected(self.host, self.port)
        self.sock = self.verified.wrap_socket(plain, server_hostname=self.host)


def _beginning(answer: HTTPResponse) -> str:
    """The first characters of the answer, as far as they can be read and shown. Its number has come; what follows may
    break off."""
    try:
        said = answer.read(ANSWER_BYTES).decode("utf-8", errors="replace")
    except (OSError, HTTPException):
        return ""
    shown = "".join(letter if letter.isprintable() else " " for letter in said)
    return " ".join(shown.split())[:ANSWER_CHARACTERS]


def _refusal(status: int) -> str:
    if 300 <= status < 400:
        return phrase("It points somewhere else. That is not followed: type the new address.")
    return "" if 200 <= status < 300 else phrase("It did not take the letter.")


def _words(error: Exception, *, cut: bool) -> str:
    if cut or isinstance(error, TimeoutError):
        return phrase("No whole answer within {seconds} seconds.", seconds=TIMEOUT_S)
    if isinstance(error, ssl.SSLCertVerificationError):
        return phrase("Its certificate could not be verified: {why}", why=error.verify_message)[:200]
    if isinstance(error, socket.gaierror):
        return phrase("Its name could not be found.")
    if isinstance(error, ConnectionRefusedError):
        return phrase("Nobody listens there.")
    return phrase("It could not be reached: {why}.", why=error)[:200]
