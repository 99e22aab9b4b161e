"""What all tests share: settings of the property tests, and the flag that records golden numbers anew."""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, settings

# Test workers share the cores: linear algebra that starts its own threads in each of them waits for itself.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

settings.register_profile(
    "workshop",
    derandomize=True,  # the same examples in every run
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("workshop")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--record", action="store_true", help="write the golden numbers anew instead of comparing")
