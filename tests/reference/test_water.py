"""Water itself against IAPWS-95, by CoolProp 8.0.0 and by iapws 1.5.5, two programs that do not share code."""

import math

import CoolProp.CoolProp as coolprop
import iapws
import pint
import pytest

UREG = pint.UnitRegistry()
GRAVITY = 9.80665


def saturation(celsius):
    return coolprop.PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water")


def test_vapour_pressure_against_coolprop(calc, compared, rng):
    # CoolProp's water begins at the triple point, 0.01 degC.
    points = [rng.uniform(0.01, 100) for _ in range(3000)] + [rng.uniform(100, 373) for _ in range(1000)]
    answers = calc([{"do": "vapour_pressure", "temperature": f"{celsius!r} degC"} for celsius in points])
    for celsius, answer in zip(points, answers, strict=True):
        assert math.isclose(answer["pa"], saturation(celsius), rel_tol=1e-7), (celsius, answer)
        compared()


def test_vapour_pressure_against_iapws(calc, compared):
    # Slow, so a point every degree. iapws solves the equality of the two phases to about 1e-8.
    points = range(1, 100)
    answers = calc([{"do": "vapour_pressure", "temperature": f"{celsius} degC"} for celsius in points])
    for celsius, answer in zip(points, answers, strict=True):
        expected = iapws.IAPWS95(T=celsius + 273.15, x=0).P * 1e6
        assert math.isclose(answer["pa"], expected, rel_tol=1e-6), (celsius, answer, expected)
        compared()


# Source: IAPWS-95, as CoolProp 8.0.0 computes it.
@pytest.mark.parametrize("celsius, pascals", [(5, 872.58), (15, 1705.79), (25, 3169.93), (40, 7384.94)])
def test_the_rows_of_vapour_pressure(calc, compared, celsius, pascals):
    (answer,) = calc([{"do": "vapour_pressure", "temperature": f"{celsius} degC"}])
    assert abs(answer["pa"] - pascals) <= 0.005
    compared()


def density_by_elevation(answer, metres):
    """A column's weight says how heavy its water is."""
    return UREG.Quantity(answer["psi"], "psi").to("Pa").magnitude / (GRAVITY * metres)


def test_density_by_the_weight_of_a_column(calc, compared, rng):
    points = [rng.uniform(0.01, 99) for _ in range(3000)]
    answers = calc([
        {"do": "elevation", "pressure": "0 psi", "from": "100 m", "to": "0 m", "temperature": f"{celsius!r} degC"}
        for celsius in points
    ])
    for celsius, answer in zip(points, answers, strict=True):
        expected = coolprop.PropsSI("D", "T", celsius + 273.15, "P", 101325, "Water")
        assert math.isclose(density_by_elevation(answer, 100), expected, rel_tol=1e-7), (celsius, answer)
        compared()
    # And by the other program, a few.
    for celsius in (1, 15, 40, 80):
        (answer,) = calc([
            {"do": "elevation", "pressure": "0 psi", "from": "9 m", "to": "0 m", "temperature": f"{celsius} degC"}
        ])
        expected = iapws.IAPWS95(T=celsius + 273.15, P=0.101325).rho
        assert math.isclose(density_by_elevation(answer, 9), expected, rel_tol=1e-7), (celsius, answer)
        compared()


def test_a_psi_in_feet_of_water(calc, compared):
    """Source: NIST SP 811 for conventional water, 2.306659 ft; IAPWS-95 for water at 15 degC, 2.30873 ft."""
    column = {"do": "elevation", "pressure": "0 psi", "from": "1000 ft", "to": "0 ft"}
    conventional, real = calc([column, column | {"temperature": "15 degC"}])
    assert abs(1000 / conventional["psi"] - 2.306659) <= 5e-7
    assert abs(1000 / real["psi"] - 2.30873) <= 5e-6
    compared(2)


@pytest.mark.parametrize("temperature, code", [
    ("-1 degC", "temperature_out_of_range"), ("374 degC", "temperature_out_of_range"),
    ("-300 degC", "below_absolute_zero"), ("15 K", "unknown_unit"), ("15 psi", "wrong_dimension"),
])
def test_what_is_no_water_is_refused(calc, compared, temperature, code):
    (answer,) = calc([{"do": "vapour_pressure", "temperature": temperature}])
    assert answer["error"]["code"] == code
    compared()
