"""The learned rate against the same posterior computed directly, on a grid, with numpy and scipy.

The product integrates rate and level in closed form from running sums. Here nothing is closed: the likelihood is
the multivariate normal density of the differences within each run, with its full covariance, at every rate of a
fine grid and every dead band; mean and quantiles are sums over that grid.
"""

import math

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.linalg import inv
from scipy.optimize import brentq
from scipy.special import logsumexp
from scipy.stats import norm

POINTS = 2000
# The model's constants, as its documentation gives them.
SPREAD = 0.2
BAND_MOST = 0.25
BANDS = 50
FAULT_SHARE = 0.01
FAULT_WIDTH = 10.0
HOLDS_WITHIN = 0.02
RATES = np.linspace(-0.5, 3.0, 1401)


def request(rng):
    """One to five moves as a crew would make them: the readings mostly carry on, some are wrong, some moves dry."""
    printed = rng.choice((9, 15, 27))
    rate = printed * max(0.3, rng.gauss(1.0, 0.2))
    band = rng.uniform(0.0, 0.2)
    resolution = rng.choice((0.5, 1.0, 2.0))
    pressure = rng.uniform(50.0, 90.0)
    slack, moves, shown = None, [], None
    for _ in range(rng.randint(1, 5)):
        turns = rng.choice((-1, 1)) * rng.randint(1, 8) / 16
        if slack is None:
            slack = 0.0 if turns > 0 else band
        before = shown if shown is not None and rng.random() < 0.8 else round(pressure / resolution) * resolution
        lost = min(turns, slack) if turns > 0 else -min(-turns, band - slack)
        slack -= lost
        pressure += rate * (turns - lost)
        shown = round(pressure / resolution) * resolution
        if rng.random() < 0.05:
            shown += rng.choice((-10, 10))
        move = {"turns": turns, "before": f"{before} psi", "after": f"{shown} psi", "resolution": f"{resolution} psi"}
        if rng.random() < 0.1:
            move["flow"] = False
        moves.append(move)
    return {"do": "learn_rate", "printed": f"{printed} psi/turn", "moves": moves}


def driven(turns, band):
    """Where the spring's end stands after each move: it is dragged along within the dead band below the screw."""
    # The first move finds the play taken up: down, the screw itself pushes; up, its far side does.
    screw, end, ends = (0.0 if turns[0] < 0 else band), 0.0, [0.0]
    for each in turns:
        screw += each
        end = min(max(end, screw - band), screw)
        ends.append(end)
    return np.array(ends)


def odd_answers(moves, printed):
    """Which moves were answered not at all or the wrong way: judged with the largest dead band."""
    ends = driven([turns for turns, *_ in moves], BAND_MOST)
    odd = []
    for at, (turns, before, after, noise) in enumerate(moves):
        both = math.hypot(noise, noise)
        change = (after - before) * math.copysign(1, turns)
        expected = 0.5 * printed * abs(ends[at + 1] - ends[at])
        odd.append(change < -3 * both or (expected >= 2.5 * both and change <= 1.5 * both))
    return odd


def runs_of(moves, used):
    """Runs of (reading, noise, moves made before it); a reading taken over is one reading."""
    runs, last = [], None
    for at, (_, before, after, noise) in enumerate(moves):
        if not used[at]:
            last = None
            continue
        if last is None or last != before:
            runs.append([(before, noise, at)])
        runs[-1].append((after, noise, at + 1))
        last = after
    return runs


def log_likelihood(run, ends, printed):
    """Of one run, for every dead band (rows) and rate: the density of its differences to the first reading."""
    if len(run) < 2:
        return np.zeros((BANDS, RATES.size))
    y = np.array([reading / printed for reading, _, _ in run])
    variance = np.array([(noise / printed) ** 2 for _, noise, _ in run])
    x = ends[:, [made for *_, made in run]]
    covariance = np.diag(variance[1:]) + variance[0]
    precision = inv(covariance)
    dy, dx = y[1:] - y[0], x[:, 1:] - x[:, :1]
    # (dy - rate dx)' precision (dy - rate dx), multiplied out.
    squares = (
        dy @ precision @ dy
        - 2 * np.outer(dx @ precision @ dy, RATES)
        + np.outer(np.einsum("bi,ij,bj->b", dx, precision, dx), RATES**2)
    )
    return -0.5 * (squares + np.linalg.slogdet(covariance)[1] + (len(run) - 1) * math.log(2 * math.pi))


def posterior(asked):
    """Mean, 95 % interval and mean dead band (None without a reversal)."""
    printed = float(asked["printed"].split()[0])
    moves = []
    for move in asked["moves"]:
        if move.get("flow", True):
            before, after, resolution = (float(move[key].split()[0]) for key in ("before", "after", "resolution"))
            moves.append((move["turns"], before, after, math.hypot(resolution / math.sqrt(12), HOLDS_WITHIN)))
    turns = [turn for turn, *_ in moves]
    reversed_ = any(a * b < 0 for a, b in zip(turns, turns[1:], strict=False))
    odd = odd_answers(moves, printed) if moves else []
    used = [not (sum(odd) > 1 and it) for it in odd]
    runs = runs_of(moves, used)
    blame = FAULT_SHARE / (1 - FAULT_SHARE) / FAULT_WIDTH
    bands = (np.arange(BANDS) + 0.5) / BANDS * BAND_MOST
    ends = np.array([driven(turns, band) for band in bands]) if turns else np.zeros((BANDS, 1))
    each = [log_likelihood(run, ends, printed) for run in runs]
    whole = sum(each, np.zeros((BANDS, RATES.size)))
    faults = [whole]
    for own, run in zip(each, runs, strict=True):
        rest = whole - own + math.log(blame)
        for wrong in range(len(run)):
            faults.append(rest + log_likelihood(run[:wrong] + run[wrong + 1:], ends, printed))
        for cut in range(1, len(run)):
            faults.append(rest + log_likelihood(run[:cut], ends, printed) + log_likelihood(run[cut:], ends, printed))
    total = logsumexp(faults, axis=0) + norm.logpdf(RATES, 1.0, SPREAD) + np.log(1 - bands / BAND_MOST)[:, None]
    density = np.exp(total - total.max())
    over_rates = density.sum(axis=0)
    over_rates /= over_rates.sum()
    # Between the grid's points the density is a cubic spline; its integral is the distribution.
    distribution = CubicSpline(RATES, over_rates).antiderivative()
    everything = distribution(RATES[-1])
    low, high = (
        brentq(lambda rate, share=share: distribution(rate) / everything - share, RATES[0], RATES[-1], xtol=1e-12)
        for share in (0.025, 0.975)
    )
    over_bands = density.sum(axis=1)
    band = float((over_bands * bands).sum() / over_bands.sum()) if reversed_ else None
    return float((over_rates * RATES).sum()) * printed, low * printed, high * printed, band


def test_the_learned_rate_is_the_posterior_computed_directly(calc, compared, rng):
    requests = [request(rng) for _ in range(POINTS)]
    doubted = bands = 0
    for asked, answer in zip(requests, calc(requests), strict=True):
        mean, low, high, band = posterior(asked)
        printed = float(asked["printed"].split()[0])
        seen = (asked, answer, mean, low, high, band)
        # The grid's own error: sums over a smooth density are far below a thousandth of a step of 0.0025; a
        # cubic spline through a peak a few steps wide is off by less than a tenth of one.
        assert math.isclose(answer["psi_per_turn"], mean, rel_tol=1e-6), seen
        assert math.isclose(answer["low"], low, abs_tol=2e-4 * printed), seen
        assert math.isclose(answer["high"], high, abs_tol=2e-4 * printed), seen
        assert (answer["dead_band_turns"] is None) == (band is None), seen
        if band is not None:
            assert math.isclose(answer["dead_band_turns"], band, abs_tol=1e-6), seen
            bands += 1
        doubted += "doubtful_reading" in answer["warnings"]
        compared()
    # The points reach what they are for.
    assert bands > POINTS / 4 and doubted > 10


def test_without_moves_the_answer_is_the_prior(calc, compared, rng):
    for printed in range(5, 60):
        answer = calc([{"do": "learn_rate", "printed": f"{printed} psi/turn", "moves": []}])[0]
        assert math.isclose(answer["psi_per_turn"], printed, rel_tol=1e-9)
        for key, share in (("low", 0.025), ("high", 0.975)):
            assert math.isclose(answer[key], norm.ppf(share, printed, SPREAD * printed), rel_tol=1e-9)
        compared()
