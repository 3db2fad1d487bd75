"""When an entry that waited on a phone was made: the phone's clock is believed only as far as it can be true."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from shop.core.said import DRIFT, Doubt, ahead_of, instant_of, settle

TEN = datetime(2026, 7, 14, 16, 0, tzinfo=UTC)
NOON = TEN + timedelta(hours=2)


def minutes(number: float) -> timedelta:
    return timedelta(minutes=number)


@pytest.mark.parametrize(
    ("typed", "ahead", "counts", "doubt"),
    [
        # typed at, phone ahead of the shop, what counts, why not (in minutes after ten; noon is 120)
        (112, 0, 112, Doubt.NONE),
        (112, None, 112, Doubt.NONE),
        (149, 37, 112, Doubt.NONE),  # the clock is 37 minutes fast, and known to be
        (75, -37, 112, Doubt.NONE),
        (149, None, 120, Doubt.AFTER_RECEIPT),
        (121, 0, 120, Doubt.NONE),  # a little late is the receipt
        (122, 0, 120, Doubt.NONE),
        (122.1, 0, 120, Doubt.AFTER_RECEIPT),
        (0, 0, 0, Doubt.NONE),
        (-0.1, 0, 120, Doubt.OUT_OF_ORDER),
        (20, 37, 120, Doubt.OUT_OF_ORDER),  # put right it lies before ten
    ],
)
def test_the_time_that_counts(typed: float, ahead: float | None, counts: float, doubt: Doubt) -> None:
    said = settle(
        TEN + minutes(typed), None if ahead is None else minutes(ahead), received=NOON, not_before=TEN
    )
    assert (said.at, said.doubt) == (TEN + minutes(counts), doubt)
    assert said.typed_at == TEN + minutes(typed)  # what the phone said is kept either way


def test_a_clock_is_far_off_beyond_the_drift_only() -> None:
    near = settle(NOON, DRIFT, received=NOON, not_before=TEN)
    far = settle(NOON, DRIFT + minutes(0.1), received=NOON, not_before=TEN)
    assert (near.clock_far_off, far.clock_far_off) == (False, True)


def test_a_time_that_cannot_be_read_leaves_the_receipt() -> None:
    said = settle(None, minutes(3), received=NOON, not_before=TEN)
    assert (said.at, said.typed_at, said.doubt) == (NOON, None, Doubt.UNREADABLE)


@pytest.mark.parametrize(
    "text",
    ["", "noon", "2026-07-14", "2026-07-14T11:52:07", "9999-12-31T23:59:59-12:00", "\0", "2026-13-01T00:00Z"],
)
def test_only_an_instant_with_its_zone_is_an_instant(text: str) -> None:
    assert instant_of(text) is None


def test_an_instant_is_read_in_its_own_zone() -> None:
    assert instant_of("2026-07-14T11:52:07.250-06:00") == datetime(
        2026, 7, 14, 17, 52, 7, 250_000, tzinfo=UTC
    )


@pytest.mark.parametrize(
    ("text", "known"), [("2220000", minutes(37)), ("-500", timedelta(seconds=-0.5)), ("0", timedelta())]
)
def test_how_far_a_clock_is_ahead(text: str, known: timedelta) -> None:
    assert ahead_of(text) == known


@pytest.mark.parametrize("text", ["", "soon", "1.5", "--3", "٣", "99999999999999", "123456789012345678"])
def test_what_says_nothing_about_a_clock(text: str) -> None:
    assert ahead_of(text) is None
