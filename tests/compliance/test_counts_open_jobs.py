"""A count while a job is open: what hangs on a car is asked about first, and is counted like with like or left out."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client

from compliance.queries.waiting import waiting_for_jobs
from compliance.services import count_cabinet
from inventory.core.weighing import Style
from inventory.models import Container, Count, CountLeftOut, CountLine, SpokenFor
from inventory.services import CountedIn, CountIn, record_count
from shop.core.findings import Refused
from shop.core.mass import ZERO, grams
from tests.compliance.work import Bay, Moment
from tests.factories import DAY, Shop, book_of, cylinder_holding
from tests.pages import errors, send, text

NEW = "/counts/new/"
LAST = CountLine.How.LAST_TICKET


def charged(bay: Bay, cans: list[Container]) -> Bay:
    """The sample job up to its closing: K-0001 from 466 to 128 g and empty, K-0002 from 464 to 293 g; 210 g into
    RC-07, which held 5 lb and weighs 22.1 lb (10,024.391377 g)."""
    bay.recover("10024", "10234", cylinder_holding(bay.shop, "RC-07", "5"))
    bay.leak_check()
    bay.evacuate()
    bay.draw(cans[0], "466", "128", emptied=True)
    bay.draw(cans[1], "464", "293")
    bay.keep_charge()
    bay.finals()
    return bay


def rc07() -> Container:
    return Container.objects.get(pk="RC-07")


def count_at_last(bay: Bay, *containers: Container) -> Count:
    counted = CountIn(DAY, [CountedIn(one, LAST) for one in containers])
    return count_cabinet(counted, bay.shop.establishment, at=bay.later(), by=bay.shop.marta)


def test_a_can_at_its_last_ticket_is_counted_against_what_the_book_will_have(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    """K-0002: label 340, drawn 464 - 293 = 171, so 169 expected; 293 - 126 = 167 is in it: 2 g short of the label.
    K-0001 was emptied: its closing brings it to 128 - 126 = 2 g, whatever its label said. RC-07 took 210 g."""
    charged(bay, cans)
    lines = {line.container_id: line for line in count_at_last(bay, cans[0], cans[1], rc07()).lines.all()}

    assert (lines["K-0001"].expected, lines["K-0001"].found) == (grams(2), grams(2))
    assert (lines["K-0002"].expected, lines["K-0002"].found) == (grams(169), grams(167))
    # 5 lb are 2,267.96185 g by the book; 10,234 g less 17.1 lb (7,756.429527 g) is 2,477.570473 g in it
    assert lines["RC-07"].expected == grams("2477.96185")
    assert lines["RC-07"].found == grams("2477.570473")


def test_when_the_job_closes_the_book_has_what_the_count_found(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    charged(bay, cans)
    count_at_last(bay, cans[0], cans[1], rc07())
    bay.close()

    held = book_of(shop)
    assert (held["K-0001"], held["K-0002"]) == (grams(2), grams(167))
    assert held["RC-07"] == grams("2477.570473")


def test_a_cylinder_with_nothing_in_its_book_yet_can_only_wait(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    """7,966 g less 17.1 lb is 209.57 g, 0.43 g short of what was recovered; the book has no gram to take it from."""
    bay.up_to_charge()

    assert waiting_for_jobs(shop.establishment)["RC-02"].why_not.startswith("until then its book has less")


def test_a_can_that_hangs_on_the_car_half_used_is_counted_at_the_ticket_it_went_on_with(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "464", Moment.BEFORE)
    line = count_at_last(bay, cans[0]).lines.get()
    assert (line.expected, line.found, line.difference) == (grams(340), grams(338), grams(-2))

    bay.weigh(cans[0], "164")
    line_later = waiting_for_jobs(shop.establishment)["K-0001"]
    # 338 by the book now, 300 drawn since: 38 expected, and 164 - 126 = 38 is in it
    assert (
        line_later.expected(book_of(shop)["K-0001"], grams(126)) == line_later.found(grams(126)) == grams(38)
    )


def test_a_can_weighed_with_its_tap_can_only_wait(bay: Bay, shop: Shop, cans: list[Container]) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "584", Moment.BEFORE, style=Style.TAP)

    assert waiting_for_jobs(shop.establishment)["K-0001"].why_not == "its last ticket is not of the bare can"
    with pytest.raises(Refused, match="K-0001 cannot be counted at a job's last ticket"):
        count_at_last(bay, cans[0])


def test_a_can_that_gave_more_than_its_book_can_only_wait(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    """470 to 126 g is 344 g out of a can of 340 g by its label: the closing books 4 g of fill, not the count."""
    bay.up_to_charge()
    bay.draw(cans[0], "470", "126")

    waiting = waiting_for_jobs(shop.establishment)["K-0001"]
    assert (waiting.change, waiting.settled) == (grams(-344), False)
    assert waiting.why_not.startswith("it gave more than the book had in it")


def test_a_can_drawn_on_by_two_open_jobs_is_counted_after_both(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    bay.draw(cans[0], "466", "366")
    second = Bay.check_in(shop, by=shop.rosa, plate="SMP-999", at=bay.clock)
    second.draw(cans[0], "366", "266")
    line = count_at_last(second, cans[0]).lines.get()

    assert (line.expected, line.found) == (grams(140), grams(140))


def test_a_holder_that_is_no_open_job_leaves_its_container_out(
    shop: Shop, cans: list[Container], bay: Bay
) -> None:
    SpokenFor.objects.create(container=cans[0], holder="J24-0999")

    assert waiting_for_jobs(shop.establishment) == {}
    with pytest.raises(Refused, match="cannot be counted"):
        count_at_last(bay, cans[0])


def test_without_what_the_jobs_say_no_last_ticket_is_believed(
    bay: Bay, shop: Shop, cans: list[Container]
) -> None:
    charged(bay, cans)
    with pytest.raises(Refused, match="K-0002 cannot be counted"):
        record_count(
            CountIn(DAY, [CountedIn(cans[1], LAST)]), shop.establishment, at=bay.later(), by=shop.marta
        )


# --- The page


def test_the_page_begins_with_what_hangs_on_a_car(
    bay: Bay, shop: Shop, cans: list[Container], lee: Client
) -> None:
    bay.up_to_charge()
    bay.draw(cans[1], "464", "293")
    bay.weigh(cans[0], "466", Moment.BEFORE)
    words = text(lee.get(NEW))

    first = words.index("K-0001, on a car with J24-0001")
    assert first < words.index("K-0002, weighed by J24-0001") < words.index("Sealed cans")
    assert "Count it at its last ticket: 466 g" in words


def test_a_count_is_not_signed_before_it_says_what_it_does_with_a_moving_can(
    bay: Bay, shop: Shop, cans: list[Container], lee: Client
) -> None:
    bay.up_to_charge()
    bay.weigh(cans[0], "466", Moment.BEFORE)
    answers = {"all_lot_0": "on", "rest": "leave out"}

    response = send(lee, NEW, do="sign", **answers)
    assert errors(response, "moving_K-0001") == ["Say whether it waits, or is counted at its last ticket."]
    assert not Count.objects.exists()

    answers |= {"moving_K-0001": "wait", "version": "1"}  # the page that came back carries what was kept
    page = text(lee.get(send(lee, NEW, do="sign", **answers)["Location"]))
    assert "Left out of this count" in page
    left = dict(CountLeftOut.objects.values_list("container_id", "why"))
    assert left == {
        "K-0001": "waits for J24-0001 to close",
        "RC-02": "waits for J24-0001 to close: until then its book has less than the scale lacks",
        "RC-05": "no tick and no weight",
    }


def test_the_page_counts_at_the_last_ticket(bay: Bay, shop: Shop, cans: list[Container], lee: Client) -> None:
    charged(bay, cans)
    answers = {"all_lot_0": "on", "rest": "leave out"}
    moving = {f"moving_{code}": "last ticket" for code in ("K-0001", "K-0002", "RC-07")}
    page = text(lee.get(send(lee, NEW, do="sign", **answers, **moving)["Location"]))

    assert "K-0002 At its last ticket −2 g" in page
    assert Count.objects.get().lines.get(container="K-0001").difference == ZERO


def test_what_closed_between_the_page_and_the_signature_is_asked_again(
    bay: Bay, shop: Shop, cans: list[Container], lee: Client
) -> None:
    charged(bay, cans).close()
    response = send(
        lee, NEW, do="sign", rest="leave out", **{"moving_K-0002": "last ticket", "all_lot_0": "on"}
    )

    assert response.status_code == 302  # the closed job's can is an open can now, without a weight: left out
    assert "K-0002" in CountLeftOut.objects.values_list("container_id", flat=True)


def test_the_second_count_of_a_refrigerant_within_the_hour_is_refused(
    bay: Bay, shop: Shop, cans: list[Container], lee: Client
) -> None:
    send(lee, NEW, do="sign", all_lot_0="on", rest="leave out")
    response = send(lee, NEW, do="sign", all_lot_0="on", rest="leave out")

    assert "R-134a was counted at" in errors(response)[0]
    assert Count.objects.count() == 1
    later = CountIn(DAY, [CountedIn(cans[3], CountLine.How.SEALED)])
    at = Count.objects.get().at + timedelta(minutes=60)
    assert record_count(later, shop.establishment, at=at, by=shop.lee).pk
