"""Unit conversions against pint, whose constants come from the same public definitions by another road."""

import math

import pint
import pytest

UREG = pint.UnitRegistry()
# A flat of a hexagon is the trade's own word; pint has none.
UREG.define("flat = turn / 6")

# Our symbol: what pint calls it.
BY_DIMENSION = {
    "pressure": {
        "psi": "psi", "kPa": "kPa", "bar": "bar", "MPa": "MPa", "Pa": "Pa", "GPa": "GPa", "atm": "atm",
        "m H2O": "m_H2O", "ft H2O": "ft_H2O", "kgf/cm2": "kilogram_force / centimeter ** 2",
    },
    "rate": {"psi/turn": "psi / turn", "kPa/turn": "kPa / turn", "bar/turn": "bar / turn"},
    "flow": {
        "gpm": "US_liquid_gallon / minute", "L/s": "liter / second", "m3/h": "meter ** 3 / hour",
        "cfs": "foot ** 3 / second",
    },
    "turning": {"turn": "turn", "deg": "degree", "flat": "flat"},
    "length": {"in": "inch", "mm": "millimeter", "m": "meter", "ft": "foot"},
    "speed": {"ft/s": "foot / second", "m/s": "meter / second"},
    "time": {"s": "second", "min": "minute"},
    # By their definitions: gallons a minute at 1 psi, cubic metres an hour at 1 bar.
    "flow coefficient": {
        "Cv": "US_liquid_gallon / minute / psi ** 0.5", "Kv": "meter ** 3 / hour / bar ** 0.5",
    },
}
POINTS = 100

# Every pair is a pure factor between exact definitions, so both sides differ by their roundings only: a few
# times 1.1e-16 in ours, a dozen multiplications in pint. 1e-13 leaves room for that and for nothing else.
PURE_FACTOR = 1e-13


def spread(rng):
    """Numbers of either sign over twelve powers of ten, as their shortest decimal text."""
    return rng.choice((-1, 1)) * 10 ** rng.uniform(-6, 6)


@pytest.mark.parametrize("dimension", BY_DIMENSION)
def test_pure_factors(calc, compared, rng, dimension):
    units = BY_DIMENSION[dimension]
    points = [(spread(rng), one, other) for one in units for other in units for _ in range(POINTS) if one != other]
    answers = calc([{"do": "convert", "value": f"{value!r} {one}", "to": other} for value, one, other in points])
    for (value, one, other), answer in zip(points, answers, strict=True):
        expected = UREG.Quantity(value, units[one]).to(units[other]).magnitude
        assert math.isclose(answer["value"], expected, rel_tol=PURE_FACTOR), (value, one, other, answer, expected)
        compared()


@pytest.mark.parametrize("one, other", [("degC", "degF"), ("degF", "degC")])
def test_temperatures(calc, compared, rng, one, other):
    # A scale with an offset: near its zero no relative tolerance means anything. pint goes by way of kelvin,
    # where a double near 300 is good to 6e-14; a billionth of a degree is far finer than any thermometer.
    values = [rng.uniform(-200, 500) for _ in range(1000)]
    answers = calc([{"do": "convert", "value": f"{value!r} {one}", "to": other} for value in values])
    for value, answer in zip(values, answers, strict=True):
        expected = UREG.Quantity(value, one).to(other).magnitude
        assert math.isclose(answer["value"], expected, abs_tol=1e-9), (value, answer, expected)
        compared()


def test_what_pint_will_not_convert_neither_do_we(calc, compared):
    units = {ours: theirs for members in BY_DIMENSION.values() for ours, theirs in members.items()}
    dimension = {ours: name for name, members in BY_DIMENSION.items() for ours in members}
    mixed = [(one, other) for one in units for other in units if dimension[one] != dimension[other]]
    answers = calc([{"do": "convert", "value": f"1 {one}", "to": other} for one, other in mixed])
    for (one, other), answer in zip(mixed, answers, strict=True):
        assert answer["error"]["code"] == "wrong_dimension", (one, other, answer)
        # To pint a turn is a plain number, so that it takes psi per turn for a pressure. To us it is not one.
        if {dimension[one], dimension[other]} != {"pressure", "rate"}:
            with pytest.raises(pint.DimensionalityError):
                UREG.Quantity(1, units[one]).to(units[other])
        compared()
