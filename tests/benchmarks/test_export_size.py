"""The exported pages: how large they are, and how long it takes to make them."""

import os
import subprocess
import sys

from launcher import paths

LESSON, ALL = 3_000_000, 25_000_000  # bytes: what can be mailed, and what a stick holds many times
LONGEST = 180  # seconds on two cores, when nobody else wants them


def test_pages_are_small_enough_to_send_and_soon_made(tmp_path):
    before = os.times()
    command = [sys.executable, "-m", "launcher.export", tmp_path / "pages", "metric"]
    subprocess.run(command, cwd=paths.ROOT, check=True)
    after = os.times()
    took = after.children_user + after.children_system
    took -= before.children_user + before.children_system
    sizes = {path.name: path.stat().st_size for path in tmp_path.rglob("*.html")}
    assert {name: size for name, size in sizes.items() if size > LESSON} == {}
    assert sum(sizes.values()) < ALL
    assert took < 2 * LONGEST
