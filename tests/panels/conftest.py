"""What tests of panels share."""

import logging

import ipywidgets
import pytest

from recoverykit import progress


@pytest.fixture
def in_new_kernel(tmp_path, monkeypatch, caplog):
    """A kernel in a folder of its own, where nothing is logged; call it to restart the kernel."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(progress, "_current", [])
    yield progress._current.clear
    ipywidgets.Widget.close_all()
    assert not [record for record in caplog.records if record.levelno >= logging.WARNING]
