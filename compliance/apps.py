"""The app of what was done at the vehicle and the papers that say so."""

from django.apps import AppConfig


class ComplianceConfig(AppConfig):
    name = "compliance"
    verbose_name = "The papers"

    def ready(self) -> None:
        from compliance import records  # noqa: F401 - registers the guards of clearing
        from shop.templatetags.frame import PARTS

        PARTS["scripts"].append("compliance/jobs/_pile_scripts.html")
        PARTS["above"].append("compliance/jobs/_pile.html")
        PARTS["receiving"].append("compliance/packs/_supply.html")
