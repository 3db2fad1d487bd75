"""The app of refrigerant on the shelf; it keeps the closed lists in step after every migration."""

from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class InventoryConfig(AppConfig):
    name = "inventory"
    verbose_name = "The cabinet"

    def ready(self) -> None:
        from inventory import records  # noqa: F401 - registers the book's own guards

        post_migrate.connect(_keep_closed_lists, sender=self, dispatch_uid="closed-lists")


def _keep_closed_lists(using: str = "default", **_: Any) -> None:
    from inventory.core.refrigerants import OUTSIDE, REFRIGERANTS
    from inventory.models import Place, Refrigerant

    Refrigerant.objects.using(using).bulk_create(
        [Refrigerant(one.code, one.flammable, one.source) for one in REFRIGERANTS], ignore_conflicts=True
    )
    Place.objects.using(using).bulk_create([Place(name, name) for name in OUTSIDE], ignore_conflicts=True)
