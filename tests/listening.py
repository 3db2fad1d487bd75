"""A program that listens on this machine, for the tests of letters: it answers as told and keeps what came."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from email.message import Message
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread


@dataclass(frozen=True, slots=True)
class Came:
    path: str
    headers: Message
    body: bytes


@dataclass
class Program:
    """``answers`` are (status, text) in order; the last one holds for all that follow."""

    url: str
    answers: list[tuple[int, str]]
    seconds: float = 0.0  # before each answer
    drips: str = ""  # in its "head" or its "body" the answer goes on byte by byte and never ends
    headers: dict[str, str] = field(default_factory=dict)
    came: list[Came] = field(default_factory=list)

    @property
    def keys(self) -> list[str | None]:
        return [one.headers["Tarebook-Letter"] for one in self.came]


@contextmanager
def program(*answers: tuple[int, str]) -> Iterator[Program]:
    """Listens on a free port of 127.0.0.1 until the block ends."""

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            listens.came.append(Came(self.path, self.headers, body))
            first = listens.answers[0]
            if len(listens.answers) > 1:
                listens.answers.pop(0)
            time.sleep(listens.seconds)
            self.send_response(first[0])
            for name, value in listens.headers.items():
                self.send_header(name, value)
            if listens.drips == "head":
                self.flush_headers()
                self.drip()
            self.end_headers()
            self.drip()
            self.wfile.write(first[1].encode())

        def drip(self) -> None:
            while listens.drips:
                self.wfile.write(b".")
                time.sleep(0.02)

        def handle(self) -> None:
            try:
                super().handle()
            except OSError:  # the other side has gone, as it should when it waited long enough
                self.close_connection = True

        def log_message(self, format: str, *args: object) -> None:
            """Nothing on the tests' screen."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    listens = Program(f"http://127.0.0.1:{server.server_port}/told", list(answers) or [(200, "thanks")])
    thread = Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield listens
    finally:
        listens.drips = ""
        server.shutdown()
        server.server_close()
        thread.join(5)
