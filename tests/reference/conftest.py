"""Runs the product, and counts what was compared with it."""

import json
import os
import random
import subprocess
from collections import Counter

import pytest

SEED = int(os.environ.get("TURNWISE_SEED", "20240229"))
COMPARED = Counter()


@pytest.fixture(scope="session")
def calc():
    """A function from a list of requests to the list of answers, by way of one run of the binary."""
    binary = os.environ.get("TURNWISE_BIN")
    if not binary:
        pytest.fail("TURNWISE_BIN does not name the turnwise binary")

    def ask(requests):
        lines = "".join(json.dumps({**request, "id": at}) + "\n" for at, request in enumerate(requests))
        run = subprocess.run([os.path.abspath(binary), "calc"], input=lines, capture_output=True, text=True)
        assert run.returncode == 0, run.stderr
        answers = [json.loads(line) for line in run.stdout.splitlines()]
        assert [answer["id"] for answer in answers] == list(range(len(requests)))
        return answers

    return ask


@pytest.fixture
def rng(request):
    """Random numbers, other ones in each test, the same in each run."""
    return random.Random(f"{SEED} {request.node.name}")


@pytest.fixture
def compared(request):
    """A function that counts points. A test that takes it and counts none fails."""

    def count(points=1):
        COMPARED[request.node.nodeid] += points

    yield count
    assert COMPARED[request.node.nodeid] > 0, "this test compared nothing"


def pytest_terminal_summary(terminalreporter):
    terminalreporter.write_line(f"seed {SEED}")
    for test, points in sorted(COMPARED.items()):
        terminalreporter.write_line(f"{points:7d} points compared in {test}")
    terminalreporter.write_line(f"{sum(COMPARED.values()):7d} points compared in all")


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session, exitstatus):
    if exitstatus == pytest.ExitCode.OK and not COMPARED:
        session.exitstatus = pytest.ExitCode.NO_TESTS_COLLECTED
