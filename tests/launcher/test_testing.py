"""The test command."""

import sys

import pytest

from launcher import environment, paths, testing


@pytest.fixture
def modules(monkeypatch):
    """Note which modules the test command runs; those named here give an exit code but 0."""
    runs, codes = [], {}

    def run_module(name, *arguments):
        runs.append((name, *arguments))
        return codes.get((name, *arguments[:1]), 0)

    monkeypatch.setattr(environment, "prepare", lambda *names: None)
    monkeypatch.setattr(testing, "run_module", run_module)
    monkeypatch.setattr(testing, "find_chromium", lambda: "/usr/bin/chromium")
    return runs, codes


def test_all_tests_are_the_style_checks_what_is_untimed_and_what_is_timed(modules):
    runs, _ = modules
    assert testing.run_tests([]) == 0
    (*style, untimed, timed) = runs
    assert style == [("ruff", "check"), ("ruff", "format", "--check")]
    left_out = [option for option in untimed if option.startswith("--ignore=")]
    assert left_out == [f"--ignore={path}" for path in timed[1:]]
    assert all((paths.ROOT / path).exists() for path in timed[1:])


def test_quick_tests_leave_out_what_is_slow_and_need_no_browser(modules, monkeypatch, capsys):
    runs, codes = modules
    monkeypatch.setattr(testing, "find_chromium", lambda: pytest.fail("it was looked for"))
    assert testing.run_tests(["quick", "-x"]) == 0
    (*style, quick) = runs
    assert style == [("ruff", "check"), ("ruff", "format", "--check")]
    assert "--quick" in quick
    assert quick[-1] == "-x"
    patterns = [each for each in quick if each.startswith("--ignore-glob=")]
    assert patterns == [f"--ignore-glob={paths.ROOT}/{path}*" for path in testing.SLOW]
    assert all(list(paths.ROOT.glob(f"{path}*")) for path in testing.SLOW)
    codes["pytest", "-n"] = 1
    assert testing.run_tests(["quick"]) == 1


def test_arguments_go_to_pytest(modules):
    runs, _ = modules
    testing.run_tests(["tests/test_rope.py", "-x"])
    assert runs == [("pytest", "tests/test_rope.py", "-x")]


@pytest.mark.parametrize(
    "failing", [("ruff", "check"), ("pytest", "-n"), ("pytest", testing.TIMED[0])]
)
def test_any_failure_fails_the_whole(modules, failing):
    _, codes = modules
    codes[failing] = 1
    assert testing.run_tests([]) == 1


def test_a_missing_chromium_is_the_last_thing_said(modules, monkeypatch, capsys):
    monkeypatch.setattr(testing, "find_chromium", lambda: None)
    testing.run_tests([])
    assert capsys.readouterr().out.endswith(testing.CHROMIUM_MISSING + "\n")


def test_chromium_is_found_on_the_path_the_one_without_windows_first(tmp_path, monkeypatch):
    monkeypatch.setattr(paths, "VENV_PYTHON", sys.executable)
    monkeypatch.setenv("PATH", str(tmp_path))
    for name in reversed(testing.CHROMIUM_NAMES):
        browser = tmp_path / name
        browser.write_text("#!/bin/sh\n")
        browser.chmod(0o755)
        assert testing.find_chromium() == str(browser)


def test_no_chromium_anywhere_is_none(tmp_path, monkeypatch):
    monkeypatch.setattr(paths, "VENV_PYTHON", sys.executable)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("PLAYWRIGHT_BROWSERS_PATH", str(tmp_path))
    assert testing.find_chromium() is None


def test_a_chromium_that_playwright_cannot_drive_is_none(tmp_path, monkeypatch):
    broken = tmp_path / "python"
    broken.write_text("#!/bin/sh\nexit 127\n")
    broken.chmod(0o755)
    monkeypatch.setattr(paths, "VENV_PYTHON", broken)
    assert testing.find_chromium() is None
