"""``manage.py open_shop``: the first thing in a new installation: one shop and its owner."""

from __future__ import annotations

import getpass
import os
import zoneinfo
from argparse import ArgumentParser
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from shop.core.roles import Role
from shop.models import Establishment, Person


class Command(BaseCommand):
    help = "Open a shop in an empty installation: its name and address, and an owner who may sign on."

    def add_arguments(self, parser: ArgumentParser) -> None:
        for name, meaning in (
            ("name", "the shop's name, as customers know it"),
            ("address", "street, town, state and ZIP"),
            ("phone", "the number on its papers"),
            ("owner", "the owner's full name"),
            ("username", "the owner's sign-on name"),
        ):
            parser.add_argument(f"--{name}", required=True, help=meaning)
        parser.add_argument("--legal-name", default="", help="when it differs from the name")
        parser.add_argument("--state-number", default="", help="state repair-dealer number, if there is one")
        parser.add_argument("--time-zone", default="America/Denver", help="for example America/Chicago")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["time_zone"] not in zoneinfo.available_timezones():
            raise CommandError(f"There is no time zone {options['time_zone']}.")
        if Establishment.objects.filter(name=options["name"]).exists():
            raise CommandError(f"{options['name']} is open already.")
        if Person.objects.filter(username=options["username"]).exists():
            raise CommandError(f"The sign-on name {options['username']} is taken.")
        owner = self._open(options, self._password(options))
        self.stdout.write(f"{owner.establishment} is open; {owner.name} signs on as {owner.username}.")

    def _password(self, options: dict[str, Any]) -> str:
        """From TAREBOOK_OWNER_PASSWORD when it is set, else asked for twice; never from the command line."""
        password = os.environ.get("TAREBOOK_OWNER_PASSWORD") or getpass.getpass("Password of the owner: ")
        if not os.environ.get("TAREBOOK_OWNER_PASSWORD") and getpass.getpass("Once more: ") != password:
            raise CommandError("The two passwords differ.")
        try:
            validate_password(password, Person(username=options["username"], name=options["owner"]))
        except ValidationError as weak:
            raise CommandError(" ".join(weak.messages)) from weak
        return password

    @transaction.atomic
    def _open(self, options: dict[str, Any], password: str) -> Person:
        establishment = Establishment.objects.create(
            name=options["name"],
            legal_name=options["legal_name"] or options["name"],
            address=options["address"],
            phone=options["phone"],
            state_number=options["state_number"],
            time_zone=options["time_zone"],
        )
        owner = Person(
            establishment=establishment, name=options["owner"], username=options["username"], role=Role.OWNER
        )
        owner.full_clean(exclude=["password"])
        owner.set_password(password)
        owner.save()
        return owner
