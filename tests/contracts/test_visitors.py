"""What a visitor's pass opens: named one by one, closed to everybody without a pass, and no way into another shop."""

from __future__ import annotations

from django.test import Client

from shop.core.roles import Role
from tests.compliance.office import a_visit
from tests.conftest import SignOn
from tests.contracts.roles_table import PUBLIC, VISITOR
from tests.contracts.test_roles import addresses, roles_of
from tests.factories import Shop, make_establishment, make_owner


def test_the_addresses_of_a_visitors_pass_are_these_and_each_asks_for_it() -> None:
    asking = {name for name, one in addresses() if hasattr(one.callback, "for_visitors")}

    assert asking == VISITOR
    assert VISITOR.isdisjoint(PUBLIC)


def test_no_role_opens_them() -> None:
    opened = {role for name, one in addresses() if name in VISITOR for role in roles_of(one)}

    assert opened.isdisjoint(Role)


def test_without_a_pass_they_open_nothing_whoever_is_signed_on(
    shop: Shop, sign_on: SignOn, client: Client
) -> None:
    closed = ("/visitor/", "/visitor/enter/abc/", "/visitor/jobs/", "/visitor/certificate/C24-0001/")

    for who in (client, sign_on(shop.marta), sign_on(shop.dev)):
        assert [who.get(address).status_code for address in closed] == [403] * 4


def test_another_shops_visits_are_nowhere_to_be_found(shop: Shop, sign_on: SignOn) -> None:
    visit, visitors, _ = a_visit(shop)
    stranger = sign_on(make_owner(make_establishment("Red Mesa Auto"), "Otis Vale"))

    for end in ("", "pdf/", "shown/", "pass/"):
        assert stranger.get(f"/visits/{visit.number}/{end}").status_code == 404
    assert stranger.get(f"/visits/pass/{visitors.pk}/end/").status_code == 404
