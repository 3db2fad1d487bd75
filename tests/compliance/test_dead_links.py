"""What a role is offered on a page, it may open."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.test import Client

from compliance.queries.attention import asking
from tests.compliance.work import Bay
from tests.factories import Shop


@pytest.mark.parametrize("page", ["/bay/", "/bay/J24-0001/"])
def test_the_front_office_is_led_to_no_page_that_it_may_not_open(shop: Shop, lee: Client, page: str) -> None:
    Bay.check_in(shop).recover()
    links = set(re.findall(r'<a[^>]* href="(/[^"#]*)"', lee.get(page).content.decode()))
    assert [one for one in sorted(links) if lee.get(one).status_code == 403] == []
    assert ("/bay/J24-0001/choice/" in links) is (page == "/bay/J24-0001/")


def test_a_technician_is_not_asked_to_look_at_the_usage_report_that_the_office_makes(shop: Shop) -> None:
    Bay.check_in(shop)
    day = date(2024, 7, 3)
    office, bay = (
        [ask.text for ask in asking(shop.establishment, day, who) if "usage report" in ask.text]
        for who in (shop.lee, shop.dev)
    )
    assert (len(office), bay) == (1, [])
