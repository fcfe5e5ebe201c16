"""What all tests share."""

import gc
import itertools
import logging
import re
import shutil
import signal
import subprocess

import ipywidgets
import pytest
from hypothesis import settings

from recoverykit import display
from recoverykit.course import progress
from recoverykit.course.panel import Panel
from recoverykit.units.quantities import METRIC

# No unit test is timed: a busy machine is no fault of the code.
settings.register_profile("untimed", deadline=None)
settings.register_profile("quick", deadline=None, max_examples=10)
settings.load_profile("untimed")

# Tests that are run in the background are deaf to Ctrl-C, and so would be all that they start.
signal.signal(signal.SIGINT, signal.default_int_handler)


def pytest_addoption(parser):
    """What is added to pytest's own options."""
    parser.addoption(
        "--every-corner",
        action="store_true",
        help="where tests visit pairs of a panel's extremes, visit every corner: takes minutes",
    )
    parser.addoption(
        "--renew-pictures",
        action="store_true",
        help="keep the panels' pictures as they are now, to compare later ones with",
    )
    parser.addoption(
        "--quick",
        action="store_true",
        help="leave out tests that visit the corners of a panel, and try fewer random examples",
    )
    parser.addoption(
        "--accounts",
        action="store_true",
        help="run the class tests, which make accounts on this machine, as CI does: needs root",
    )


def pytest_configure(config):
    """Follow our own options."""
    if config.getoption("--every-corner"):
        Panel.paired_corners = Panel.corners
    if config.getoption("--quick"):
        Panel.corners = Panel.paired_corners = leave_out
        settings.load_profile("quick")


def leave_out(panel):
    """Stand for a panel's corners."""
    pytest.skip("quick tests do not visit corners")


@pytest.fixture(autouse=True)
def metric():
    """Every test starts in metric units and leaves them so."""
    display.use("metric")
    made: list[ipywidgets.Widget] = []
    ipywidgets.Widget.on_widget_constructed(made.append)
    yield
    ipywidgets.Widget.on_widget_constructed(None)
    for widget in made:
        widget.close()
    left_behind = bool(made)
    made.clear()
    if left_behind and display.system is not METRIC:
        gc.collect()  # else each panel that a test has left behind would follow the switch
    display.use("metric")


@pytest.fixture(autouse=True, scope="module")
def panels_let_go():
    """The panels of a file end with it: else all would follow each switch of units from then on."""
    yield
    ipywidgets.Widget.close_all()
    gc.collect()


@pytest.fixture
def in_new_kernel(tmp_path, monkeypatch, caplog):
    """A kernel in a folder of its own, where nothing is logged; call it to restart the kernel."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(progress, "_current", [])
    yield progress._current.clear
    ipywidgets.Widget.close_all()
    assert not [record for record in caplog.records if record.levelno >= logging.WARNING]


@pytest.fixture
def small_disk(request, tmp_path):
    """A folder that is a disk of its own, of 64 kB unless a test asks for another size."""
    size = getattr(request, "param", "64k")
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(disk)]
    if not shutil.which("mount") or subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("only an administrator of Linux can mount a small disk")
    yield disk
    subprocess.run(["umount", "--lazy", str(disk)], check=True)


def pytest_terminal_summary(terminalreporter):
    """Say what the benchmarks measured: each records it as its property "speed"."""
    for report in terminalreporter.getreports("passed") + terminalreporter.getreports("failed"):
        for figures in (text for name, text in report.user_properties if name == "speed"):
            terminalreporter.write_line(figures)


# --- many at once ---------------------------------------------------------------------------

CLASS = "tests/class_server"
PROJECTOR = "tests/browser/test_present.py"

# What takes longest is begun first, so that no worker is left alone with it at the end.
LONGEST = ("tests/browser/test_whole_course.py", CLASS, "tests/browser/", "tests/faults/")


def pytest_collection_modifyitems(config, items):
    """Begin with what takes longest; of the quick tests, take the first and last case of each."""
    if config.getoption("--quick"):
        cases = itertools.groupby(items, lambda item: item.nodeid.partition("[")[0])
        ends = {end for _, of_one in cases for end in first_and_last(of_one)}
        config.hook.pytest_deselected(items=[item for item in items if item not in ends])
        items[:] = [item for item in items if item in ends]
    items.sort(key=lambda item: [not item.nodeid.startswith(start) for start in LONGEST])


def first_and_last(cases):
    """The first and the last of some, which may be the same."""
    first, *others = cases
    return [first, *others[-1:]]


def pytest_collection_finish():
    """Leave out of every later look for garbage what stays to the end: thousands of tests."""
    gc.collect()
    gc.freeze()


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """Hand each file as a whole to a worker, and all of the class tests: they share accounts.

    The projector's pages, which are one a lesson, are handed out in two halves.
    """
    from xdist.scheduler import LoadFileScheduling

    class Files(LoadFileScheduling):
        def _split_scope(self, nodeid):
            if nodeid.startswith(CLASS):
                return CLASS
            file = super()._split_scope(nodeid)
            lesson = re.search(r"\[(\d\d)-", nodeid) if file == PROJECTOR else None
            return f"{file} {int(lesson[1]) % 2}" if lesson else file

    return Files(config, log)
