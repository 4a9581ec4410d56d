"""Turn plans against the same arithmetic done exactly, in fractions."""

import math
from fractions import Fraction

# One of each in pascals, exactly. Source: NIST SP 811, appendix B.
POUND_FORCE = Fraction("0.45359237") * Fraction("9.80665")
PSI = POUND_FORCE / Fraction("0.0254") ** 2
PRESSURE = {"psi": PSI, "kPa": Fraction(1000), "bar": Fraction(100_000)}

POINTS = 6000


def decimal(rng, low, high, places):
    """A decimal number as a person would type it."""
    return f"{rng.uniform(low, high):.{places}f}"


def pascals(text):
    number, unit = text.split(" ", 1)
    return Fraction(number) * PRESSURE[unit.removesuffix("/turn")]


def pressure(rng, low, high):
    """A pressure between two numbers of psi, in any unit."""
    unit = rng.choice(("psi", "psi", "kPa", "bar"))
    scale = {"psi": 1, "kPa": 6.894757, "bar": 0.06894757}[unit]
    return f"{decimal(rng, low * scale, high * scale, {'psi': 0, 'kPa': 0, 'bar': 2}[unit])} {unit}"


def any_request(rng):
    rate = f"{decimal(rng, 5, 40, rng.choice((0, 1)))} psi/turn"
    if rng.random() < 0.3:
        rate = f"{decimal(rng, 30, 280, 0)} kPa/turn"
    request = {"do": "turn_plan", "from": pressure(rng, 20, 200), "to": pressure(rng, 20, 200), "rate": rate}
    if rng.random() < 0.5:
        low = rng.choice((5, 15, 20, 30))
        request["range"] = [f"{low} psi", f"{low + rng.choice((50, 75, 180, 270))} psi"]
    if rng.random() < 0.5:
        request["inlet"] = pressure(rng, 30, 250)
    if rng.random() < 0.4:
        request["min_differential"] = f"{rng.randint(0, 15)} psi"
    if rng.random() < 0.5:
        request["max_move_turns"] = rng.choice((0.1, 0.125, 0.25, 0.3, 0.5, 1.0))
    if rng.random() < 0.5:
        request["max_move"] = f"{rng.randint(1, 10)} psi"
    return request


def plan(request):
    """The same plan, exactly."""
    start, target, rate = (pascals(request[key]) for key in ("from", "to", "rate"))
    turns = (target - start) / rate
    limits = []
    if "max_move_turns" in request:
        limits.append(Fraction(str(request["max_move_turns"])))
    if "max_move" in request:
        limits.append(pascals(request["max_move"]) / rate)
    count = math.ceil(abs(turns) / min(limits)) if limits else 1
    warnings = set()
    if "range" in request:
        low, high = map(pascals, request["range"])
        margin = (high - low) / 10
        if not low <= target <= high:
            warnings.add("out_of_range")
        elif not low + margin <= target <= high - margin:
            warnings.add("near_end")
        if not low <= start <= high:
            warnings.add("from_out_of_range")
    least = pascals(request["min_differential"]) if "min_differential" in request else None
    if "inlet" in request:
        left = pascals(request["inlet"]) - target
        if left <= 0:
            warnings.add("above_inlet")
        if least is not None and left < least:
            warnings.add("min_differential")
    elif least is not None:
        warnings.add("inlet_unknown")
    return turns, min(limits, default=None), count if turns else 0, warnings


def test_plans_agree_with_exact_arithmetic(calc, compared, rng):
    requests = [any_request(rng) for _ in range(POINTS)]
    several = with_warnings = 0
    for request, answer in zip(requests, calc(requests), strict=True):
        turns, limit, count, warnings = plan(request)
        seen = (request, answer, float(turns))
        # A difference of two pressures cancels digits, so the tolerance is absolute: a millionth of a millionth
        # of a turn, on turns that are at most forty.
        assert abs(Fraction(answer["turns"]) - turns) < Fraction(1, 10**12), seen
        assert math.isclose(answer["degrees"], float(turns * 360), abs_tol=1e-9), seen
        direction = "clockwise" if turns > 0 else "counter-clockwise" if turns < 0 else "none"
        assert answer["direction"] == direction, seen
        moves = answer["moves"]
        assert len(moves) == count, seen
        # Added in order, as a person would make them, they are the turns to the last bit.
        added = 0.0
        for move in moves:
            added += move
            assert abs(Fraction(move) - turns / count) < Fraction(1, 10**12), seen
            assert limit is None or abs(Fraction(move)) <= limit * (1 + Fraction(1, 10**9)), seen
        assert added == answer["turns"], seen
        assert len(set(answer["warnings"])) == len(answer["warnings"]) and set(answer["warnings"]) == warnings, seen
        several += count > 1
        with_warnings += bool(warnings)
        compared()
    # The points reach what they are for.
    assert several > POINTS / 4 and with_warnings > POINTS / 4


def test_whole_numbers_of_moves_are_not_split_once_more(calc, compared):
    """0.9 turn in moves of 0.3 is three moves, though 0.9 / 0.3 is more than 3 in binary."""
    requests, counts = [], []
    for rate in (7, 12, 15, 27):
        for count in range(1, 40):
            for limit in ("0.1", "0.3", "0.6", "0.7"):
                change = Fraction(limit) * count * rate
                requests.append({
                    "do": "turn_plan", "from": "20 psi", "to": f"{float(20 + change)!r} psi",
                    "rate": f"{rate} psi/turn", "max_move_turns": float(limit),
                })
                counts.append(count)
    for request, count, answer in zip(requests, counts, calc(requests), strict=True):
        assert len(answer["moves"]) == count, (request, answer)
        compared()


def test_the_worked_rows(calc, compared):
    """Common practice, no source: a 30-300 psi spring of 27 psi per turn."""
    rows = [("60 psi", "35 psi", -0.926, 5e-4), ("40 psi", "35 psi", -0.185, 5e-4)]
    requests = [{"do": "turn_plan", "from": a, "to": b, "rate": "27 psi/turn"} for a, b, _, _ in rows]
    for (_, _, turns, within), answer in zip(rows, calc(requests), strict=True):
        assert math.isclose(answer["turns"], turns, abs_tol=within)
        assert answer["direction"] == "counter-clockwise"
        compared()
    assert round(answer["degrees"]) == -67
