"""The exported pages: how large they are, and how long it takes to make them."""

import subprocess
import sys
import time

from launcher import paths

LESSON, ALL = 3_000_000, 25_000_000  # bytes: what can be mailed, and what a stick holds many times
LONGEST = 180  # seconds on two cores


def test_pages_are_small_enough_to_send_and_soon_made(tmp_path):
    started = time.monotonic()
    command = [sys.executable, "-m", "launcher.export", tmp_path / "pages", "metric"]
    subprocess.run(command, cwd=paths.ROOT, check=True)
    took = time.monotonic() - started
    sizes = {path.name: path.stat().st_size for path in tmp_path.rglob("*.html")}
    assert {name: size for name, size in sizes.items() if size > LESSON} == {}
    assert sum(sizes.values()) < ALL
    assert took < LONGEST
