"""Damp in the air, against psychrolib (ASHRAE) at every degree and there and back."""

import math
from types import SimpleNamespace

import psychrolib  # type: ignore[import-untyped]
import pytest
from hypothesis import given
from hypothesis import strategies as st

from harvestlog.calc import air, errors
from tests.calc.worked import check_call, examples

psychrolib.SetUnitSystem(psychrolib.SI)
named = SimpleNamespace(**(vars(errors) | vars(air)))
rooms_c = st.floats(-20, 45)
humidities = st.floats(1, 100)


@pytest.mark.parametrize("case", examples("air"))
def test_worked_example(case):
    check_call(case, vars(air), named)


def test_saturation_is_psychrolibs_at_every_tenth_of_a_degree():
    for tenth in range(-1000, 2001):
        expected = psychrolib.GetSatVapPres(tenth / 10)
        assert math.isclose(air.saturation_pa(tenth / 10), expected, rel_tol=1e-12), tenth / 10


@given(rooms_c, humidities)
def test_dew_point_is_psychrolibs(temp, rh):
    """psychrolib stops within 0.001 °C of it."""
    assert math.isclose(
        air.dew_point_c(temp, rh), psychrolib.GetTDewPointFromRelHum(temp, rh / 100), abs_tol=0.0011
    )


@given(rooms_c, humidities)
def test_deficit_is_psychrolibs(temp, rh):
    ratio = psychrolib.GetHumRatioFromRelHum(temp, rh / 100, 101325)
    expected = psychrolib.GetVaporPressureDeficit(temp, ratio, 101325) / 1000
    assert math.isclose(air.vapour_pressure_deficit_kpa(temp, rh), expected, rel_tol=1e-6, abs_tol=1e-6)


@given(rooms_c, humidities, st.floats(0, 30))
def test_air_warmed_and_cooled_again_is_as_damp_as_before(temp, rh, by):
    warm = air.rh_after_warming(rh, temp, temp + by)
    assert warm <= rh * (1 + 1e-12)
    assert math.isclose(air.rh_after_warming(warm, temp + by, temp), rh, rel_tol=1e-9)


@given(rooms_c, humidities, st.floats(0, 30))
def test_dew_point_stays_when_air_is_warmed(temp, rh, by):
    warm = air.rh_after_warming(rh, temp, temp + by)
    assert math.isclose(air.dew_point_c(temp + by, warm), air.dew_point_c(temp, rh), abs_tol=1e-5)


@given(rooms_c, humidities)
def test_air_cooled_to_its_dew_point_is_saturated(temp, rh):
    dew = air.dew_point_c(temp, rh)
    assert math.isclose(air.rh_after_warming(rh, temp, dew), 100, abs_tol=1e-4)


def test_a_humidity_above_100_is_refused_in_words():
    with pytest.raises(air.HumidityOutOfRange, match="The relative humidity is 123 %: it cannot be above"):
        air.dew_point_c(20, 123)


def test_a_temperature_outside_the_tables_is_refused_in_words():
    with pytest.raises(
        air.TemperatureOutOfRange, match="The temperature is 201 °C: it lies from -100 to 200"
    ):
        air.saturation_pa(201)
