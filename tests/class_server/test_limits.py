"""What all programs of one learner get together: by systemd, which is a stand-in here.

It says what it was asked for, and runs the command as systemd-run does. That a learner who wants
too much is then stopped is systemd's part, and the system's.
"""

import importlib
import json
import os
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from class_server.classroom import NAMES, SCRIPTS, processes_of

STAND_IN = """#!/bin/sh
echo "$(basename "$0") $*" >> {log}
while [ "$#" -gt 0 ]; do
    if [ "$1" = -- ]; then shift; exec "$@"; fi
    shift
done
"""

AS_WITH_SYSTEMD = """

def can_limit_learners():
    return True
"""


@pytest.fixture
def limits(classroom, monkeypatch):
    """The module, as it was installed."""
    monkeypatch.syspath_prepend(str(SCRIPTS))
    yield importlib.import_module("learner_limits")
    del sys.modules["learner_limits"]


@pytest.fixture
def systemd(tmp_path):
    """`commands`: a folder with stand-ins; `asked()`: what they were asked for."""
    log = tmp_path / "asked"
    for name in ("systemctl", "systemd-run"):
        (tmp_path / name).write_text(STAND_IN.format(log=log))
        (tmp_path / name).chmod(0o755)
    return SimpleNamespace(commands=tmp_path, asked=lambda: log.read_text().splitlines())


@pytest.mark.parametrize(
    ("folder", "controllers", "expected"),
    [
        ("systemd", "cpuset cpu io memory pids", True),
        ("systemd", "cpuset cpu pids", False),
        ("systemd", None, False),
        ("none", "cpuset cpu io memory pids", False),
    ],
)
def test_learners_are_limited_where_systemd_limits_memory(
    limits, tmp_path, monkeypatch, folder, controllers, expected
):
    (tmp_path / "systemd").mkdir()
    if controllers is not None:
        (tmp_path / "controllers").write_text(controllers)
    monkeypatch.setattr(limits, "SYSTEMD", tmp_path / folder)
    monkeypatch.setattr(limits, "CONTROLLERS", tmp_path / "controllers")
    assert limits.can_limit_learners() is expected


def test_a_class_says_what_is_not_limited(classroom, limits):
    said = limits.NO_GROUPS in classroom.log.read_text(encoding="utf-8")
    assert said is not limits.can_limit_learners()


WHO = """
import json, os, resource
print(json.dumps([os.getresuid(), os.getresgid(), os.getgroups(),
    resource.getrlimit(resource.RLIMIT_DATA), resource.getrlimit(resource.RLIMIT_NPROC)]))
"""


def test_a_server_in_a_group_has_nothing_left_of_root(limits, systemd, monkeypatch):
    monkeypatch.setenv("PATH", f"{systemd.commands}:{os.environ['PATH']}")
    command = [*limits.start_in_group(NAMES.ann), "/usr/bin/python3", "-c", WHO]
    users, groups, more_groups, memory, processes = json.loads(subprocess.check_output(command))
    home = Path("/home", NAMES.ann).stat()
    assert users == [home.st_uid] * 3
    assert groups == [home.st_gid] * 3
    assert 0 not in more_groups
    assert memory == [10**9] * 2
    assert processes == [300] * 2


@pytest.fixture
def class_with_systemd(classroom, systemd):
    """The class, started anew as on a machine where systemd can limit learners."""
    module = SCRIPTS / "learner_limits.py"
    before = module.read_text(encoding="utf-8")
    classroom.stop()
    try:
        module.write_text(before + AS_WITH_SYSTEMD, encoding="utf-8")
        classroom.start(commands=systemd.commands)
        yield classroom
        classroom.stop()
    finally:
        module.write_text(before, encoding="utf-8")
        classroom.start()


def test_all_that_a_learner_runs_is_in_one_group(class_with_systemd, systemd, wait_for):
    async def come_and_go():
        learner = class_with_systemd.learner(NAMES.dan)
        await learner.log_in()
        await learner.start()
        await learner.close()

    wait_for(come_and_go())
    home = Path("/home", NAMES.dan)
    group = f"courseclass-{home.stat().st_uid}.slice"
    limit, start = systemd.asked()
    assert limit == (
        f"systemctl set-property --runtime {group} MemoryMax=1500000000 MemorySwapMax=0"
    )
    assert start.startswith("systemd-run --scope ")
    assert f" --slice={group} " in start
    (server,) = processes_of(NAMES.dan)
    assert set(server.uids()) == {home.stat().st_uid}
    assert "jupyterhub.singleuser" in server.cmdline()
    class_with_systemd.stop()
    assert not processes_of(NAMES.dan)
