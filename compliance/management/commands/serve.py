"""``manage.py serve``: the production server, and beside it the letters to other programs."""

from __future__ import annotations

import signal
import sys
from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand
from django.core.wsgi import get_wsgi_application

from compliance.management.sending import EVERY_S, rounds_beside


class Command(BaseCommand):
    help = "Serve the shop with waitress; put HTTPS in front of it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--threads", type=int, default=4)
        parser.add_argument(
            "--every", type=float, default=EVERY_S, help="seconds between letters to other programs"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        from waitress import serve

        self.stdout.write(f"Serving http://{options['host']}:{options['port']}/")
        where = {"host": options["host"], "port": options["port"]}
        most = (
            4 * settings.LARGEST_REQUEST
        )  # a little too much gets a page that says so, much too much is cut off
        application = get_wsgi_application()
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))  # waitress ends as it does for Ctrl+C
        with rounds_beside(options["every"]):
            serve(application, threads=options["threads"], ident=None, max_request_body_size=most, **where)
