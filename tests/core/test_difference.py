"""What a difference is made of: four closures that do not lean on each other, and a chart that sees small drifts."""

from __future__ import annotations

import random
from itertools import takewhile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.core.difference import (
    can_closure,
    count_closure,
    cusum,
    job_closure,
    period_u,
    shelf_continuity,
)
from tests.core.run_lengths import average_run_length

values = st.lists(st.floats(-5, 5), max_size=60)


def test_a_missing_can_is_far_beyond_any_spread_of_fill() -> None:
    # Hand-worked: one 8 oz can of 227 g against a spread of 2 g
    closure = count_closure(12, 11, 227.0)
    assert (closure.residual_g, closure.u_g) == (-227.0, 2.0)
    assert closure.score < -10


def test_two_missing_cans_are_less_sure_than_one() -> None:
    # Hand-worked: 2 x root of 2
    closure = count_closure(12, 14, 227.0)
    assert closure.residual_g == 454.0
    assert closure.u_g == pytest.approx(2.828, abs=1e-3)


def test_a_count_that_agrees_has_no_difference() -> None:
    closure = count_closure(12, 12, 227.0)
    assert (closure.residual_g, closure.score) == (0.0, 0.0)


def test_a_can_that_lost_eight_grams_on_the_shelf_stands_out() -> None:
    # Hand-worked: 285 - 293 = -8, u = 1/root 6 = 0.408, score -19.6
    closure = shelf_continuity(293.0, 285.0, 1.0)
    assert closure.residual_g == -8.0
    assert closure.score == pytest.approx(-19.6, abs=0.01)


def test_an_emptied_can_is_held_against_its_label() -> None:
    # Hand-worked: 466 - 128 - 340 = -2, u = root of 0.408 squared + 2 squared = 2.041
    closure = can_closure(466.0, 128.0, 340.0, 1.0)
    assert closure.residual_g == -2.0
    assert closure.u_g == pytest.approx(2.0412, abs=1e-4)


def test_a_job_booked_at_the_label_charge_stands_out_from_its_tickets() -> None:
    # Hand-worked: 500 booked, 509 weighed, two cans at 1 g: u = root of 2/6 = 0.577
    closure = job_closure(500.0, 509.0, 1.0, 2)
    assert closure.residual_g == -9.0
    assert closure.u_g == pytest.approx(0.577, abs=1e-3)
    assert abs(closure.score) > 10
    assert job_closure(338.0, 338.0, 1.0, 1).u_g == pytest.approx(0.408, abs=1e-3)


def test_the_parts_of_a_period_s_uncertainty() -> None:
    # Published parts (computed): fill 9.38, gain 8.50, resolution 5.43, part cans 1.83
    nothing = {"cans_opened": 0, "draws": 0, "part_cans": 0, "gain_half_width": 0.0, "gain_base_g": 0.0}
    d = 2.8349523125

    def part(**these: float) -> float:
        return period_u(**{**nothing, **these}, division_g=d)  # type: ignore[arg-type]

    assert part(cans_opened=22) == pytest.approx(9.38, abs=0.005)
    assert part(gain_half_width=0.003, gain_base_g=4905.0) == pytest.approx(8.50, abs=0.005)
    assert part(draws=22) == pytest.approx(5.43, abs=0.005)
    assert part(part_cans=5) == pytest.approx(1.83, abs=0.005)


def test_unknown_shells_of_part_cans_add_to_the_uncertainty() -> None:
    # Hand-worked: 3 part cans, d = 1 g, shells give or take 4 g: root of 3 x (1/12 + 16/3) = 4.031
    u = period_u(
        cans_opened=0,
        draws=0,
        division_g=1.0,
        part_cans=3,
        gain_half_width=0.0,
        gain_base_g=0.0,
        shell_spread_g=4.0,
    )
    assert u == pytest.approx(4.031, abs=1e-3)


def test_the_chart_alarms_on_a_steady_drift_and_not_before() -> None:
    # Hand-worked: scores of 2, k = 0.5, h = 5: sums 1.5, 3.0, 4.5, 6.0
    points = cusum([2.0] * 4)
    assert [point.upper for point in points] == [1.5, 3.0, 4.5, 6.0]
    assert [point.alarm for point in points] == [False, False, False, True]


def test_the_chart_is_quiet_on_the_limit_itself() -> None:
    # Hand-worked: 3 - 0.5 = 2.5, and again: 5.0, which is h and not over it
    for sign in (1, -1):
        assert [point.alarm for point in cusum([3.0 * sign, 3.0 * sign])] == [False, False]


def test_the_chart_forgets_a_single_odd_value() -> None:
    points = cusum([4.0, *[0.0] * 8])
    assert not any(point.alarm for point in points)
    assert points[-1].upper == 0.0


@given(values)
def test_over_and_under_are_charted_alike(some: list[float]) -> None:
    mirrored = cusum([-value for value in some])
    assert [(point.upper, point.lower) for point in cusum(some)] == [
        (point.lower, point.upper) for point in mirrored
    ]


@given(values)
def test_a_chart_has_a_point_for_every_value_and_none_below_nothing(some: list[float]) -> None:
    points = cusum(some)
    assert len(points) == len(some)
    assert all(point.upper >= 0 and point.lower >= 0 for point in points)


@pytest.mark.parametrize(("shift", "runs", "within"), [(1.0, 2000, 0.05), (2.0, 2000, 0.05), (0.0, 150, 0.2)])
def test_the_chart_runs_as_long_as_the_markov_chain_says(shift: float, runs: int, within: float) -> None:
    # Average run lengths 10.38, 4.01 and 465.43 (computed); simulated here with our own chart
    pick = random.Random(609)
    lengths = [run_length(pick, shift) for _ in range(runs)]
    assert sum(lengths) / runs == pytest.approx(average_run_length(shift), rel=within)


def run_length(pick: random.Random, shift: float) -> int:
    """How many normal scores with this shift until the alarm."""
    scores: list[float] = []
    for size in (2**power for power in range(5, 16)):
        scores += [pick.gauss(shift, 1) for _ in range(size - len(scores))]
        quiet = sum(1 for _ in takewhile(lambda point: not point.alarm, cusum(scores)))
        if quiet < size:
            return quiet + 1
    raise AssertionError("the chart never alarmed")
