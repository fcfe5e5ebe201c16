"""Files: written whole or not at all, and never through a pipe, a device or a link."""

import errno
import os
import socket
import subprocess
import sys
import threading

import pytest

from recoverykit.units import files
from recoverykit.units.files import NotAFileError, locked, read_file, replace_file, write_new

unix = pytest.mark.skipif(os.name == "nt", reason="such files are of Unix")


def put_link(path):
    target = path.with_name("target")
    target.write_bytes(b"of somebody else")
    path.symlink_to(target)


def put_socket(path):
    with socket.socket(socket.AF_UNIX) as server:
        server.bind(str(path))


SPECIAL = {
    "a pipe": os.mkfifo if hasattr(os, "mkfifo") else None,
    "a folder": os.mkdir,
    "a link to another place": put_link,
    "a link to another place, which is not there": lambda path: path.symlink_to("nowhere"),
    "a link to another place, which never ends": lambda path: path.symlink_to("/dev/zero"),
    "a socket": put_socket,
}
each_special = pytest.mark.parametrize("what", SPECIAL)


@pytest.fixture
def special(tmp_path, what):
    """What stands where a file should, in a folder of its own."""
    if os.name == "nt":
        pytest.skip("such files are of Unix")
    path = tmp_path / "x"
    SPECIAL[what](path)
    yield path
    target = tmp_path / "target"
    assert not target.exists() or target.read_bytes() == b"of somebody else"
    assert {each.name for each in tmp_path.iterdir()} <= {"x", "x.tmp", "target"}


@each_special
@pytest.mark.parametrize(
    "use",
    [
        lambda path: read_file(path, 100),
        lambda path: replace_file(path, b"new"),
        lambda path: locked(path, 1).__enter__(),
    ],
    ids=["read", "replace", "lock"],
)
def test_what_is_no_file_is_refused_with_a_sentence(special, what, use):
    with pytest.raises(NotAFileError) as error:
        use(special)
    assert error.value.strerror == f"x is {what.partition(',')[0]}, not a file"


@each_special
def test_a_new_file_leaves_what_has_its_name(special):
    before = special.lstat()
    with pytest.raises(FileExistsError):
        write_new(special, b"new")
    assert special.lstat() == before


@each_special
def test_a_temporary_name_that_is_taken_is_refused(tmp_path, what):
    if os.name == "nt":
        pytest.skip("such files are of Unix")
    path = tmp_path / "kept"
    path.write_bytes(b"old")
    SPECIAL[what](tmp_path / "kept.tmp")
    with pytest.raises(NotAFileError, match=r"kept\.tmp is a"):
        replace_file(path, b"new")
    assert path.read_bytes() == b"old"


@unix
def test_a_device_is_refused():
    with pytest.raises(NotAFileError, match="zero is a device, not a file"):
        read_file(files.Path("/dev/zero"), 100, follow_links=True)


@unix
def test_a_link_may_be_followed_to_a_file_only(tmp_path):
    put_link(tmp_path / "link")
    assert read_file(tmp_path / "link", 100, follow_links=True) == b"of somebody else"
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "to-pipe").symlink_to("pipe")
    with pytest.raises(NotAFileError):
        read_file(tmp_path / "to-pipe", 100, follow_links=True)


@unix
def test_a_pipe_that_comes_between_looking_and_opening_is_not_waited_for(tmp_path, monkeypatch):
    path = tmp_path / "x"
    path.write_bytes(b"old")
    monkeypatch.setattr(files.Path, "lstat", lambda path: os.stat(__file__))
    path.unlink()
    os.mkfifo(path)
    with pytest.raises(NotAFileError):
        read_file(path, 100)


def test_no_more_is_read_than_was_asked_for(tmp_path):
    path = tmp_path / "large"
    with path.open("wb") as file:
        file.truncate(10**12)  # takes no room on the disk
    assert len(read_file(path, 1000)) == 1001


@unix
def test_a_hard_link_keeps_its_content_where_the_file_is_replaced(tmp_path):
    other, path = tmp_path / "other", tmp_path / "kept"
    other.write_bytes(b"of somebody else")
    os.link(other, path)
    os.link(other, tmp_path / "kept.tmp")
    replace_file(path, b"new")
    assert (path.read_bytes(), other.read_bytes()) == (b"new", b"of somebody else")


@pytest.mark.parametrize("moment", ["os.replace", "os.fsync"])
def test_a_new_file_is_never_there_by_half(tmp_path, moment):
    script = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from recoverykit.units.files import write_new\n"
        f"{moment} = lambda *_: os._exit(9)\n"
        "write_new(Path(sys.argv[1]), bytes(100_000))\n"
    )
    path = tmp_path / "card.pdf"
    assert subprocess.run([sys.executable, "-c", script, path], check=False).returncode == 9
    assert path.read_bytes() == b""
    with pytest.raises(FileExistsError):
        write_new(path, b"of now")


def test_two_who_look_for_a_free_name_do_not_overwrite_each_other(tmp_path):
    write_new(tmp_path / "card.pdf", b"first")
    with pytest.raises(FileExistsError):
        write_new(tmp_path / "card.pdf", b"second")
    assert (tmp_path / "card.pdf").read_bytes() == b"first"


def raise_fault(number):
    def fail(*_):
        raise OSError(number, os.strerror(number))

    return fail


def test_a_full_disk_leaves_neither_half_nor_whole(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "fsync", raise_fault(errno.ENOSPC))
    with pytest.raises(OSError, match="No space left"):
        write_new(tmp_path / "card.pdf", b"new")
    assert list(tmp_path.iterdir()) == []


# --- locks ------------------------------------------------------------------------------


def test_a_lock_that_another_holds_is_waited_for_and_then_given_up(tmp_path):
    acquired, done = threading.Event(), threading.Event()

    def hold():
        with locked(tmp_path / "x.lock", 5):
            acquired.set()
            done.wait()

    holder = threading.Thread(target=hold)
    holder.start()
    acquired.wait()
    try:
        with pytest.raises(TimeoutError, match="another page is busy"):
            locked(tmp_path / "x.lock", 0.05).__enter__()
    finally:
        done.set()
        holder.join()
    with locked(tmp_path / "x.lock", 0) as has_locks:
        assert has_locks


@pytest.mark.parametrize("number", [errno.ENOTSUP, errno.ENOLCK, errno.ENOSYS])
def test_a_file_system_without_locks_is_no_obstacle(tmp_path, monkeypatch, number):
    fcntl = pytest.importorskip("fcntl")
    monkeypatch.setattr(fcntl, "flock", raise_fault(number))
    with locked(tmp_path / "x.lock", 5) as has_locks:
        assert not has_locks


def test_any_other_fault_of_a_lock_is_one(tmp_path, monkeypatch):
    fcntl = pytest.importorskip("fcntl")
    monkeypatch.setattr(fcntl, "flock", raise_fault(errno.EIO))
    with pytest.raises(OSError, match="Input/output error"):
        locked(tmp_path / "x.lock", 5).__enter__()
