"""Shop set-up: the shop's own rules."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.utils import timezone

from shop.core.findings import Refused
from shop.models import ShopRule
from shop.queries import rule_sheet, rules_on
from shop.services import change_rule
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop
from tests.pages import errors, said, send, text

RULES = "/house/rules/"


def change(**changed: str) -> dict[str, str]:
    today = timezone.localdate().isoformat()
    right = {"key": "hose_allowance_g", "value": "5.8", "from_day": today, "basis": "five hoses weighed"}
    return {**right, **changed}


@pytest.mark.parametrize("who", ["lee", "dev"])
def test_only_the_owner_opens_the_set_up(shop: Shop, sign_on: SignOn, who: str) -> None:
    assert sign_on(getattr(shop, who)).get(RULES).status_code == 403
    assert send(sign_on(getattr(shop, who)), RULES, **change()).status_code == 403


def test_every_rule_stands_with_its_value_unit_and_basis(shop: Shop, marta: Client) -> None:
    page = text(marta.get(RULES))

    assert "Leak-test charge 15 % of the label charge common practice, no source" in page
    assert "40 CFR 82.42(b)(4)" in page


def test_a_rule_is_picked_from_the_list_to_change_it(shop: Shop, marta: Client) -> None:
    form = marta.get(RULES, {"rule": "keep_years"}).context["form"]

    assert form["key"].value() == "keep_years"


def test_the_owner_changes_a_rule_from_today_on(shop: Shop, marta: Client) -> None:
    page = marta.get(send(marta, RULES, **change())["Location"])

    assert "Left in the hoses: 5.8 from" in said(page)[0]
    assert "five hoses weighed" in text(page)
    today = timezone.localdate()
    assert rules_on(shop.establishment, today).hose_allowance_g == Decimal("5.8")
    assert rules_on(shop.establishment, today - timedelta(days=1)).hose_allowance_g == Decimal("6")


def test_a_rule_that_begins_later_is_told_and_not_yet_used(shop: Shop, marta: Client) -> None:
    later = timezone.localdate() + timedelta(days=40)
    page = text(marta.get(send(marta, RULES, **change(from_day=later.isoformat()))["Location"]))

    assert "To come 5.8 from" in page
    assert rules_on(shop.establishment, timezone.localdate()).hose_allowance_g == Decimal("6")


@pytest.mark.parametrize(
    ("field", "changed", "sentence"),
    [
        ("key", {"key": "speed_limit"}, "Select a valid choice"),
        ("key", {"key": ""}, "required"),
        ("value", {"value": ""}, "required"),
        ("value", {"value": "some"}, "type a number"),
        ("value", {"value": "nan"}, "type a number"),
        ("value", {"value": "-1"}, "from 0 to 60"),
        ("value", {"value": "60.1"}, "from 0 to 60"),
        ("value", {"value": "Infinity"}, "from 0 to 60"),
        ("from_day", {"from_day": "2024-01-01"}, "today or later"),
        ("basis", {"basis": "  "}, "required"),
    ],
)
def test_what_is_wrong_with_a_change_stands_on_its_field(
    shop: Shop, marta: Client, field: str, changed: dict[str, str], sentence: str
) -> None:
    response = send(marta, RULES, **change(**changed))

    assert sentence in " ".join(errors(response, field))
    assert not ShopRule.objects.exists()


def test_records_are_never_kept_shorter_than_the_rule_asks(shop: Shop, marta: Client) -> None:
    # 40 CFR 82.42(b)(4): three years.
    assert errors(send(marta, RULES, **change(key="keep_years", value="2.9")), "value")
    assert send(marta, RULES, **change(key="keep_years", value="3")).status_code == 302


def test_the_newest_change_up_to_a_day_is_the_rule_of_that_day(shop: Shop) -> None:
    for value, day in (("5", DAY), ("7", date(2024, 6, 1))):
        change_rule(
            shop.establishment,
            key="hose_allowance_g",
            value=value,
            from_day=day,
            basis="weighed",
            today=DAY,
            at=NOON,
            by=shop.marta,
        )

    def in_force(day: date) -> Decimal:
        return rules_on(shop.establishment, day).hose_allowance_g

    assert [
        in_force(date(2024, 4, 1)),
        in_force(DAY),
        in_force(date(2024, 5, 31)),
        in_force(date(2024, 6, 1)),
    ] == [
        Decimal(6),
        Decimal(5),
        Decimal(5),
        Decimal(7),
    ]
    line = next(line for line in rule_sheet(shop.establishment, DAY) if line.sheet.key == "hose_allowance_g")
    assert [change.value for change in line.to_come] == ["7"]


@pytest.mark.parametrize("value", ["sNaN", "NaN", "-Infinity", "", "1e9", "1/2"])
def test_a_value_that_is_no_number_of_that_rule_is_refused(shop: Shop, value: str) -> None:
    with pytest.raises(Refused):
        change_rule(
            shop.establishment,
            key="hose_allowance_g",
            value=value,
            from_day=DAY,
            basis="weighed",
            today=DAY,
            at=NOON,
            by=shop.marta,
        )
    assert not ShopRule.objects.exists()
