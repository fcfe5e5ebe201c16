"""What all tests share."""

import pytest
from hypothesis import settings

from recoverykit import display

# No unit test is timed: a busy machine is no fault of the code.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


@pytest.fixture(autouse=True)
def metric():
    """Every test starts in metric units and leaves them so."""
    display.use("metric")
    yield
    display.use("metric")
