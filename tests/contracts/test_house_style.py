"""What a linter cannot see: keys point down, services are signed, rules are founded, guards stand."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import pytest
from django.apps import apps
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

import compliance.services
import inventory.services
import shop.services
from compliance.core.rules import CLOSING_RULES
from inventory.models import Container
from shop.core.house import SHEETS, HouseRules
from shop.records import expected_triggers, final_models, present_triggers
from tests.compliance.work import Bay, Moment
from tests.conftest import SignOn
from tests.factories import Shop, cans_of, receive

ROOT = Path(__file__).parents[2]
ORDER = ["shop", "inventory", "compliance"]
READS_ONLY = {"draft_usage_report", "closing_problems", "counted_up", "look_at"}


def test_foreign_keys_point_down_the_layers() -> None:
    upward = [
        f"{model._meta.label}.{field.name}"
        for model in apps.get_models()
        if model._meta.app_label in ORDER
        for field in model._meta.get_fields()
        if field.concrete and field.is_relation and field.related_model is not None
        if field.related_model._meta.app_label in ORDER
        and ORDER.index(field.related_model._meta.app_label) > ORDER.index(model._meta.app_label)
    ]
    assert upward == []


def test_no_template_spells_out_how_a_day_is_written() -> None:
    """The language does (``shop/formats``); a clock and an ISO day are the same in all."""
    spelled = [
        (path.name, found)
        for app in ORDER
        for path in (ROOT / app / "templates").rglob("*.html")
        for found in re.findall(r'\|date:"([^"]*)"', path.read_text(encoding="utf-8"))
        if not found.endswith("_FORMAT") and re.search("[bDFlMN]", found)
    ]
    assert spelled == []


def test_no_template_draws_one_of_a_higher_app() -> None:
    """Those hang themselves in (``shop/templatetags/frame.py``); tag libraries count as templates."""
    libraries = {
        app: {path.stem for path in (ROOT / app / "templatetags").glob("[a-z]*.py")} for app in ORDER
    }
    upward = []
    for place, app in enumerate(ORDER):
        higher = ORDER[place + 1 :]
        for path in (ROOT / app / "templates").rglob("*.html"):
            text = path.read_text(encoding="utf-8")
            drawn = re.findall(r'{% (?:include|extends) "(\w+)/', text)
            loaded = {name for names in re.findall(r"{% load ([\w ]+?) %}", text) for name in names.split()}
            upward += [path.name for one in higher if one in drawn or libraries[one] & loaded]
    assert upward == []


@pytest.mark.parametrize("module", [shop.services, inventory.services, compliance.services])
def test_every_service_takes_its_signature_by_keyword(module: object) -> None:
    unsigned = []
    for name in module.__all__:  # type: ignore[attr-defined]
        service = getattr(module, name)
        if not inspect.isfunction(service) or name in READS_ONLY:
            continue
        by = inspect.signature(service).parameters.get("by")
        if by is None or by.kind is not inspect.Parameter.KEYWORD_ONLY:
            unsigned.append(name)
    assert unsigned == []


def test_every_closing_rule_has_a_basis_and_stands_in_the_manual() -> None:
    manual = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for rule in CLOSING_RULES:
        assert rule.basis
        assert rule.asked_by in {"Federal", "Shop rule", "Arithmetic"}
        assert f"`{rule.code}`" in manual, rule.code


def test_every_shop_rule_has_a_sheet_with_its_basis() -> None:
    assert {sheet.key for sheet in SHEETS} == set(HouseRules.__dataclass_fields__)
    assert all(sheet.basis for sheet in SHEETS)


@pytest.mark.django_db
def test_every_guard_stands_in_the_migrated_database() -> None:
    assert expected_triggers(connection.vendor) <= present_triggers(connection)


def test_every_signed_row_is_final() -> None:
    assert len(final_models()) > 25


def test_the_busiest_pages_ask_the_database_a_fixed_number_of_times(
    shop: Shop, cans: list[Container], sign_on: SignOn
) -> None:
    dev = sign_on(shop.dev)
    bay = Bay.check_in(shop)
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    addresses = (f"/bay/{bay.job.number}/charge/", f"/bay/{bay.job.number}/")
    asked = {address: queries(dev, address) for address in addresses}
    bay.weigh(cans[0], "128")
    bay.weigh(cans[1], "464", Moment.BEFORE)
    again = {address: queries(dev, address) for address in asked}
    assert again == asked
    assert max(asked.values()) <= 29, asked


def queries(client: Client, address: str) -> int:
    with CaptureQueriesContext(connection) as seen:
        assert client.get(address).status_code == 200
    return len(seen)


@pytest.fixture
def cans(shop: Shop) -> list[Container]:
    return cans_of(receive(shop))


def test_unread_rules_never_block() -> None:
    """Every rule that blocks rests on arithmetic, on the shop's own rule, or on a federal text that was read."""
    federal = [rule for rule in CLOSING_RULES if rule.asked_by == "Federal"]
    assert federal
    assert all(rule.basis.endswith(", read") for rule in federal)
