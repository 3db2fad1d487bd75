"""Reminders by e-mail: what is due, in one letter a week at most, and nothing twice."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.core import mail
from django.core.management import call_command
from django.test import Client, override_settings

from compliance.models import Reminder
from compliance.queries.attention import asking
from compliance.queries.attention_office import Ask
from compliance.services.reminding import remind
from inventory.services import CountedIn, CountIn, record_count
from shop.core.findings import Refused
from shop.core.mass import Unit
from shop.models import BackupTrial
from shop.services import CheckIn, change_rule, log_backup_trial, log_check, send_reminders_to
from tests.compliance.work import Bay
from tests.factories import DAY, NOON, Shop, cans_of, reading, receive, ticket_in
from tests.pages import errors, send, text

ADDRESS = "marta@example.org"


@pytest.fixture
def reminded(shop: Shop) -> Shop:
    send_reminders_to(ADDRESS, shop.establishment, at=NOON, by=shop.marta)
    return shop


def run(shop: Shop, days: int) -> list[str]:
    """What a letter sent so many days later tells, by cause."""
    at = NOON + timedelta(days=days)
    return [one.cause for one in remind(shop.establishment, on=at.date(), at=at)]


def test_the_letter_tells_what_is_due_and_where(reminded: Shop) -> None:
    Bay.check_in(reminded)
    run(reminded, 4)

    (letter,) = mail.outbox
    assert letter.to == [ADDRESS]
    assert letter.subject.startswith("Copper Gulch Auto Repair: ")
    assert "J24-0001 is open for 4 days." in letter.body
    assert "/bay/J24-0001/" in letter.body
    assert "The cabinet was never counted." in letter.body
    assert "RE-1, RE-2: no equipment statement is on file." in letter.body
    assert "Scale SC-1 was last checked Jan 8 2024. Check it with the known weight." in letter.body
    assert "No backup was ever brought back to try it." in letter.body


def test_no_second_letter_within_a_week_and_nothing_twice(reminded: Shop) -> None:
    Bay.check_in(reminded)
    assert "job J24-0001 open 3 days" in run(reminded, 4)
    assert run(reminded, 10) == []  # a week is not over
    assert run(reminded, 11) == ["job J24-0001 open 7 days"]  # the rest was told
    assert run(reminded, 18) == ["job J24-0001 open 14 days"]
    assert run(reminded, 60) == ["monthly copy 2024-05"]
    assert len(mail.outbox) == 4


def test_what_was_done_and_is_due_again_is_told_again(reminded: Shop) -> None:
    first = [one for one in run(reminded, 0) if one.startswith("scale")]
    check = CheckIn(on=DAY, against="500 g weight", known=reading("500"), shown=reading("500"))
    log_check(reminded.scale, check, today=DAY, at=NOON, by=reminded.dev)
    assert not [one for one in run(reminded, 8) if one.startswith("scale")]
    again = [one for one in run(reminded, 40) if one.startswith("scale")]
    assert len(first) == len(again) == 1
    assert first != again


def test_a_count_ends_the_asking_for_one(reminded: Shop) -> None:
    can = cans_of(receive(reminded))[0]
    counted = CountIn(DAY, [CountedIn(can, "weighed", ticket_in(reminded, "466"))])
    record_count(counted, reminded.establishment, at=NOON, by=reminded.lee)
    assert not [one for one in run(reminded, 1) if one.startswith("count")]
    assert [one for one in run(reminded, 33) if one.startswith("count")]


def test_a_cylinder_is_told_before_its_requalification(reminded: Shop) -> None:
    """Stamped 11 22: by the shop's five years it is filled until November 30, 2027."""
    day = date(2027, 9, 2)
    at = NOON.replace(year=2027, month=9, day=2)
    assert any("RC-02 is to be requalified by Nov 30 2027." in one.text for one in asking_all(reminded, day))
    assert [one.cause for one in remind(reminded.establishment, on=day, at=at) if "RC-02" in one.cause] == [
        "requalification-soon RC-02 2027-11-30"
    ]


def asking_all(shop: Shop, day: date) -> list[Ask]:
    return list(asking(shop.establishment, day, shop.marta))


def test_a_shop_without_an_address_gets_none(shop: Shop) -> None:
    assert run(shop, 4) == []
    assert mail.outbox == []


def test_a_letter_that_does_not_go_out_is_tried_again(reminded: Shop) -> None:
    closed = {"EMAIL_BACKEND": "django.core.mail.backends.smtp.EmailBackend", "EMAIL_HOST": "127.0.0.1"}
    with override_settings(**closed, EMAIL_PORT=9), pytest.raises(ConnectionRefusedError):
        run(reminded, 0)
    assert not Reminder.objects.exists()
    assert run(reminded, 0)


def test_the_command_sends_for_every_shop(reminded: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("remind")
    assert f"reminders to {ADDRESS}." in capsys.readouterr().out
    assert len(mail.outbox) == 1


def test_the_owner_says_where_letters_go(shop: Shop, marta: Client) -> None:
    assert errors(send(marta, "/house/reminders/", reminders_to="marta at home"), "reminders_to") == [
        "“marta at home” is no e-mail address."
    ]
    send(marta, "/house/reminders/", reminders_to=ADDRESS)
    shop.establishment.refresh_from_db()
    assert shop.establishment.reminders_to == ADDRESS


def test_a_backup_that_was_tried_is_on_file(shop: Shop, marta: Client) -> None:
    assert "No backup was ever brought back" in text(marta.get("/"))
    answer = send(marta, "/house/backups/", on="2999-01-01", result="whole", note="June 30, office PC")
    assert errors(answer, "on")
    send(marta, "/house/backups/", on="2024-04-02", result="not whole", note="March 31, office PC")
    assert BackupTrial.objects.get().whole is False
    assert "The backup that was tried on Apr 2 2024 was not whole." in text(marta.get("/"))
    with pytest.raises(Refused, match="Say which backup"):
        log_backup_trial(shop.establishment, on=DAY, whole=True, note=" ", today=DAY, at=NOON, by=shop.marta)


# --- What a cylinder's requalification stops


@pytest.fixture
def past(shop: Shop) -> Shop:
    """RC-02 is stamped 11 22; under a rule of one year it was good until November 30, 2023."""
    rule = {"key": "cylinder_years", "value": "1", "basis": "our carrier asks for it"}
    change_rule(shop.establishment, **rule, from_day=DAY, today=DAY, at=NOON, by=shop.marta)
    return shop


def test_nothing_is_recovered_into_a_cylinder_past_its_day(past: Shop) -> None:
    with pytest.raises(Refused, match=r"RC-02 was to be requalified by Nov 30 2023\. Put nothing in"):
        Bay.check_in(past).recover()


def test_the_recovery_page_says_so_before(past: Shop, dev: Client) -> None:
    bay = Bay.check_in(past)
    assert "RC-02 was to be requalified by Nov 30 2023." in text(dev.get(f"/bay/{bay.job.number}/recovery/"))


def test_its_page_says_until_when_it_is_filled(shop: Shop, dev: Client) -> None:
    assert reading("17.1", Unit.LB).mass == shop.rc02.cylinder.tare
    assert "filled until Nov 30 2027 at the latest" in text(dev.get("/containers/RC-02/"))
