"""Final rows: nobody changes them, on either database."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import DatabaseError, connection, models, transaction

from inventory.core.importing import What
from inventory.core.money import Per
from inventory.models import (
    Attachment,
    Container,
    Delivery,
    Deposit,
    ReturnSlip,
    StockMark,
    TicketPutRight,
    TicketSetAside,
    WeighTicket,
)
from inventory.queries import in_the_cabinet
from inventory.services import (
    AirCheckIn,
    CountedIn,
    CountIn,
    CreditIn,
    CylinderSent,
    DamageIn,
    DepositIn,
    DisposalIn,
    FacilityIn,
    FoundIn,
    InvoiceIn,
    LineIn,
    MoveIn,
    PaperIn,
    PriceIn,
    ReceiptIn,
    RestIn,
    RestLineIn,
    ReturnIn,
    ShipmentIn,
    SwapIn,
    accept_found,
    add_credit,
    add_facility,
    add_invoice,
    add_slip,
    add_spot,
    attach_paper,
    check_for_air,
    close_months,
    dispose_of,
    drop_rest,
    end_hold,
    end_use,
    find_can,
    keep_earlier_paper,
    keep_for_next,
    leave_difference,
    log_receipt,
    mark_mixed,
    measure_hoses,
    move_containers,
    note_damage,
    print_labels,
    put_on_hold,
    receive_rest,
    record_count,
    return_cans,
    set_earlier_aside,
    settle_doubt,
    ship_cylinders,
    split_lot,
    swap_cans,
    undo_delivery,
    undo_import,
    weigh,
)
from shop.core.mass import grams
from shop.core.roles import Role
from shop.core.scopes import Scope
from shop.models import Card, Person
from shop.records import drop_guards, expected_triggers, final_models, install_guards, present_triggers
from shop.services import (
    CardIn,
    CheckIn,
    LeavingIn,
    ProgramKeyIn,
    add_card,
    add_card_image,
    change_owner,
    change_rule,
    end_authorisation,
    end_listener,
    end_program_key,
    end_quick_sign_on,
    end_station,
    issue_badge,
    leave_shop,
    log_backup_trial,
    log_check,
    make_program_key,
    make_station,
    mark_unreadable,
    name_buyer,
    name_officer,
    retire_equipment,
    send_again,
    set_pin,
)
from shop.services.papers import read_file
from tests.conftest import Keep
from tests.factories import (
    DAY,
    NOON,
    Shop,
    bring_in,
    cans_of,
    cylinder_holding,
    hoses_in,
    reading,
    receive,
    ticket_in,
)
from tests.shop.test_outgoing import letters_of_every_state

OURS = [model for model in final_models() if model._meta.app_label in ("shop", "inventory")]
REASONS = (
    "is final",
    "closed month",
)  # two guards may both be right; which one speaks first is the database's affair
every_record = pytest.mark.parametrize("model", OURS, ids=[model.__name__ for model in OURS])


@pytest.fixture(scope="module")
def all_written(keep: Keep, shop_of_all: Shop) -> None:
    keep(lambda: write_one_of_each(shop_of_all))


@pytest.fixture
def one_of_each(all_written: None, shop: Shop) -> Shop:
    """A shop in which every kind of final row of these two apps has been written at least once."""
    return shop


def write_one_of_each(shop: Shop) -> None:
    delivery = receive(shop, LineIn(shop.can12, 4, 3, damaged=1))
    cans = cans_of(delivery)
    paper_work(shop, delivery)
    undo_delivery(receive(shop, slip="88413"), why="typed twice", today=DAY, at=NOON, by=shop.marta)
    ticket = weigh(cans[0], ticket_in(shop, "295"), at=NOON, by=shop.dev)
    swap = SwapIn(cans[0], cans[2], ticket_in(shop, "466"), ticket_in(shop, "295"), "both stood open")
    swap_cans(swap, on=DAY, at=NOON, by=shop.dev)
    _put_right(shop, ticket)
    full = in_the_cabinet(shop.establishment).get(pk=cylinder_holding(shop, "RC-08", "5").pk)
    checked = AirCheckIn("79 psi", "75 °F", at_rest=True)
    check_for_air(full, checked, on=DAY, at=NOON, by=shop.dev)
    measure_hoses(hoses_in(shop, cans[0]), on=DAY, at=NOON, by=shop.dev)
    mark_mixed(shop.rc02, since=NOON, why="a mixed car", at=NOON, by=shop.dev)
    counted = CountIn(DAY, [CountedIn(cans[1], "sealed")], left_out=[(cans[2], "nobody looked")])
    record_count(counted, shop.establishment, at=NOON, by=shop.lee)
    _looked_into(shop, cans[1])
    _shipped(shop)
    _said_of_cans(shop)
    print_labels([cans[1]], "strip", shop.establishment, at=NOON, by=shop.lee)
    shelf = add_spot("top shelf", "shelf", shop.establishment, at=NOON, by=shop.lee)
    move_containers(MoveIn([cans[1]], shelf, at_once=True), at=NOON, by=shop.lee)
    rule = {"key": "hose_allowance_g", "value": "5", "basis": "weighed"}
    change_rule(shop.establishment, **rule, from_day=DAY, today=DAY, at=NOON, by=shop.marta)
    _people(shop)
    running = shop.rosa.authorisations.get()
    end_authorisation(running, last_day=DAY, may_sign_on=True, at=NOON, by=shop.marta)
    retire_equipment(shop.equipment["VP-1"], last_day=DAY, why="sold", at=NOON, by=shop.marta)
    close_months(shop.establishment, last_day=DAY, at=NOON, by=shop.marta)
    _signing_on(shop)
    _told(shop)


def _told(shop: Shop) -> None:
    """A program that took one letter and not another, was sent that again, and is told nothing any more."""
    listener = letters_of_every_state(shop)
    send_again(listener, None, at=NOON, by=shop.marta)
    end_listener(listener, at=NOON, by=shop.marta)
    refrigerant = shop.can12.refrigerant
    StockMark.objects.create(establishment=shop.establishment, refrigerant=refrigerant, low=True, at=NOON)


def _signing_on(shop: Shop) -> None:
    """A station, PINs and badges; and a backup that was tried."""
    key = ProgramKeyIn("label tablet", Role.OWNER, [Scope.BOOK_READ], 30)
    end_program_key(make_program_key(key, at=NOON, by=shop.marta)[0], at=NOON, by=shop.marta)
    end_station(make_station("Bay PC", shop.establishment, at=NOON, by=shop.marta)[0], at=NOON, by=shop.marta)
    set_pin("7305", at=NOON, by=shop.dev)
    issue_badge(at=NOON, by=shop.dev)
    end_quick_sign_on(shop.dev, at=NOON, by=shop.marta)
    log_backup_trial(
        shop.establishment, on=DAY, whole=True, note="June 30, office PC", today=DAY, at=NOON, by=shop.marta
    )


def _said_of_cans(shop: Shop) -> None:
    """A hold that ended, a heel that is kept, a can thrown away, one that was found."""
    emptied, kept = cans_of(receive(shop, LineIn(shop.can12, 2, 2), slip="88416"))
    put_on_hold(kept, why="smells of oil", at=NOON, by=shop.dev)
    end_hold(kept, why="wiped", at=NOON, by=shop.dev)
    weigh(kept, ticket_in(shop, "300"), at=NOON, by=shop.dev)
    keep_for_next(kept, at=NOON, by=shop.dev)
    end_use(emptied, "emptied", why="heel into RC-08", at=NOON, by=shop.dev)
    dispose_of([emptied], DisposalIn("scrap metal"), on=DAY, at=NOON, by=shop.dev)
    turned_up = FoundIn(shop.can12, "R-134a 12 oz", "bottom drawer", ticket_in(shop, "286"))
    found = find_can(turned_up, shop.establishment, on=DAY, at=NOON, by=shop.lee)
    accept_found(found, why="our own kind", at=NOON, by=shop.marta)


def _looked_into(shop: Shop, can: Container) -> None:
    """A difference that is left with a note, and a failed check that was decided about."""
    gone = CountIn(DAY, [CountedIn(can, "missing")])
    short = record_count(gone, shop.establishment, at=NOON + timedelta(hours=2), by=shop.lee)
    leave_difference(short, "R-134a", note="still looked for", at=NOON, by=shop.lee)
    off = CheckIn(DAY, "500 g weight", known=reading("500"), shown=reading("504"))
    failed = log_check(shop.scale, off, today=DAY, at=NOON, by=shop.dev)
    settle_doubt(failed, decided="sound", why="the zero had moved", at=NOON, by=shop.marta)


def _people(shop: Shop) -> None:
    """A card that was only seen, its copy that cannot be read, a buyer, an officer, another owner, a leaver."""
    seen = CardIn("Sample Program", "SAMPLE-1", DAY, "Lee Okonma", copy_due=DAY)
    card = add_card(shop.lee, seen, today=DAY, at=NOON, by=shop.marta)
    image = add_card_image(card, read_file(b"%PDF-1.7 %%EOF"), at=NOON, by=shop.lee)
    mark_unreadable(image, why="cut off", at=NOON, by=shop.lee)
    name_buyer(shop.lee, first_day=DAY, at=NOON, by=shop.marta)
    name_officer(shop.lee, title="Manager", first_day=DAY, at=NOON, by=shop.marta)
    change_owner(shop.marta, on=DAY, today=DAY, at=NOON, by=shop.marta)
    leave_shop(shop.lee, LeavingIn(DAY, at_once=False), today=DAY, at=NOON, by=shop.marta)


def _put_right(shop: Shop, ticket: WeighTicket) -> None:
    """A ticket that a correction slip put right, and that was set aside."""
    right = {"reading_text": "296", "reading_unit": "g", "gross": grams(296)}
    TicketPutRight.objects.create(ticket=ticket, slip="CS24-0002", **right, at=NOON, by=shop.marta)
    TicketSetAside.objects.create(ticket=ticket, at=NOON, by=shop.dev)


def _shipped(shop: Shop) -> None:
    """A cylinder sent to a facility, and the facility's receipt."""
    place = FacilityIn("Saltgrass Refrigerant Recovery", "9 Depot Lane, Other Springs")
    facility = add_facility(place, shop.establishment, today=DAY, at=NOON, by=shop.lee)
    one = CylinderSent(cylinder_holding(shop, "RC-09", "5"), ticket_in(shop, "10000"))
    leaving = ShipmentIn(facility, "reclaim", "own van", (one,), capped=True)
    sent = ship_cylinders(leaving, shop.establishment, on=DAY, at=NOON, by=shop.lee)
    log_receipt(sent, ReceiptIn("T-1", DAY, {"RC-09": reading("2240")}), today=DAY, at=NOON, by=shop.lee)


def paper_work(shop: Shop, delivery: Delivery) -> None:
    """A bill with everything on it, a crushed can sent back, a slip in parts, a second slip, a scan; and a list of
    cars brought in and taken back."""
    cars = bring_in(shop, What.VEHICLES, "plate,vin,make\nSMP-9,,van\n")
    undo_import(cars, "the wrong list", today=DAY, at=NOON, by=shop.marta)
    signed: dict[str, Any] = {"at": NOON, "by": shop.lee}
    price, deposit = PriceIn(delivery.lines.get(), 4, 1710, Per.CAN), DepositIn(Deposit.Kind.CORE, 300)
    bill = InvoiceIn("550917", DAY, 64218, prices=(price,), deposits=(deposit,))
    add_invoice(delivery, bill, today=DAY, **signed)
    crushed = Container.objects.get(delivered__sound=False)
    note_damage(crushed, DamageIn("crushed", "outside", ticket_in(shop, "402")), today=DAY, **signed)
    sent = ReturnIn((crushed,), DAY, ReturnSlip.To.SUPPLIER, "the driver", "crushed")
    slip = return_cans(delivery, sent, today=DAY, **signed)
    add_credit(slip, CreditIn("CR-7", DAY, 1710), today=DAY, **signed)
    short = receive(shop, LineIn(shop.can8, 3, 1), slip="88414")
    receive_rest(short, RestIn(DAY, (RestLineIn(short.lines.get(), 1),)), today=DAY, **signed)
    drop_rest(short.lines.get(), why="out of stock", **signed)
    split_lot(short, cans_of(short), "C26A", **signed)
    add_slip(short, "88415", **signed)
    earlier = PaperIn(Attachment.Media.PDF, b"%PDF-1.7 an old page %%EOF")
    old = keep_earlier_paper(earlier, DAY, "clipboard page", shop.establishment, today=DAY, **signed)
    set_earlier_aside(old, "of another shop", **signed)
    attach_paper(short, PaperIn(Attachment.Media.PDF, b"%PDF-1.7 %%EOF"), Attachment.What.SLIP, **signed)


def refused(sql: str) -> str:
    """The database's own words on refusing this statement."""
    with pytest.raises(DatabaseError) as error, transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql)
    return str(error.value)


def columns_of(model: type[models.Model]) -> tuple[str, str]:
    """(all columns, the key's column), quoted."""
    quote = connection.ops.quote_name
    names = ", ".join(quote(str(field.column)) for field in model._meta.concrete_fields)
    return names, quote(str(model._meta.pk.column))


@every_record
def test_every_kind_of_final_row_is_written_in_these_tests(
    one_of_each: Shop, model: type[models.Model]
) -> None:
    assert model._default_manager.exists()


@every_record
def test_no_row_is_updated(one_of_each: Shop, model: type[models.Model]) -> None:
    _, key = columns_of(model)

    assert "is final: no update" in refused(f"UPDATE {model._meta.db_table} SET {key} = {key}")


@every_record
def test_no_row_is_deleted(one_of_each: Shop, model: type[models.Model]) -> None:
    before = model._default_manager.count()

    assert "is final: no delete" in refused(f"DELETE FROM {model._meta.db_table}")
    assert model._default_manager.count() == before


@every_record
def test_no_row_goes_by_the_engines_own_short_way(one_of_each: Shop, model: type[models.Model]) -> None:
    """SQLite's INSERT OR REPLACE deletes the old row on the quiet, PostgreSQL's TRUNCATE all of them."""
    columns, _ = columns_of(model)
    table = model._meta.db_table
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute(
                "SET CONSTRAINTS ALL IMMEDIATE"
            )  # or it refuses for keys that are still to be checked
        assert "is final: no truncate" in refused(f"TRUNCATE {table} CASCADE")
    else:
        words = refused(f"INSERT OR REPLACE INTO {table} ({columns}) SELECT {columns} FROM {table} LIMIT 1")
        assert any(reason in words for reason in REASONS)


@every_record
def test_no_row_is_changed_by_an_upsert(one_of_each: Shop, model: type[models.Model]) -> None:
    columns, key = columns_of(model)
    table = model._meta.db_table
    upsert = f" ON CONFLICT ({key}) DO UPDATE SET {key} = excluded.{key}"

    words = refused(
        f"INSERT INTO {table} ({columns}) SELECT {columns} FROM {table} WHERE true LIMIT 1{upsert}"
    )
    assert any(reason in words for reason in REASONS)


def test_the_orm_cannot_change_a_record_either(one_of_each: Shop) -> None:
    card = Card.objects.get(number="SAMPLE-7741")
    card.number = "SAMPLE-7742"

    for change in (
        card.save,
        lambda: Card.objects.update(number="x"),
        lambda: Card.objects.all()._raw_delete("default"),
    ):
        with pytest.raises(DatabaseError, match="is final"), transaction.atomic():
            change()
    assert Card.objects.get(pk=card.pk).number == "SAMPLE-7741"


def test_a_person_with_records_is_not_deleted(shop: Shop) -> None:
    with pytest.raises(models.ProtectedError):
        Person.objects.filter(pk=shop.dev.pk).delete()


def test_every_trigger_stands_in_a_migrated_database(db: None) -> None:
    assert expected_triggers(connection.vendor) <= present_triggers(connection)


@pytest.mark.parametrize("way", ["DROP", "DISABLE"])
def test_a_trigger_that_is_gone_or_off_is_noticed(db: None, way: str) -> None:
    on_sqlite = connection.vendor == "sqlite"  # which knows no switching off: there both ways are the same
    name = "shop_card_no_update" if on_sqlite else "shop_card_no_change"
    statement = f"DROP TRIGGER {name}"
    if not on_sqlite:
        statement = (
            f"DROP TRIGGER {name} ON shop_card"
            if way == "DROP"
            else f"ALTER TABLE shop_card DISABLE TRIGGER {name}"
        )
    with connection.cursor() as cursor:
        cursor.execute(statement)

    assert expected_triggers(connection.vendor) - present_triggers(connection) == {name}


def test_the_guards_go_up_as_often_as_asked(db: None) -> None:
    install_guards()
    install_guards()

    assert expected_triggers(connection.vendor) <= present_triggers(connection)


def test_the_guards_come_back_after_they_were_all_dropped(db: None) -> None:
    drop_guards()
    assert not expected_triggers(connection.vendor) & present_triggers(connection)

    install_guards()

    assert expected_triggers(connection.vendor) <= present_triggers(connection)
