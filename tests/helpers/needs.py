"""What a test needs from the machine besides Python packages."""

import os

import pytest

from launcher import environment


def skip_or_fail(reason: str):
    """Without what a test needs it is skipped on a learner's machine, but never in CI."""
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)


def need_packages():
    """Tests that start the course need it to start at once."""
    if environment.missing([environment.LEARNER_PACKAGES]):
        skip_or_fail("The packages are not those of the course. Run: python3 course.py test")
