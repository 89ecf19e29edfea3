"""The air: the standard atmosphere of the troposphere, and pressure and density altitude.

Altitudes are in feet, temperatures in degrees Celsius, pressures in hPa. The air is dry.

Sources: ICAO Doc 7488 (Manual of the ICAO Standard Atmosphere), which U.S. Standard Atmosphere 1976 equals below 36,089
ft, for every constant; FAA-H-8083-25C, chapter 11, for what pressure and density altitude are.
"""

_SEA_LEVEL_K = 288.15
_SEA_LEVEL_HPA = 1013.25
_LAPSE = 0.0065  # kelvin a metre
_FOOT = 0.3048  # metres
_FREEZING_K = 273.15
_PRESSURE = 9.80665 / (287.05287 * _LAPSE)  # g over R times lapse: 5.25588
_SCALE = _SEA_LEVEL_K / _LAPSE / _FOOT  # feet until the lapse would reach absolute zero: 145,442

LOWEST, HIGHEST = -16_404.0, 36_089.0  # feet: where the formulas hold, -5 km to the tropopause


def _theta(altitude: float) -> float:
    """The temperature at an altitude over that at sea level, in kelvin.

    Errors: ValueError outside `LOWEST` to `HIGHEST`.
    """
    if not LOWEST <= altitude <= HIGHEST:
        raise ValueError("An altitude is in feet, from -16,404 to 36,089.")
    return 1 - altitude / _SCALE


def isa_temperature(altitude: float) -> float:
    """The standard temperature at a pressure altitude: 15 at sea level, 1.98 less for every 1,000 ft.

    Errors: ValueError outside `LOWEST` to `HIGHEST`.
    Source: ICAO Doc 7488, 6.5 K per km.
    """
    return round(_SEA_LEVEL_K * _theta(altitude) - _FREEZING_K, 9)


def isa_pressure(altitude: float) -> float:
    """The standard pressure at a pressure altitude.

    Errors: ValueError outside `LOWEST` to `HIGHEST`.
    Source: ICAO Doc 7488, hydrostatic equation with a constant lapse.
    """
    return float(_SEA_LEVEL_HPA * _theta(altitude) ** _PRESSURE)


def pressure_altitude(elevation: float, qnh: float) -> float:
    """The altitude that an altimeter set to 1013.25 shows at an elevation.

    Args:
        qnh: in hPa, 850 to 1100; inHg are converted first.
    Errors: ValueError for another QNH.
    Source: the standard atmosphere solved for altitude, ICAO Doc 7488; FAA-H-8083-25C, page 11-20, has a table of it.
    """
    if not 850 <= qnh <= 1100:
        raise ValueError("A QNH is in hPa, from 850 to 1100.")
    return float(elevation + _SCALE * (1 - (qnh / _SEA_LEVEL_HPA) ** (1 / _PRESSURE)))


def density_altitude(pressure_altitude: float, temperature: float) -> float:
    """The altitude in the standard atmosphere that has the density at a pressure altitude and temperature.

    Errors: ValueError for an altitude outside `LOWEST` to `HIGHEST`, or a temperature not from -90 to 60.
    Source: density by the gas law, solved for altitude in the standard atmosphere, ICAO Doc 7488.
    """
    if not -90 <= temperature <= 60:
        raise ValueError("An outside air temperature is in degrees Celsius, from -90 to 60.")
    density = _theta(pressure_altitude) ** _PRESSURE * _SEA_LEVEL_K / (temperature + _FREEZING_K)
    return float(_SCALE * (1 - density ** (1 / (_PRESSURE - 1))))


def density_altitude_rule(pressure_altitude: float, temperature: float) -> float:
    """The density altitude by the rule of thumb: 120 ft for every degree above standard.

    Errors: ValueError for an altitude outside `LOWEST` to `HIGHEST`.
    Source: common practice; on a warm day 100 to 200 ft above the exact value.
    """
    return pressure_altitude + 120 * (temperature - isa_temperature(pressure_altitude))
