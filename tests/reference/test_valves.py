"""Liquid through valves against fluids 1.3.1, which computes IEC 60534-2-1 by itself; its water is CoolProp's."""

import math

import CoolProp.CoolProp as coolprop
import fluids.control_valve as fluids
import pint
import pytest

UREG = pint.UnitRegistry()
POINTS = 3000
CRITICAL = 22.064e6
ATMOSPHERE = 14.696
WITHIN = 1e-6
# Viscosity and size only matter to fluids below the turbulent range, which is not asked for.
VISCOSITY = 1e-3


def pascals(psi):
    return UREG.Quantity(psi, "psi").to("Pa").magnitude


def psi(pressure):
    return UREG.Quantity(pressure, "Pa").to("psi").magnitude


def vapour(celsius):
    return coolprop.PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water")


def kv_of_cv(cv):
    return UREG.Quantity(cv, "US_liquid_gallon / minute / psi ** 0.5").to("meter ** 3 / hour / bar ** 0.5").magnitude


def any_valve(rng):
    """Pressures by the gauge in psi, and a valve. Half of them work near or beyond the choke."""
    inlet = rng.uniform(10, 250)
    outlet = rng.uniform(-5, inlet - 0.5) if rng.random() < 0.5 else rng.uniform(-10, 0.3 * inlet)
    recovery = rng.uniform(0.5, 1)
    celsius = rng.choice((15.0, rng.uniform(0.5, 90)))
    return inlet, outlet, recovery, celsius


def near(found, expected, seen, rel=WITHIN):
    assert math.isclose(found, expected, rel_tol=rel), (seen, found, expected)


def test_flow_choke_and_both_indices(calc, compared, rng):
    points, requests = [any_valve(rng) for _ in range(POINTS)], []
    for inlet, outlet, recovery, celsius in points:
        request = {"do": "valve_flow", "inlet": f"{inlet!r} psi", "outlet": f"{outlet!r} psi", "fl": recovery}
        request |= {"cv": 100} if rng.random() < 0.5 else {"kv": f"{kv_of_cv(100)!r} Kv"}
        if celsius != 15.0:
            request["temperature"] = f"{celsius!r} degC"
        requests.append(request)
    choked = 0
    for (inlet, outlet, recovery, celsius), answer in zip(points, calc(requests), strict=True):
        seen = (inlet, outlet, recovery, celsius, answer)
        p1, p2, saturation = pascals(inlet + ATMOSPHERE), pascals(outlet + ATMOSPHERE), vapour(celsius)
        near(answer["ff"], fluids.FF_critical_pressure_ratio_l(saturation, CRITICAL), seen)
        at_choke = fluids.control_valve_choke_P_l(saturation, CRITICAL, recovery, P1=p1, check_choking=False)
        near(answer["dp_choked_psi"], psi(p1 - at_choke), seen)
        isa = fluids.cavitation_index(p1, p2, saturation)
        near(answer["sigma_isa"], isa, seen)
        assert math.isclose(answer["sigma_downstream"], isa - 1, rel_tol=WITHIN, abs_tol=WITHIN), seen
        flow = UREG.Quantity(answer["flow_gpm"], "US_liquid_gallon / minute").to("m ** 3 / s").magnitude
        sized = fluids.size_control_valve_l(
            fluids.rho0, saturation, CRITICAL, VISCOSITY, p1, p2, flow, FL=recovery, allow_laminar=False,
            full_output=True,
        )
        near(kv_of_cv(100), sized["Kv"], seen)
        assert answer["choked"] == sized["choked"], seen
        choked += answer["choked"]
        compared()
    # Both sides of the choke are reached.
    assert POINTS / 10 < choked < 9 * POINTS / 10


def test_required_coefficient(calc, compared, rng):
    points = [(rng.uniform(1, 20_000), *any_valve(rng)) for _ in range(POINTS)]
    answers = calc([
        {
            "do": "required_cv", "flow": f"{flow!r} gpm", "inlet": f"{inlet!r} psi", "outlet": f"{outlet!r} psi",
            "fl": recovery, "temperature": f"{celsius!r} degC",
        }
        for flow, inlet, outlet, recovery, celsius in points
    ])
    for (flow, inlet, outlet, recovery, celsius), answer in zip(points, answers, strict=True):
        seen = (flow, inlet, outlet, recovery, celsius, answer)
        sized = fluids.size_control_valve_l(
            fluids.rho0, vapour(celsius), CRITICAL, VISCOSITY, pascals(inlet + ATMOSPHERE),
            pascals(outlet + ATMOSPHERE), UREG.Quantity(flow, "US_liquid_gallon / minute").to("m ** 3 / s").magnitude,
            FL=recovery, allow_laminar=False, full_output=True,
        )
        near(answer["kv"], sized["Kv"], seen)
        near(kv_of_cv(answer["cv"]), sized["Kv"], seen)
        assert answer["choked"] == sized["choked"], seen
        compared()


def test_absolute_pressures_under_any_atmosphere(calc, compared, rng):
    """A gauge pressure under an atmosphere is the same request as its absolute pressure."""
    requests = []
    for _ in range(500):
        inlet, outlet, recovery, _ = any_valve(rng)
        atmosphere = rng.uniform(10.5, 14.8)
        common = {"do": "valve_flow", "cv": 250, "fl": recovery, "atmosphere_abs": f"{atmosphere!r} psi"}
        requests.append(common | {"inlet": f"{inlet!r} psi", "outlet": f"{outlet!r} psi"})
        requests.append(common | {
            "inlet_abs": f"{inlet + atmosphere!r} psi", "outlet_abs": f"{outlet + atmosphere!r} psi",
        })
    answers = calc(requests)
    for at in range(0, len(answers), 2):
        for key in ("flow_gpm", "dp_choked_psi", "sigma_isa"):
            near(answers[at][key], answers[at + 1][key], requests[at], 1e-9)
        compared()


# Source: fluids 1.3.1 with IAPWS-95's vapour pressure at 15 degC; inlet, outlet, Cv, FL: choke, flow, choked, sigmas.
FIELD_ROWS = [
    ((100, 50, 400, 0.90), (92.71, 2828.43, False, 2.2890, 1.2890)),
    ((150, 20, 200, 0.85), (118.82, 2180.11, True, 1.2650, 0.2650)),
    ((80, 75, 800, 0.90), (76.51, 1788.85, False, 18.8897, 17.8897)),
]


@pytest.mark.parametrize("given, printed", FIELD_ROWS)
def test_the_field_rows(calc, compared, given, printed):
    inlet, outlet, cv, recovery = given
    choke, flow, choked, isa, downstream = printed
    (answer,) = calc([
        {"do": "valve_flow", "cv": cv, "inlet": f"{inlet} psi", "outlet": f"{outlet} psi", "fl": recovery}
    ])
    assert abs(answer["dp_choked_psi"] - choke) <= 0.005
    assert abs(answer["flow_gpm"] - flow) <= 0.005
    assert answer["choked"] is choked
    assert abs(answer["sigma_isa"] - isa) <= 5e-5 and abs(answer["sigma_downstream"] - downstream) <= 5e-5
    assert abs(answer["ff"] - 0.957538) <= 5e-7
    compared(6)


def test_an_outlet_above_the_inlet_is_refused_and_no_difference_passes_nothing(calc, compared):
    valve = {"do": "valve_flow", "cv": 400, "fl": 0.9, "inlet": "60 psi"}
    backwards, level = calc([valve | {"outlet": "60.1 psi"}, valve | {"outlet": "60 psi"}])
    assert backwards["error"]["code"] == "outlet_above_inlet"
    assert level["flow_gpm"] == 0 and level["sigma_isa"] is None and level["warnings"] == ["no_difference"]
    compared(2)
