"""Accounts are made in CI or when asked for, never because somebody happens to be root."""

import os
import subprocess
import sys

from launcher import paths


def test_no_account_is_made_unasked():
    environment = {name: text for name, text in os.environ.items() if name != "CI"}
    test = "tests/class_server/test_accounts.py::test_a_home_is_for_its_owner_only"
    pytest = [sys.executable, "-m", "pytest", "-q", "-rs", "-p", "no:cacheprovider", test]
    result = subprocess.run(
        pytest, cwd=paths.ROOT, env=environment, capture_output=True, text=True, timeout=300
    )
    assert "add --accounts" in result.stdout
    assert "1 skipped" in result.stdout
