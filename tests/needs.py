"""What a test needs from the machine besides Python packages."""

import os

import pytest


def skip_or_fail(reason: str):
    """Without what a test needs it is skipped on a learner's machine, but never in CI."""
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)
