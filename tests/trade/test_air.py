import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.trade import air

altitudes = st.floats(-1000, 15_000)


def test_the_standard_sea_level_is_as_defined():
    assert air.isa_temperature(0) == 15
    assert air.isa_pressure(0) == 1013.25
    assert air.pressure_altitude(500, 1013.25) == 500
    assert air.density_altitude(0, 15) == 0


@given(altitudes)
def test_in_standard_air_density_altitude_is_pressure_altitude(altitude):
    standard = air.isa_temperature(altitude)
    assert air.density_altitude(altitude, standard) == pytest.approx(altitude, abs=1e-3)
    assert air.density_altitude_rule(altitude, standard) == altitude


@given(altitudes)
def test_pressure_altitude_undoes_standard_pressure(altitude):
    if 850 <= air.isa_pressure(altitude) <= 1100:
        assert air.pressure_altitude(0, air.isa_pressure(altitude)) == pytest.approx(altitude, abs=1e-6)


@given(altitudes, st.floats(-40, 45))
def test_warmer_air_is_higher_air(altitude, temperature):
    assert air.density_altitude(altitude, temperature + 1) > air.density_altitude(altitude, temperature)


def test_a_low_qnh_is_higher_air():
    assert air.pressure_altitude(500, 990) > 500 > air.pressure_altitude(500, 1030)


@pytest.mark.parametrize("altitude", [-17_000, 36_090])
def test_outside_the_troposphere_nothing_is_told(altitude):
    for function in (air.isa_temperature, air.isa_pressure):
        with pytest.raises(ValueError, match="feet"):
            function(altitude)
    for function in (air.density_altitude, air.density_altitude_rule):
        with pytest.raises(ValueError, match="feet"):
            function(altitude, 15)


@pytest.mark.parametrize("qnh", [29.92, 849, 1101])
def test_a_qnh_in_inches_is_refused(qnh):
    with pytest.raises(ValueError, match="hPa"):
        air.pressure_altitude(500, qnh)


@pytest.mark.parametrize("temperature", [-91, 70, 288])
def test_a_temperature_in_another_unit_is_refused(temperature):
    with pytest.raises(ValueError, match="Celsius"):
        air.density_altitude(500, temperature)
