"""What all tests share."""

import pytest

from recoverykit import display


@pytest.fixture(autouse=True)
def metric():
    """Every test starts in metric units and leaves them so."""
    display.use("metric")
    yield
    display.use("metric")
