"""The tests of the course."""

import contextlib
import os
import shutil
import subprocess

from launcher import environment, paths
from launcher.common import private_folder, say, wait

CHROMIUM_MISSING = (
    "The browser tests need Chromium, and on Linux libatomic. "
    "On Debian: sudo apt install chromium-headless-shell libatomic1. "
    "On macOS: .venv/bin/python -m playwright install chromium. "
    "On Windows: .venv\\Scripts\\python -m playwright install chromium."
)
# The one without windows comes first: it draws the same pages in three quarters of the time.
CHROMIUM_NAMES = ("chromium-headless-shell", "chromium", "chromium-browser")

# What is timed runs by itself, after all else.
TIMED = ("tests/benchmarks", "tests/browser/test_key_press_speed.py")
BESIDE_EACH_OTHER = ("-n", "2", "--no-loadscope-reorder")  # in the order of tests/conftest.py
# Left out of the quick tests, and with them each test that visits the corners of a panel: what
# starts a browser, servers, kernels or other tools, and what takes longest of the rest.
SLOW = ("lessons", "tests/benchmarks", "tests/browser", "tests/class_server", "tests/faults")
SLOW += ("tests/simulations", "tests/launcher/pages", "tests/lessons/plan/test_card")
SLOW += ("tests/measurements/test_model_selection", "tests/measurements/test_reading")
SLOW += tuple(f"tests/launcher/test_{name}" for name in ("check", "export", "present", "server"))
SLOW += tuple(f"tests/repository/test_{name}" for name in ("security", "types", "wheel"))


def run_tests(arguments: list[str]) -> int:
    """Run the style checks and all tests, the quick ones, or what the arguments tell pytest."""
    environment.prepare(environment.LEARNER_PACKAGES, environment.TEST_PACKAGES)
    if arguments[:1] == ["quick"]:
        style = [run_module("ruff", "check"), run_module("ruff", "format", "--check")]
        left_out = (f"--ignore-glob={paths.ROOT / path}*" for path in SLOW)
        options = ("--quick", *left_out, *arguments[1:])
        return max(*style, run_module("pytest", *BESIDE_EACH_OTHER, *options))
    chromium = find_chromium()
    if not chromium:
        say(CHROMIUM_MISSING)
    if arguments:
        results = [run_module("pytest", *arguments)]
    else:
        style = [run_module("ruff", "check"), run_module("ruff", "format", "--check")]
        untimed = run_module("pytest", *BESIDE_EACH_OTHER, *(f"--ignore={path}" for path in TIMED))
        timed = run_module("pytest", *TIMED)
        results = [*style, untimed, timed]
        if any(style):
            say("The style checks before the tests found something to fix.")
        if untimed:
            say("Tests failed before the benchmarks: their list stands above.")
    if not chromium:
        say("Not everything was tested. " + CHROMIUM_MISSING)
    return max(results)


def run_module(name: str, *arguments: str) -> int:
    """Run a Python module of .venv in the course's folder; return its exit code."""
    process = subprocess.Popen(
        [paths.VENV_PYTHON, "-m", name, *arguments],
        cwd=paths.ROOT,
        env=environment.jupyter_environment(private_folder(paths.VENV / "test-state")),
    )
    try:
        wait(process)
    except KeyboardInterrupt:
        # The terminal has told the process too, which may be ending servers of its own.
        with contextlib.suppress(subprocess.TimeoutExpired):
            process.wait(timeout=20)
        raise
    finally:
        process.kill()
    return process.returncode


def find_chromium() -> str | None:
    """Return the path of a Chromium that Playwright can drive, the system's or its own, or None."""
    question = (
        "from playwright.sync_api import sync_playwright\n"
        "with sync_playwright() as browsers: print(browsers.chromium.executable_path)"
    )
    answer = subprocess.run([paths.VENV_PYTHON, "-c", question], capture_output=True, text=True)
    if answer.returncode != 0:
        return None
    its_own = answer.stdout.strip()
    system = next(filter(None, map(shutil.which, CHROMIUM_NAMES)), None)
    return system or (its_own if os.path.isfile(its_own) else None)
