"""Receive, and the pages of a delivery."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from inventory.models import Container, Delivery, Entry, Fate, Invoice, Movement
from inventory.queries import shelves
from inventory.services import InvoiceIn, LineIn, add_invoice
from shop.core.mass import grams
from tests.conftest import SignOn
from tests.factories import DAY, NOON, Shop, make_establishment, make_owner, receive
from tests.inventory.slips import NEW, counted_up, put_in, slip
from tests.pages import errors, said, send, text

# --- Who may


@pytest.mark.parametrize("who", ["lee", "marta"])
def test_the_front_office_and_the_owner_receive(shop: Shop, sign_on: SignOn, who: str) -> None:
    assert sign_on(getattr(shop, who)).get(NEW).status_code == 200


def test_a_technician_does_not_receive(shop: Shop, dev: Client) -> None:
    assert dev.get(NEW).status_code == 403
    assert send(dev, NEW, do="save", **slip(shop)).status_code == 403
    assert not Delivery.objects.exists()


@pytest.mark.parametrize("who", ["lee", "dev"])
def test_only_the_owner_undoes_a_delivery(shop: Shop, sign_on: SignOn, who: str) -> None:
    url = reverse("deliveries:undo", args=[receive(shop).number])

    assert sign_on(getattr(shop, who)).get(url).status_code == 403
    assert send(sign_on(getattr(shop, who)), url, why="typed twice").status_code == 403
    assert "Undo this delivery" not in text(sign_on(getattr(shop, who)).get(url.removesuffix("undo/")))


def test_prices_never_appear_to_technicians(shop: Shop, lee: Client, dev: Client) -> None:
    delivery = receive(shop)
    invoice = InvoiceIn("550917", DAY, 64218)
    add_invoice(delivery, invoice, today=DAY, at=NOON, by=shop.lee)
    page = reverse("deliveries:page", args=[delivery.number])

    assert "$642.18" in text(lee.get(page))
    for url in (page, "/deliveries/"):
        seen = text(dev.get(url))
        assert "$" not in seen
        assert "550917" not in seen
        assert "nvoice" not in seen
    assert dev.get(f"{page}invoice/").status_code == 403


def test_a_delivery_of_another_shop_is_not_there(shop: Shop, sign_on: SignOn) -> None:
    delivery = receive(shop)
    other = sign_on(make_owner(make_establishment("Sample Garage"), "Otto Binder"))

    assert other.get(reverse("deliveries:page", args=[delivery.number])).status_code == 404
    assert delivery.number not in text(other.get("/deliveries/"))


# --- Empty states


def test_an_empty_list_says_the_one_thing_to_do(shop: Shop, lee: Client, dev: Client) -> None:
    assert "Receive the first one" in text(lee.get("/deliveries/"))
    assert "The front office receives the first one." in text(dev.get("/deliveries/"))


# --- Receiving


def test_three_cases_are_shown_as_36_cans_before_anything_is_saved(shop: Shop, lee: Client) -> None:
    # 36 x 340 g = 12,240 g; / 28.349523125 = 431.75 oz.
    page = text(counted_up(lee, slip(shop)))

    assert "3 cases = 36 cans 12,240 g 431.8 oz by label, 36 sound" in page
    assert not Delivery.objects.exists()


def test_what_was_counted_up_goes_in_the_cabinet(shop: Shop, lee: Client) -> None:
    page = lee.get(put_in(lee, slip(shop))["Location"])

    assert said(page) == ["In the cabinet: 36 cans, K-0001 to K-0036."]
    [shelf] = [shelf for shelf in shelves(shop.establishment) if shelf.refrigerant == "R-134a"]
    assert (shelf.sealed, shelf.open, shelf.in_cans) == (36, 0, grams(12240))


def test_nothing_is_saved_that_was_not_shown_first(shop: Shop, lee: Client) -> None:
    unseen = send(lee, NEW, do="save", **slip(shop))
    changed = send(lee, NEW, do="save", counted=f"{shop.can12.pk}:36:36:0", **slip(shop, cases_0="30"))

    assert "3 cases = 36 cans" in text(unseen)
    assert "30 cases = 360 cans" in text(changed)
    assert not Delivery.objects.exists()


def test_a_scanners_enter_counts_up_and_saves_nothing(shop: Shop, lee: Client) -> None:
    """Enter presses the first button of the form."""
    page = lee.get(NEW).content.decode()

    assert page.index('value="count"') < page.index('value="more"')
    assert 'value="save"' not in page


def test_one_crushed_can_gets_a_number_and_is_refused(shop: Shop, lee: Client) -> None:
    put_in(lee, slip(shop, damaged_0="1"))

    assert Container.objects.filter(kind="can").count() == 36
    refused = Fate.objects.get()
    assert (refused.container.code, refused.what) == ("K-0036", Fate.What.REFUSED)
    assert not Movement.objects.filter(target=refused.container_id).exists()
    assert "Refused, damaged on delivery" in text(lee.get("/containers/K-0036/"))


def test_a_refused_can_is_not_in_the_cabinet(shop: Shop, lee: Client) -> None:
    put_in(lee, slip(shop, damaged_0="1"))
    [shelf] = [shelf for shelf in shelves(shop.establishment) if shelf.refrigerant == "R-134a"]

    assert "K-0036" not in [can.code for can in shelf.cans]


def test_a_back_ordered_case_stays_to_come(shop: Shop, lee: Client) -> None:
    page = text(counted_up(lee, slip(shop, sound_0="24")))
    put_in(lee, slip(shop, sound_0="24"))

    assert "24 sound, 12 to come" in page
    assert "To come 12 × R-134a 12-oz can, Sample Parts Supply." in text(lee.get("/cabinet/"))


def test_one_lot_stands_for_all_cans(shop: Shop, lee: Client) -> None:
    put_in(lee, slip(shop, lots_0="L24B-07"))

    assert Container.objects.filter(lot="L24B-07").count() == 36


def test_a_mixed_case_is_split_into_its_lots(shop: Shop, lee: Client) -> None:
    put_in(lee, slip(shop, lots_0="L24B-07 x 20, L25A x 10"))

    assert Container.objects.filter(lot="L24B-07").count() == 20
    assert Container.objects.filter(lot="L25A").count() == 10
    assert Container.objects.filter(lot="", kind="can").count() == 6


def test_two_kinds_on_one_slip_make_one_delivery(shop: Shop, lee: Client) -> None:
    more = send(lee, NEW, do="more", **slip(shop))
    assert more.context["form"].count == 2
    put_in(lee, slip(shop, rows="2", type_1=shop.can8.pk, cans_1="5"))

    delivery = Delivery.objects.get()
    assert [(line.type, line.sound) for line in delivery.lines.all()] == [(shop.can12, 36), (shop.can8, 5)]
    assert Entry.objects.filter(delivery=delivery).count() == 1


def test_a_form_has_no_more_rows_than_a_slip_needs(shop: Shop, lee: Client) -> None:
    for rows in ("99999", "-3", "many", ""):
        assert 1 <= send(lee, NEW, do="more", **slip(shop, rows=rows)).context["form"].count <= 12


def test_the_usual_supplier_and_kind_are_there_already(shop: Shop, lee: Client) -> None:
    receive(shop, LineIn(shop.can8, 4, 4))
    form = lee.get(NEW).context["form"]

    assert form["supplier"].value() == shop.supplier.pk
    assert form["type_0"].value() == shop.can8.pk
    assert form["on"].value() == timezone.localdate()


def test_small_cans_never_wait_for_a_card(shop: Shop, lee: Client) -> None:
    assert "A record of what happened, never a condition" in text(lee.get(NEW))
    put_in(lee, slip(shop, asked="card shown", asked_of="Dev Larkin"))

    assert "Asked: a 609 card was shown: Dev Larkin" in text(
        lee.get(f"/deliveries/{Delivery.objects.get().number}/")
    )


def test_the_invoice_may_come_along(shop: Shop, lee: Client) -> None:
    put_in(
        lee,
        slip(shop, number="550917", dated=timezone.localdate().isoformat(), total="$1,642.18"),
    )

    assert Invoice.objects.get().total_cents == 164218


def test_an_invoice_that_is_wrong_keeps_the_cans_out_too(shop: Shop, lee: Client) -> None:
    tomorrow = (timezone.localdate() + timedelta(days=2)).isoformat()
    response = put_in(lee, slip(shop, number="550917", dated=tomorrow, total="642.18"))

    assert errors(response, "dated") == ["That day has not come yet."]
    assert not Delivery.objects.exists()
    assert not Container.objects.filter(kind="can").exists()


@pytest.mark.parametrize("missing", ["number", "dated", "total"])
def test_an_invoice_now_needs_all_of_it(shop: Shop, lee: Client, missing: str) -> None:
    invoice = {"number": "550917", "dated": "2024-04-02", "total": "642.18"} | {missing: ""}

    assert errors(put_in(lee, slip(shop, **invoice)), missing)
