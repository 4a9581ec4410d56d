"""Whether a pressure has settled: the figures against numpy and scipy on random series of every kind."""

import math

import numpy as np
import scipy.signal
import scipy.stats

SERIES = 3000
SINES = 400
KINDS = ("level", "ramp", "exponential", "sine", "ring", "steps")


def times(rng, n):
    """As a logger takes them, or as a thumb does."""
    step = rng.choice((0.1, 1.0, 5.0, 30.0))
    if rng.random() < 0.5:
        return step * np.arange(n)
    return np.cumsum([step * rng.uniform(0.5, 1.5) for _ in range(n)])


def series(rng, kind):
    n = rng.choice((3, 4, 5, 7, 8, 12, 40, 150, 400))
    t = times(rng, n)
    span, level = t[-1] - t[0], rng.uniform(20, 150)
    size = rng.uniform(0.1, 20)
    psi = {
        "level": lambda: np.full(n, level),
        "ramp": lambda: level + size * rng.choice((-1, 1)) * t / span,
        "exponential": lambda: level + size * np.exp(-t / (span * rng.uniform(0.02, 1))),
        "sine": lambda: level + size * np.sin(2 * np.pi * t * rng.uniform(1, 20) / span),
        "ring": lambda: level + size * np.exp(-4 * t / span) * np.sin(2 * np.pi * 10 * t / span),
        "steps": lambda: level + size * (t > t[0] + span * rng.random()),
    }[kind]()
    psi = psi + rng.choice((0, 0.01, 0.1, 1)) * np.array([rng.gauss(0, 1) for _ in range(n)])
    if rng.random() < 0.3:
        psi = np.round(psi)
    return t, psi


def pairs(t, psi):
    return [[float(a), float(b)] for a, b in zip(t, psi, strict=True)]


def close(a, b, scale):
    return math.isclose(a, b, rel_tol=1e-6, abs_tol=1e-9 * scale)


def test_mean_slope_and_their_test_agree_with_numpy_and_scipy(calc, compared, rng):
    drawn = [series(rng, KINDS[at % len(KINDS)]) for at in range(SERIES)]
    requests = [{"do": "steady", "samples": pairs(*one)} for one in drawn]
    seen_states = set()
    for (t, psi), answer in zip(drawn, calc(requests), strict=True):
        seen = (t.tolist(), psi.tolist(), answer)
        state, because = answer["state"], answer["because"]
        seen_states.add(state)
        assert answer["warnings"] in ([], ["noisy"]), seen
        keep = t >= answer["from_s"]
        if state == "steady":
            assert answer["settled_at_s"] == answer["from_s"], seen
        if state == "steady" and len(t) >= 8:
            line = scipy.stats.linregress(t[keep], psi[keep])
            change = abs(line.slope) * (t[-1] - t[keep][0])
            if because[0] == "trend_within_band":
                assert change <= answer["band_psi"] * (1 + 1e-9), seen
            else:
                assert because[0] == "trend_not_significant" and change > answer["band_psi"], seen
                assert line.pvalue > 0.01 - 1e-9, seen
        if answer["from_s"] == t[0] or state in ("steady", "settling", "drifting", "hunting"):
            assert close(answer["mean_psi"], np.mean(psi[keep]), 100), seen
            slope = np.polynomial.Polynomial.fit(t[keep], psi[keep], 1).convert().coef
            slope = slope[1] * 60 if len(slope) > 1 else 0.0
            assert close(answer["slope_psi_per_min"], slope, 100 + 1e4 / (t[-1] - t[0])), seen
            compared(2)
        assert math.isclose(
            answer["band_psi"], max(0.5, 0.01 * abs(np.mean(psi))), rel_tol=1e-9
        ), seen
    assert seen_states == {"steady", "settling", "drifting", "hunting", "too_short"}


def test_a_sine_hunts_at_the_period_that_scipy_finds(calc, compared, rng):
    drawn = []
    for _ in range(SINES):
        n, rate = rng.choice((200, 400, 1000)), rng.choice((0.5, 1.0, 10.0))
        t = np.arange(n) / rate
        frequency = rng.uniform(5, n / 6) / t[-1]
        amplitude, noise = rng.uniform(1.5, 10), rng.choice((0, 0.1, 0.5))
        psi = 60 + amplitude * np.sin(2 * np.pi * frequency * t + rng.uniform(0, 6))
        psi = psi + noise * np.array([rng.gauss(0, 1) for _ in range(n)])
        drawn.append((t, psi, rate, frequency, amplitude))
    requests = [{"do": "steady", "samples": pairs(t, psi)} for t, psi, *_ in drawn]
    for (t, psi, rate, frequency, amplitude), answer in zip(drawn, calc(requests), strict=True):
        seen = (answer, rate, frequency, amplitude, len(t))
        assert answer["state"] == "hunting", seen
        keep = t >= answer["from_s"]
        t, psi = t[keep], psi[keep]
        # The loudest of a fine comb of frequencies around the truth, by an implementation made by others.
        span = t[-1] - t[0]
        comb = frequency + np.linspace(-1, 1, 401) / span
        power = scipy.signal.lombscargle(t, scipy.signal.detrend(psi), 2 * np.pi * comb)
        loudest = comb[np.argmax(power)]
        assert abs(1 / answer["period_s"] - loudest) <= 0.006 / span, seen
        # And the sine's amplitude, from a least-squares fit of its own.
        angle = 2 * np.pi * t / answer["period_s"]
        fit = np.linalg.lstsq(
            np.column_stack([np.cos(angle), np.sin(angle)]), scipy.signal.detrend(psi), rcond=None
        )[0]
        assert math.isclose(answer["amplitude_psi"], np.hypot(*fit), rel_tol=1e-6), seen
        compared(2)


def test_without_noise_it_settled_when_the_exponential_entered_the_band(calc, compared, rng):
    drawn = []
    for _ in range(SINES):
        n = rng.choice((50, 200, 600))
        t = rng.choice((0.1, 1.0, 10.0)) * np.arange(n)
        psi = 60 + rng.uniform(2, 30) * np.exp(-t / (t[-1] * rng.uniform(0.03, 0.1)))
        drawn.append((t, psi))
    requests = [{"do": "steady", "samples": pairs(*one), "band": "0.6 psi"} for one in drawn]
    for (t, psi), answer in zip(drawn, calc(requests), strict=True):
        seen = (answer, len(t), t[1])
        assert answer["state"] == "steady", seen
        outside = np.flatnonzero(np.abs(psi - np.mean(psi[-(len(t) // 5):])) > 0.6)
        expected = t[outside[-1] + 1] if len(outside) else t[0]
        # A moving average may be laid over fast movement; it moves the moment by a few samples at most.
        assert abs(answer["settled_at_s"] - expected) <= 3 * t[1] + 1e-9, seen
        compared()
