"""The property equations against the reference library, over their whole ranges, and against published values."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from functools import cache

import CoolProp.CoolProp as reference  # noqa: N813 - the library's own name
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.core.properties import (
    COLDEST,
    FLUIDS,
    HOTTEST,
    VAPOUR_COLDEST,
    VAPOUR_HOTTEST,
    OutOfRange,
)
from shop.core.gauge import celsius

NAMES = {"R-1234yf": "R1234yf", "R-134a": "R134a", "R-152a": "R152A"}  # CoolProp 8.0.0, pinned
FLUID = st.sampled_from(sorted(FLUIDS))
KELVIN = st.floats(COLDEST, HOTTEST)


@cache
def state(code: str) -> reference.AbstractState:
    return reference.AbstractState("HEOS", NAMES[code])


def saturated(code: str, kelvin: float, quality: int) -> tuple[float, float]:
    """Pressure (Pa) and density (kg/m³) of liquid (0) or vapour (1)."""
    at = state(code)
    at.update(reference.QT_INPUTS, quality, kelvin)
    return at.p(), at.rhomass()


@given(FLUID, KELVIN)
def test_saturation_pressure_keeps_within_0_05_percent(code: str, kelvin: float) -> None:
    expected, _ = saturated(code, kelvin, 0)
    assert FLUIDS[code].pressure(kelvin) == pytest.approx(expected, rel=5e-4)
    if FLUIDS[code].covers_pressure(expected):
        assert FLUIDS[code].temperature(expected) == pytest.approx(kelvin, abs=0.03)


@given(FLUID, KELVIN)
def test_densities_keep_within_0_07_percent(code: str, kelvin: float) -> None:
    fluid = FLUIDS[code]
    assert fluid.liquid_density(kelvin) == pytest.approx(saturated(code, kelvin, 0)[1], rel=7e-4)
    assert fluid.vapour_density(kelvin) == pytest.approx(saturated(code, kelvin, 1)[1], rel=7e-4)


@given(FLUID, st.floats(VAPOUR_COLDEST, VAPOUR_HOTTEST), st.floats(0.005, 0.999))
def test_superheated_vapour_keeps_within_0_07_percent_both_ways(
    code: str, kelvin: float, share: float
) -> None:
    fluid, at = FLUIDS[code], state(code)
    density = share * fluid.densest_vapour(kelvin)
    at.update(reference.DmassT_INPUTS, density, kelvin)
    assert fluid.vapour_pressure(kelvin, density) == pytest.approx(at.p(), rel=7e-4)
    assert fluid.superheated_density(kelvin, at.p()) == pytest.approx(density, rel=7e-4)


@given(FLUID, st.floats(COLDEST + 0.02, HOTTEST - 0.02))
def test_the_slope_is_the_curves_own(code: str, kelvin: float) -> None:
    fluid, step = FLUIDS[code], 0.01
    around = (fluid.pressure(kelvin + step) - fluid.pressure(kelvin - step)) / (2 * step)
    assert fluid.slope(kelvin) == pytest.approx(around, rel=1e-6)


@given(FLUID, KELVIN)
def test_heat_of_vaporisation_keeps_within_half_a_percent(code: str, kelvin: float) -> None:
    at = state(code)
    at.update(reference.QT_INPUTS, 1, kelvin)
    vapour = at.hmass()
    at.update(reference.QT_INPUTS, 0, kelvin)
    assert FLUIDS[code].heat_of_vaporisation(kelvin) == pytest.approx(vapour - at.hmass(), rel=5e-3)


@pytest.mark.parametrize("code", sorted(FLUIDS))
def test_asked_outside_its_range_an_equation_refuses(code: str) -> None:
    fluid = FLUIDS[code]
    asked: list[tuple[Callable[..., float], tuple[float, ...]]] = [
        (fluid.pressure, (celsius(86),)),
        (fluid.liquid_density, (celsius(-41),)),
        (fluid.temperature, (5e6,)),
        (fluid.vapour_pressure, (celsius(20), 119.0)),
        (fluid.superheated_density, (celsius(20), 9e5)),
        (fluid.superheated_density, (celsius(95), 1e5)),
    ]
    for question, values in asked:
        with pytest.raises(OutOfRange):
            question(*values)


def test_the_program_runs_without_the_reference_library() -> None:
    asked = (
        "import django, os, sys; os.environ['DJANGO_SETTINGS_MODULE'] = 'shop.settings'; django.setup();"
        "import shop.urls, compliance.management.practice, compliance.pdf.drawing;"
        "print([name for name in ('numpy', 'CoolProp', 'scipy') if name in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
