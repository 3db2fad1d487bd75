"""The app of who and what the shop is; it also puts the guards up after every migration."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class ShopConfig(AppConfig):
    name = "shop"
    verbose_name = "The shop"

    def ready(self) -> None:
        from shop.records import install_guards

        post_migrate.connect(install_guards, dispatch_uid="install-guards")
