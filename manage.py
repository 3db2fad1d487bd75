#!/usr/bin/env python3
"""Run one of Django's or Tarebook's management commands."""

import os
import sys


def main() -> None:
    """Name the settings and hand the command line to Django."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    try:
        from django.core.management import execute_from_command_line
    except ImportError as error:
        raise SystemExit(
            "Django is not installed for this Python. Use `python3 run.py manage …`, which sets it up."
        ) from error
    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
