"""What holds for every picture."""

import pytest


@pytest.fixture(autouse=True)
def nothing_is_logged(caplog):
    """Matplotlib logs what it cannot draw as it was told to, such as a font that it lacks."""
    yield
    assert caplog.get_records("call") == []
