"""Which shop and which person a command speaks of, and the folder that it writes into."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path

from django.core.management.base import CommandError

from shop.core.roles import Role
from shop.models import Establishment, Person


def add_owner(parser: ArgumentParser) -> None:
    parser.add_argument("--by", required=True, help="sign-on name of the owner in whose name it is made")


def owner_named(name: str) -> tuple[Person, Establishment]:
    person = Person.objects.filter(username=name, is_active=True).select_related("establishment").first()
    if person is None or person.role != Role.OWNER:
        raise CommandError(f"No owner signs on as {name}. Name one with --by.")
    return person, person.establishment


def empty_folder(folder: Path) -> Path:
    """The folder, made when it is not there."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise CommandError(f"{folder} is there already and not empty. Name a new folder.")
    folder.mkdir(parents=True, exist_ok=True)
    return folder
