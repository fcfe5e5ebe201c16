"""Accounts for a class: whom they are made for, and what they keep."""

import subprocess
from pathlib import Path

import pytest

from class_server.classroom import PLACE, SCRIPTS, python_for_all, run

GONE, NEW = "course-test-gone", "course-test-new"


@pytest.fixture
def accounts(classroom):
    """The class server, to which accounts may be added."""
    yield classroom
    for name in (GONE, NEW):
        if classroom.passwords.pop(name, None):
            classroom.remove(name)


def refusal(script: str, *arguments: str) -> str:
    """What one of the scripts says to what it cannot do."""
    command = [python_for_all(), str(SCRIPTS / script), *arguments]
    result = subprocess.run(command, capture_output=True, text=True)
    assert result.returncode != 0
    assert not result.stdout
    return result.stderr


@pytest.mark.parametrize("name", ["root", "nobody"])
def test_accounts_of_the_machine_are_left_alone(classroom, name):
    before = Path("/etc/shadow").read_bytes()
    assert "is not one of the class" in refusal("learners.py", NEW, name)
    assert Path("/etc/shadow").read_bytes() == before


@pytest.mark.parametrize("name", ["", "../ann", "--root", "Ann", "ann:x", "a" * 32])
def test_what_is_no_name_is_refused(classroom, name):
    assert "cannot be an account" in refusal("learners.py", name)


def test_a_home_is_for_its_owner_only(classroom):
    for name in classroom.passwords:
        assert Path("/home", name).stat().st_mode & 0o777 == 0o700


def test_a_forgotten_password_is_replaced(accounts):
    accounts.add(NEW)
    first = accounts.passwords[NEW]
    accounts.add(NEW)
    assert accounts.passwords[NEW] != first


def test_a_home_that_outlives_its_account_goes_back_to_its_owner(accounts):
    accounts.add(GONE)
    owner = Path("/home", GONE).stat().st_uid
    run("userdel", GONE)
    accounts.add(NEW)
    assert Path("/home", NEW).stat().st_uid != owner
    accounts.add(GONE)
    assert Path("/home", GONE).owner() == GONE
    assert Path("/home", GONE).stat().st_uid == owner


def test_a_course_that_learners_cannot_read_is_refused(classroom):
    lock = PLACE / "my-class" / "running.lock"
    aside = lock.rename(PLACE / "my-class" / "aside.lock")  # as if no class ran
    PLACE.chmod(0o700)
    try:
        assert f"cannot look into {PLACE}" in refusal("serve.py", "--install")
    finally:
        PLACE.chmod(0o755)
        aside.replace(lock)
