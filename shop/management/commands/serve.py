"""``manage.py serve``: the production server."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand
from django.core.wsgi import get_wsgi_application


class Command(BaseCommand):
    help = "Serve the shop with waitress; put HTTPS in front of it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--threads", type=int, default=4)

    def handle(self, *args: Any, **options: Any) -> None:
        from waitress import serve

        self.stdout.write(f"Serving http://{options['host']}:{options['port']}/")
        where = {"host": options["host"], "port": options["port"]}
        most = (
            4 * settings.LARGEST_REQUEST
        )  # a little too much gets a page that says so, much too much is cut off
        application = get_wsgi_application()
        serve(application, threads=options["threads"], ident=None, max_request_body_size=most, **where)
