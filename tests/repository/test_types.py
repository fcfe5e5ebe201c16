"""The types of the library agree, as `[tool.mypy]` in pyproject.toml asks."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def test_the_type_checker_finds_nothing(tmp_path):
    check = [sys.executable, "-m", "mypy", f"--cache-dir={tmp_path}"]
    found = subprocess.run(check, cwd=ROOT, capture_output=True, text=True)
    assert found.returncode == 0, found.stdout + found.stderr
