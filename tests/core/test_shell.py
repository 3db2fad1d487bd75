"""What an empty shell weighs, learned from empties."""

from __future__ import annotations

import pytest

from inventory.core.shell import STUDENT, learned, learned_answer, mean_and_deviation
from shop.core.findings import Weight
from shop.core.mass import grams


@pytest.mark.parametrize(
    ("weights", "mean", "deviation"),
    [
        # NIST Statistical Reference Datasets, univariate summary statistics, certified values:
        ([10000001, 10000003, 10000002], 10000002, 1),  # NumAcc1
        ([1.2, *[1.1, 1.3] * 500], 1.2, 0.1),  # NumAcc2
        ([1000000.2, *[1000000.1, 1000000.3] * 500], 1000000.2, 0.1),  # NumAcc3
    ],
)
def test_mean_and_deviation_are_those_of_the_certified_data(
    weights: list[float], mean: float, deviation: float
) -> None:
    assert mean_and_deviation(weights) == pytest.approx((mean, deviation), rel=1e-8)


@pytest.mark.parametrize(
    ("freedom", "t"),
    # NIST/SEMATECH e-Handbook 1.3.6.7.2, upper critical values, column 0.975
    [(2, 4.303), (4, 2.776), (9, 2.262), (19, 2.093), (29, 2.045)],
)
def test_students_t_is_that_of_the_table(freedom: int, t: float) -> None:
    assert STUDENT[freedom] == t


def test_two_empties_teach_nothing() -> None:
    weights = [grams("124"), grams("125")]
    assert learned(weights, grams(1)) is None
    answer = learned_answer(None, 2, grams(126), "estimated")
    assert answer.headline == "2 of 3 empties weighed."
    assert answer.numbers == (("Used now", "126.0 g, estimated"),)


def test_five_empties_give_the_mean_and_how_far_the_next_shell_may_lie() -> None:
    weights = [grams(one) for one in ("124", "125", "124", "125", "125")]
    found = learned(weights, grams(1))
    assert found is not None
    assert (found.number, found.mean) == (5, grams("124.6"))
    assert found.deviation == pytest.approx(0.5477, abs=1e-4)  # sqrt(1.2 / 4)
    assert found.give_or_take == 2  # 2.776 * 0.5477 * sqrt(1.2) = 1.67, upwards
    answer = learned_answer(found, 5, grams(126), "estimated")
    assert answer.headline == "5 empties weighed 124.6 g, give or take 2 g for one shell."
    assert answer.weight is Weight.NOTE


def test_equal_weights_on_a_coarse_scale_are_no_better_than_the_scale() -> None:
    found = learned([grams(125)] * 4, grams(5))
    assert found is not None
    assert found.give_or_take == 3  # 2 * 5 / sqrt(12) = 2.89, upwards


def test_only_the_newest_thirty_count() -> None:
    found = learned([grams(120)] * 30 + [grams(160)] * 10, grams(1))
    assert found is not None
    assert (found.number, found.mean) == (30, grams(120))


def test_empties_far_from_what_is_used_are_pointed_out() -> None:
    found = learned([grams(one) for one in ("140", "141", "140")], grams(1))
    assert learned_answer(found, 3, grams(126), "weighed empty").weight is Weight.WARNS
