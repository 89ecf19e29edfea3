"""Wind, load, air, units and the propeller, held to the project's table of check values.

Each row: id, quantity, inputs, value, tolerance (absolute; 0 is exact), and its source with how it was come by: `read`
in the document named, `practice` a rule of thumb, `memory` worked out from a formula that is well known. W, Y and G
numbers are paragraphs of the fact sheet the table comes from, which quotes FAA-H-8083-25C (Pilot's Handbook of
Aeronautical Knowledge, "PHAK 25C") and FAA-H-8083-3C (Airplane Flying Handbook, "AFH 3C"). The atmosphere is held to
the aerocalc3 library too, wind to complex numbers, units to their definitions.
"""

import cmath
import math
import re
from fractions import Fraction

import pytest
from aerocalc3 import std_atm
from hypothesis import assume, given
from hypothesis import strategies as st

from stickback.formulas.formula import compile_
from stickback.trade import air, load, units, wind, yaw

ROWS = """
V001 | crosswind_kt (positive from right) | runway_deg=170; wind_from_deg=140; wind_kt=25 | -12.50 | 0.05 | W01, W02, computed [memory]
V002 | headwind_kt (negative is tailwind) | runway_deg=170; wind_from_deg=140; wind_kt=25 | 21.65 | 0.05 | W01, W02, computed [memory]
V003 | crosswind_kt (positive from right) | runway_deg=240; wind_from_deg=270; wind_kt=12 | 6.00 | 0.05 | W01, W02, computed [memory]
V004 | headwind_kt (negative is tailwind) | runway_deg=240; wind_from_deg=270; wind_kt=12 | 10.39 | 0.05 | W01, W02, computed [memory]
V005 | crosswind_kt (positive from right) | runway_deg=60; wind_from_deg=90; wind_kt=15 | 7.50 | 0.05 | W01, W02, computed [memory]
V007 | crosswind_kt (positive from right) | runway_deg=330; wind_from_deg=15; wind_kt=20 | 14.14 | 0.05 | W01, W02, computed [memory]
V008 | headwind_kt (negative is tailwind) | runway_deg=330; wind_from_deg=15; wind_kt=20 | 14.14 | 0.05 | W01, W02, computed [memory]
V009 | crosswind_kt (positive from right) | runway_deg=180; wind_from_deg=270; wind_kt=10 | 10.00 | 0.05 | W01, W02, computed [memory]
V010 | headwind_kt (negative is tailwind) | runway_deg=180; wind_from_deg=270; wind_kt=10 | 0.00 | 0.05 | W01, W02, computed [memory]
V011 | crosswind_kt (positive from right) | runway_deg=270; wind_from_deg=240; wind_kt=18 | -9.00 | 0.05 | W01, W02, computed [memory]
V013 | crosswind_kt (positive from right) | runway_deg=90; wind_from_deg=300; wind_kt=10 | -5.00 | 0.05 | W01, W02, computed [memory]
V014 | headwind_kt (negative is tailwind) | runway_deg=90; wind_from_deg=300; wind_kt=10 | -8.66 | 0.05 | W01, W02, computed [memory]
V015 | crosswind_kt (positive from right) | runway_deg=240; wind_from_deg=60; wind_kt=8 | 0.00 | 0.05 | W01, W02, computed [memory]
V016 | headwind_kt (negative is tailwind) | runway_deg=240; wind_from_deg=60; wind_kt=8 | -8.00 | 0.05 | W01, W02, computed [memory]
V017 | crosswind_kt (positive from right) | runway_deg=150; wind_from_deg=195; wind_kt=14 | 9.90 | 0.05 | W01, W02, computed [memory]
V019 | crosswind_kt (positive from right) | runway_deg=240; wind_from_deg=230; wind_kt=22 | -3.82 | 0.05 | W01, W02, computed [memory]
V020 | headwind_kt (negative is tailwind) | runway_deg=240; wind_from_deg=230; wind_kt=22 | 21.67 | 0.05 | W01, W02, computed [memory]
V021 | crosswind_kt (positive from right) | runway_deg=60; wind_from_deg=120; wind_kt=16 | 13.86 | 0.05 | W01, W02, computed [memory]
V022 | headwind_kt (negative is tailwind) | runway_deg=60; wind_from_deg=120; wind_kt=16 | 8.00 | 0.05 | W01, W02, computed [memory]
V023 | crosswind_kt (positive from right) | runway_deg=360; wind_from_deg=350; wind_kt=20 | -3.47 | 0.05 | W01, W02, computed [memory]
V025 | crosswind_kt (positive from right) | runway_deg=330; wind_from_deg=300; wind_kt=24 | -12.00 | 0.05 | W01, W02, computed [memory]
V026 | headwind_kt (negative is tailwind) | runway_deg=330; wind_from_deg=300; wind_kt=24 | 20.78 | 0.05 | W01, W02, computed [memory]
V027 | crosswind_kt (positive from right) | runway_deg=240; wind_from_deg=300; wind_kt=15 | 12.99 | 0.05 | W01, W02, computed [memory]
V028 | headwind_kt (negative is tailwind) | runway_deg=240; wind_from_deg=300; wind_kt=15 | 7.50 | 0.05 | W01, W02, computed [memory]
V029 | crosswind_chart_kt (size only) | runway_deg=170; wind_from_deg=140; wind_kt=25 | 13 | 1 | PHAK 25C ch 11 Sample Problem 10 [read]
V031 | clock_code_fraction | angle_deg=15 | 0.25 | 0 | W11 [practice]
V032 | sine_fraction | angle_deg=15 | 0.2588 | 0.0001 | W12, computed [memory]
V033 | clock_code_fraction | angle_deg=30 | 0.5 | 0 | W11 [practice]
V034 | sine_fraction | angle_deg=30 | 0.5000 | 0.0001 | W12, computed [memory]
V035 | clock_code_fraction | angle_deg=45 | 0.75 | 0 | W11 [practice]
V037 | clock_code_fraction | angle_deg=60 | 1 | 0 | W11 [practice]
V038 | sine_fraction | angle_deg=60 | 0.8660 | 0.0001 | W12, computed [memory]
V039 | clock_code_fraction | angle_deg=90 | 1 | 0 | W11 [practice]
V040 | sine_fraction | angle_deg=90 | 1.0000 | 0.0001 | W12, computed [memory]
V041 | min_demonstrated_crosswind_kt | vs0_kt=45 | 9.0 | 0.05 | PHAK 25C p 11-25 [read]
V043 | min_demonstrated_crosswind_kt | vs0_kt=50 | 10.0 | 0.05 | W16, computed [memory]
V044 | load_factor | bank_deg=15 | 1.0353 | 0.0005 | W30, computed [memory]
V045 | stall_speed_ratio | bank_deg=15 | 1.0175 | 0.0005 | W31, computed [memory]
V046 | load_factor | bank_deg=20 | 1.0642 | 0.0005 | W30, computed [memory]
V047 | stall_speed_ratio | bank_deg=20 | 1.0316 | 0.0005 | W31, computed [memory]
V049 | stall_speed_ratio | bank_deg=30 | 1.0746 | 0.0005 | W31, computed [memory]
V050 | load_factor | bank_deg=40 | 1.3054 | 0.0005 | W30, computed [memory]
V051 | stall_speed_ratio | bank_deg=40 | 1.1425 | 0.0005 | W31, computed [memory]
V052 | load_factor | bank_deg=45 | 1.4142 | 0.0005 | W30, computed [memory]
V053 | stall_speed_ratio | bank_deg=45 | 1.1892 | 0.0005 | W31, computed [memory]
V055 | stall_speed_ratio | bank_deg=50 | 1.2473 | 0.0005 | W31, computed [memory]
V056 | load_factor | bank_deg=60 | 2.0000 | 0.0005 | W30, computed [memory]
V057 | stall_speed_ratio | bank_deg=60 | 1.4142 | 0.0005 | W31, computed [memory]
V058 | load_factor | bank_deg=70 | 2.9238 | 0.0005 | W30, computed [memory]
V059 | stall_speed_ratio | bank_deg=70 | 1.7099 | 0.0005 | W31, computed [memory]
V061 | stall_speed_ratio | bank_deg=75 | 1.9656 | 0.0005 | W31, computed [memory]
V062 | load_factor | bank_deg=80 | 5.7588 | 0.0005 | W30, computed [memory]
V063 | stall_speed_ratio | bank_deg=80 | 2.3997 | 0.0005 | W31, computed [memory]
V064 | load_factor | bank_deg=60 | 2 | 0 | PHAK 25C p 5-34 [read]
V065 | load_factor | bank_deg=80 | 5.76 | 0.005 | PHAK 25C p 5-34 [read]
V067 | stall_speed_kt | vs_kt=50; load_factor=9 | 150 | 0.5 | PHAK 25C p 5-34 [read]
V068 | stall_speed_kt | vs_kt=45; bank_deg=60 | 63.64 | 0.05 | W31, computed [memory]
V069 | stall_speed_kt | vs_kt=45; bank_deg=30 | 48.36 | 0.05 | W31, computed [memory]
V070 | bank_deg_for_load_factor | load_factor=3 | 70.53 | 0.01 | W33, computed [memory]
V071 | load_factor_at_va_ratio | speed_ratio=1.7 | 2.89 | 0.005 | PHAK 25C p 5-35 [read]
V073 | density_altitude_rule_ft | pressure_altitude_ft=0; oat_c=15 | 0 | 2 | W45 with exact ISA lapse, computed [memory]
V074 | density_altitude_ft | pressure_altitude_ft=0; oat_c=35 | 2275 | 5 | W46, computed [memory]
V075 | density_altitude_rule_ft | pressure_altitude_ft=0; oat_c=35 | 2400 | 2 | W45 with exact ISA lapse, computed [memory]
V076 | density_altitude_ft | pressure_altitude_ft=2000; oat_c=30 | 4161 | 5 | W46, computed [memory]
V077 | density_altitude_rule_ft | pressure_altitude_ft=2000; oat_c=30 | 4275 | 2 | W45 with exact ISA lapse, computed [memory]
V079 | density_altitude_rule_ft | pressure_altitude_ft=5000; oat_c=30 | 7989 | 2 | W45 with exact ISA lapse, computed [memory]
V080 | density_altitude_ft | pressure_altitude_ft=8000; oat_c=20 | 10362 | 5 | W46, computed [memory]
V081 | density_altitude_rule_ft | pressure_altitude_ft=8000; oat_c=20 | 10502 | 2 | W45 with exact ISA lapse, computed [memory]
V082 | density_altitude_ft | pressure_altitude_ft=1000; oat_c=-5 | -1224 | 5 | W46, computed [memory]
V083 | density_altitude_rule_ft | pressure_altitude_ft=1000; oat_c=-5 | -1162 | 2 | W45 with exact ISA lapse, computed [memory]
V085 | density_altitude_ft | pressure_altitude_ft=5718; oat_f=70 | 7709 | 5 | W49, computed [memory]
V086 | density_altitude_chart_ft | elevation_ft=5883; oat_f=70; altimeter_inhg=30.10 | 7700 | 100 | PHAK 25C ch 11 Sample Problem 1 [read]
V087 | pressure_altitude_ft | elevation_ft=5883; altimeter_inhg=30.10 | 5718 | 2 | PHAK 25C ch 11 Sample Problem 1 (formula W47 gives 5718.1) [read]
V088 | pressure_altitude_ft | elevation_ft=500; qnh_hpa=1003 | 781.1 | 1 | W47, computed [memory]
V089 | pressure_altitude_ft | elevation_ft=0; qnh_hpa=1000 | 363.8 | 1 | W47, computed [memory]
V091 | isa_temperature_c | altitude_ft=1000 | 13.02 | 0.01 | W41, computed [memory]
V092 | isa_temperature_c | altitude_ft=5000 | 5.09 | 0.01 | W41, computed [memory]
V093 | isa_temperature_c | altitude_ft=10000 | -4.81 | 0.01 | W41, computed [memory]
V094 | isa_pressure_inhg | altitude_ft=5000 | 24.89 | 0.01 | PHAK 25C Figure 11-2 [read]
V095 | wind_correction_deg (positive right) | tas_kt=90; track_deg=60; wind_from_deg=90; wind_kt=20 | 6.38 | 0.02 | W60, computed [memory]
V097 | wind_correction_deg (positive right) | tas_kt=90; track_deg=240; wind_from_deg=270; wind_kt=15 | 4.78 | 0.02 | W60, computed [memory]
V098 | groundspeed_kt | tas_kt=90; track_deg=240; wind_from_deg=270; wind_kt=15 | 76.70 | 0.05 | W60, computed [memory]
V099 | wind_correction_deg (positive right) | tas_kt=80; track_deg=360; wind_from_deg=270; wind_kt=20 | -14.48 | 0.02 | W60, computed [memory]
V100 | groundspeed_kt | tas_kt=80; track_deg=360; wind_from_deg=270; wind_kt=20 | 77.46 | 0.05 | W60, computed [memory]
V101 | wind_correction_deg (positive right) | tas_kt=100; track_deg=180; wind_from_deg=360; wind_kt=25 | 0.00 | 0.02 | W60, computed [memory]
V103 | wind_correction_deg (positive right) | tas_kt=85; track_deg=120; wind_from_deg=40; wind_kt=18 | -12.04 | 0.02 | W60, computed [memory]
V104 | groundspeed_kt | tas_kt=85; track_deg=120; wind_from_deg=40; wind_kt=18 | 80.01 | 0.05 | W60, computed [memory]
V105 | wind_correction_deg (positive right) | tas_kt=90; track_deg=90; wind_from_deg=90; wind_kt=15 | 0.00 | 0.02 | W60, computed [memory]
V106 | groundspeed_kt | tas_kt=90; track_deg=90; wind_from_deg=90; wind_kt=15 | 75.00 | 0.05 | W60, computed [memory]
V107 | mph | kt=1 | 1.150779448 | 0.000001 | W62, computed [memory]
V109 | mph | kt=40 | 46.03 | 0.01 | W62, computed [memory]
V110 | mph | kt=60 | 69.05 | 0.01 | W62, computed [memory]
V111 | kt | mph=65 | 56.48 | 0.01 | W62, computed [memory]
V112 | kt | mph=100 | 86.90 | 0.01 | W62, computed [memory]
V113 | m_per_s | kt=1 | 0.514444 | 0.000001 | W63, computed [memory]
V115 | inhg | hpa=1013.25 | 29.9213 | 0.0005 | W64, computed [memory]
V116 | inhg | hpa=998 | 29.471 | 0.001 | W64, computed [memory]
V117 | inhg | hpa=1000 | 29.530 | 0.001 | W64, computed [memory]
V118 | celsius | fahrenheit=70 | 21.11 | 0.01 | computed [memory]
V119 | fahrenheit | celsius=15 | 59 | 0 | PHAK 25C p 11-2 [read]
V121 | precession_moment_nm (size) | inertia_kgm2=1.2; rpm=2400; pitch_rate_deg_s=30 | 157.91 | 0.05 | Y40, computed [memory]
V122 | precession_moment_nm (size) | inertia_kgm2=0.9; rpm=2600; pitch_rate_deg_s=20 | 85.54 | 0.05 | Y40, computed [memory]
V123 | precession_moment_nm (size) | inertia_kgm2=1.5; rpm=2200; pitch_rate_deg_s=10 | 60.31 | 0.05 | Y40, computed [memory]
V124 | angular_momentum_kgm2_s | inertia_kgm2=1.2; rpm=2400 | 301.59 | 0.05 | Y41, computed [memory]
V125 | airframe_moment_z_nm (nose left) | propeller=cw; motion=nose_down; inertia_kgm2=1.2; rpm=2400; rate_deg_s=15 | -78.96 | 0.05 | Y33 to Y38, axes x forward y right z down, computed [memory]
V127 | airframe_moment_z_nm (nose right) | propeller=acw; motion=nose_down; inertia_kgm2=1.2; rpm=2400; rate_deg_s=15 | 78.96 | 0.05 | Y33 to Y38, axes x forward y right z down, computed [memory]
V128 | airframe_moment_z_nm (nose left) | propeller=acw; motion=nose_up; inertia_kgm2=1.2; rpm=2400; rate_deg_s=15 | -78.96 | 0.05 | Y33 to Y38, axes x forward y right z down, computed [memory]
V129 | airframe_moment_y_nm (nose up) | propeller=cw; motion=yaw_left; inertia_kgm2=1.2; rpm=2400; rate_deg_s=15 | 78.96 | 0.05 | Y33 to Y38, axes x forward y right z down, computed [memory]
V130 | airframe_moment_y_nm (nose down) | propeller=cw; motion=yaw_right; inertia_kgm2=1.2; rpm=2400; rate_deg_s=15 | -78.96 | 0.05 | Y33 to Y38, axes x forward y right z down, computed [memory]
V131 | airframe_moment_y_nm (nose down) | propeller=acw; motion=yaw_left; inertia_kgm2=1.2; rpm=2400; rate_deg_s=15 | -78.96 | 0.05 | Y33 to Y38, axes x forward y right z down, computed [memory]
V133 | advance_angle_difference_deg | v_m_s=25; shaft_angle_deg=12; rpm=2400; radius_m=0.7125 | 0.446 | 0.002 | Y52, Y53, computed [memory]
V134 | advance_angle_difference_deg | v_m_s=15; shaft_angle_deg=12; rpm=2400; radius_m=0.7125 | 0.162 | 0.002 | Y52, Y53, computed [memory]
V135 | advance_angle_difference_deg | v_m_s=30; shaft_angle_deg=12; rpm=2400; radius_m=0.7125 | 0.638 | 0.002 | Y52, Y53, computed [memory]
V136 | advance_angle_difference_deg | v_m_s=25; shaft_angle_deg=6; rpm=2400; radius_m=0.7125 | 0.228 | 0.002 | Y52, Y53, computed [memory]
V137 | advance_angle_difference_deg | v_m_s=25; shaft_angle_deg=0; rpm=2400; radius_m=0.7125 | 0.000 | 0.002 | Y52, Y53, computed [memory]
V139 | advance_angle_up_deg | v_m_s=25; shaft_angle_deg=12; rpm=2400; radius_m=0.7125 | 8.006 | 0.002 | Y52, computed [memory]
V140 | energy_ratio | speed_ratio=1.2 | 1.44 | 0.001 | G23, computed [memory]
V141 | free_fall_impact_ft_min | drop_in=6 | 340 | 1 | AFH 3C ch 9 (formula gives 340.3) [read]
"""  # noqa: E501

ADVANCE = (
    "atan(v_m_s * cos(shaft_angle_deg) / (rpm * 3.141592653589793 / 30 * radius_m {} v_m_s * sin(shaft_angle_deg)))"
)
AROUND = {"nose_down": (0, -1, 0), "nose_up": (0, 1, 0), "yaw_left": (0, 0, -1), "yaw_right": (0, 0, 1)}


def hpa(inhg):
    return units.convert(inhg, "inHg", "hPa")


def celsius(fahrenheit):
    return units.convert(fahrenheit, "°F", "°C")


def on_runway(component):
    return lambda runway_deg, wind_from_deg, wind_kt: component(runway_deg / 10, wind_from_deg, wind_kt)


def on_track(function):
    return lambda tas_kt, track_deg, wind_from_deg, wind_kt: function(tas_kt, track_deg, wind_from_deg, wind_kt)


def by_formula(text):
    """What a deck would write where there is no function."""
    return lambda **inputs: compile_(text, inputs).value(inputs)


def density_altitude(pressure_altitude_ft, oat_c=None, oat_f=None):
    return air.density_altitude(pressure_altitude_ft, celsius(oat_f) if oat_c is None else oat_c)


def pressure_altitude(elevation_ft, qnh_hpa=None, altimeter_inhg=None):
    return air.pressure_altitude(elevation_ft, hpa(altimeter_inhg) if qnh_hpa is None else qnh_hpa)


def stall_speed(vs_kt, bank_deg=None, load_factor=None):
    return load.stall_speed(vs_kt, load.bank_for(load_factor) if bank_deg is None else bank_deg)


def airframe_moment(axis):
    def moment(propeller, motion, inertia_kgm2, rpm, rate_deg_s):
        turning = yaw.precession({"cw": "clockwise", "acw": "anticlockwise"}[propeller], AROUND[motion])
        return turning[axis] * load.gyroscopic_moment(inertia_kgm2, rpm, rate_deg_s)

    return moment


def converted(to):
    return lambda **value: units.convert(*next((number, name) for name, number in value.items()), to)


QUANTITIES = {
    "crosswind_kt": on_runway(wind.crosswind),
    "headwind_kt": on_runway(wind.headwind),
    "crosswind_chart_kt": on_runway(lambda *given: abs(wind.crosswind(*given))),
    "clock_code_fraction": lambda angle_deg: wind.clock_code(angle_deg),
    "sine_fraction": by_formula("sin(angle_deg)"),
    "min_demonstrated_crosswind_kt": by_formula("0.2 * vs0_kt"),
    "load_factor": lambda bank_deg: load.load_factor(bank_deg),
    "stall_speed_ratio": lambda bank_deg: load.stall_speed(1, bank_deg),
    "stall_speed_kt": stall_speed,
    "bank_deg_for_load_factor": lambda load_factor: load.bank_for(load_factor),
    "load_factor_at_va_ratio": by_formula("speed_ratio ** 2"),
    "density_altitude_ft": density_altitude,
    "density_altitude_rule_ft": lambda pressure_altitude_ft, oat_c: air.density_altitude_rule(
        pressure_altitude_ft, oat_c
    ),
    "density_altitude_chart_ft": lambda elevation_ft, oat_f, altimeter_inhg: air.density_altitude(
        air.pressure_altitude(elevation_ft, hpa(altimeter_inhg)), celsius(oat_f)
    ),
    "pressure_altitude_ft": pressure_altitude,
    "isa_temperature_c": lambda altitude_ft: air.isa_temperature(altitude_ft),
    "isa_pressure_inhg": lambda altitude_ft: units.convert(air.isa_pressure(altitude_ft), "hPa", "inHg"),
    "wind_correction_deg": on_track(wind.wind_correction),
    "groundspeed_kt": on_track(wind.groundspeed),
    "mph": converted("mph"),
    "kt": converted("kt"),
    "m_per_s": converted("m/s"),
    "inhg": converted("inHg"),
    "celsius": converted("celsius"),
    "fahrenheit": converted("fahrenheit"),
    "precession_moment_nm": lambda inertia_kgm2, rpm, pitch_rate_deg_s: load.gyroscopic_moment(
        inertia_kgm2, rpm, pitch_rate_deg_s
    ),
    "angular_momentum_kgm2_s": lambda inertia_kgm2, rpm: load.gyroscopic_moment(inertia_kgm2, rpm, math.degrees(1)),
    "airframe_moment_y_nm": airframe_moment(1),
    "airframe_moment_z_nm": airframe_moment(2),
    "advance_angle_up_deg": by_formula(ADVANCE.format("-")),
    "advance_angle_difference_deg": by_formula(f"{ADVANCE.format('-')} - {ADVANCE.format('+')}"),
    "energy_ratio": by_formula("speed_ratio ** 2"),
    "free_fall_impact_ft_min": by_formula("mps_to_fpm(sqrt(2 * 9.80665 * 0.0254 * drop_in))"),
}


def rows():
    for line in ROWS.strip().splitlines():
        name, quantity, inputs, value, tolerance, source = line.split(" | ")
        yield pytest.param(quantity.partition(" (")[0], inputs, float(value), float(tolerance), source, id=name)


def typed(text):
    name, _, value = text.partition("=")
    return name, float(value) if re.fullmatch(r"-?[\d.]+", value) else value


@pytest.mark.parametrize(("quantity", "inputs", "value", "tolerance", "source"), [*rows()])
def test_a_check_value_comes_out_within_its_tolerance(quantity, inputs, value, tolerance, source):
    found = QUANTITIES[quantity](**dict(typed(each) for each in inputs.split("; ")))
    assert abs(found - value) <= tolerance, source


def test_every_check_value_has_an_id_of_its_own_and_every_quantity_a_row():
    names = [line.split(" | ")[0] for line in ROWS.strip().splitlines()]
    assert len(names) == len(set(names)) == 118
    assert {line.split(" | ")[1].partition(" (")[0] for line in ROWS.strip().splitlines()} == set(QUANTITIES)


@pytest.mark.parametrize("altitude", range(-1000, 36_001, 1000))
def test_the_standard_atmosphere_is_that_of_aerocalc3(altitude):
    pressure = std_atm.alt2press(altitude, alt_units="ft", press_units="hpa")
    assert air.isa_temperature(altitude) == pytest.approx(std_atm.alt2temp(altitude, alt_units="ft"), abs=1e-6)
    assert air.isa_pressure(altitude) == pytest.approx(pressure, rel=1e-5)


@pytest.mark.parametrize("altitude", range(0, 14_001, 2000))
@pytest.mark.parametrize("temperature", [-30, -5, 0, 15, 30, 45])
def test_density_altitude_is_that_of_aerocalc3_within_a_foot(altitude, temperature):
    theirs = std_atm.density_alt(altitude, temperature)
    assert air.density_altitude(altitude, temperature) == pytest.approx(theirs, abs=1)


@pytest.mark.parametrize("inhg", [28.5, 29.5, 29.92, 30.1, 30.8])
def test_pressure_altitude_is_that_of_aerocalc3_within_a_foot(inhg):
    theirs = std_atm.pressure_alt(1500, inhg)
    assert air.pressure_altitude(1500, hpa(inhg)) == pytest.approx(theirs, abs=1)


runways = st.integers(1, 36)
directions = st.floats(0, 360)
speeds = st.floats(0, 80)


@given(runways, directions, speeds)
def test_the_components_are_the_wind_as_a_complex_number_turned_to_the_runway(runway, wind_from, speed):
    seen = cmath.rect(speed, math.radians(wind_from)) / cmath.rect(1, math.radians(10 * runway))
    assert wind.headwind(runway, wind_from, speed) == pytest.approx(seen.real, abs=1e-9)
    assert wind.crosswind(runway, wind_from, speed) == pytest.approx(seen.imag, abs=1e-9)
    assert wind.off_runway(runway, wind_from) == pytest.approx(
        abs(math.degrees(cmath.phase(cmath.rect(1, math.radians(wind_from - 10 * runway))))), abs=1e-6
    )


@given(st.floats(40, 150), directions, directions, st.floats(0, 39))
def test_heading_and_wind_add_up_to_the_track_as_complex_numbers(tas, track, wind_from, speed):
    steered = track + wind.wind_correction(tas, track, wind_from, speed)
    over_ground = cmath.rect(tas, math.radians(steered)) - cmath.rect(speed, math.radians(wind_from))
    flown = cmath.rect(wind.groundspeed(tas, track, wind_from, speed), math.radians(track))
    assert cmath.isclose(over_ground, flown, rel_tol=0, abs_tol=1e-8)


@given(runways, directions, speeds)
def test_the_components_square_up_to_the_wind_and_change_side_across_the_runway(runway, wind_from, speed):
    across, along = wind.crosswind(runway, wind_from, speed), wind.headwind(runway, wind_from, speed)
    assert math.hypot(across, along) == pytest.approx(speed, abs=1e-9)
    assert wind.crosswind(runway, 20 * runway - wind_from, speed) == pytest.approx(-across, abs=1e-9)
    assert wind.crosswind((runway + 17) % 36 + 1, wind_from, speed) == pytest.approx(-across, abs=1e-9)
    assert wind.headwind((runway + 17) % 36 + 1, wind_from, speed) == pytest.approx(-along, abs=1e-9)


BIPM = "BIPM, The International System of Units, 9th edition, table 8"
NIST = "NIST SP 811 (2008), appendix B.8"


@pytest.mark.parametrize(
    ("unit", "to", "exact", "source"),
    [
        ("kt", "km/h", Fraction("1.852"), NIST),
        ("kt", "m/s", Fraction(1852, 3600), NIST),
        ("mph", "m/s", Fraction("0.44704"), NIST),
        ("mph", "km/h", Fraction("1.609344"), NIST),
        ("km/h", "m/s", Fraction(1000, 3600), NIST),
        ("ft/min", "m/s", Fraction("0.00508"), NIST),
        ("ft", "m", Fraction("0.3048"), NIST),
        ("sm", "ft", Fraction(5280), NIST),
        ("nm", "m", Fraction(1852), NIST),
        ("km", "m", Fraction(1000), BIPM),
        ("inHg", "hPa", Fraction("33.86389"), f"{NIST}, conventional"),
        ("lb", "kg", Fraction("0.45359237"), NIST),
        ("US gal", "l", Fraction("3.785411784"), NIST),
        ("imp gal", "l", Fraction("4.54609"), NIST),
        ("h", "min", Fraction(60), BIPM),
        ("min", "s", Fraction(60), BIPM),
    ],
)
@given(value=st.integers(-10_000, 10_000))
def test_a_unit_has_the_size_of_its_definition(unit, to, exact, source, value):
    assert units.convert(value, unit, to) == pytest.approx(float(exact * value), rel=1e-15, abs=0), source
    assert units.convert(value, to, unit) == pytest.approx(float(value / exact), rel=1e-15, abs=0), source


@given(st.integers(-100, 200))
def test_fahrenheit_and_celsius_meet_at_the_points_that_define_them(value):
    assert units.convert(value, "°C", "°F") == pytest.approx(float(Fraction(value) * 9 / 5 + 32), abs=1e-13), NIST
    assume(value != 32)
    assert units.convert(value, "°F", "°C") == pytest.approx(float((Fraction(value) - 32) * 5 / 9), rel=1e-15), NIST
