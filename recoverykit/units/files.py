"""Files: written whole or not at all, read up to a limit, and never through a pipe or a link.

A pipe or a device under the name of a file would stop whoever opens it, and a link would lead the
course to another file. All functions here refuse them with an OSError that says so.
"""

import contextlib
import errno
import os
import stat
from collections.abc import Iterator
from pathlib import Path

import filelock

_SPECIAL = {
    stat.S_IFLNK: "a link to another place",
    stat.S_IFDIR: "a folder",
    stat.S_IFIFO: "a pipe",
    stat.S_IFSOCK: "a socket",
    stat.S_IFCHR: "a device",
    stat.S_IFBLK: "a device",
}
# What the systems answer where a file system, often one of a network, has no locks.
_NO_LOCKS = {errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOLCK, errno.ENOSYS}


class NotAFileError(OSError):
    """What stands under a name is no file of the kind that the course writes."""

    def __init__(self, path: Path, what: str):
        super().__init__(errno.EINVAL, f"{path.name} is {what}, not a file", str(path))


def reason(fault: Exception) -> str:
    """What went wrong, as the system says it of a file, without its number.

    >>> reason(OSError(28, "No space left on device"))
    'No space left on device'
    """
    return getattr(fault, "strerror", None) or str(fault)


def read_file(path: Path, at_most: int, follow_links: bool = False) -> bytes:
    """The content of a file, of which no more than one byte beyond `at_most` is read.

    Raises FileNotFoundError, NotAFileError, or the OSError of the disk. A link, if it may be
    followed, must lead to a file.
    """
    # A pipe to which nobody writes would otherwise be waited for without end.
    more_flags = getattr(os, "O_NONBLOCK", 0)
    if not follow_links:
        _refuse_special(path, path.lstat().st_mode)
        more_flags |= getattr(os, "O_NOFOLLOW", 0)
    with open(path, "rb", opener=lambda name, flags: os.open(name, flags | more_flags)) as file:
        _refuse_special(path, os.fstat(file.fileno()).st_mode)
        return file.read(at_most + 1)


def replace_file(path: Path, content: bytes) -> None:
    """Put a new file in the place of an old one, which stays as it is if that fails.

    The new one is written beside it, as NAME.tmp, and then takes the name in one step.
    """
    temporary = path.with_name(f"{path.name}.tmp")
    for place in (path, temporary):
        with contextlib.suppress(FileNotFoundError):
            _refuse_special(place, place.lstat().st_mode)
    temporary.unlink(missing_ok=True)  # of a page that was killed
    try:
        with temporary.open("xb") as file:  # "x" neither overwrites nor follows a link
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(temporary, path)
    except OSError:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise


def write_new(path: Path, content: bytes) -> None:
    """Write a file that was not there; where the disk refuses, no part of it stays behind.

    Raises FileExistsError where anything has this name, and OSError where it cannot be written.
    """
    path.open("xb").close()  # the name is ours, whoever else is looking for a free one
    try:
        replace_file(path, content)
    except OSError:
        with contextlib.suppress(OSError):
            path.unlink()
        raise


@contextlib.contextmanager
def locked(path: Path, timeout: float) -> Iterator[bool]:
    """Hold a lock file, for which others wait; the system lets go of it when the process ends.

    Gives False where the file system has no locks: then nobody waits for anybody. Raises
    TimeoutError if somebody holds it for longer than `timeout` seconds.
    """
    with contextlib.suppress(FileNotFoundError):
        _refuse_special(path, path.lstat().st_mode)
    # A lock that is a file's mere existence would outlive a page that was killed.
    lock = filelock.FileLock(path, timeout=timeout, poll_interval=0.01, fallback_to_soft=False)
    has_locks = True
    try:
        lock.acquire()
    except filelock.Timeout:
        raise TimeoutError("another page is busy with the same file") from None
    except OSError as fault:
        if fault.errno not in _NO_LOCKS:
            raise
        has_locks = False
    try:
        yield has_locks
    finally:
        lock.release()


def _refuse_special(path: Path, mode: int) -> None:
    if not stat.S_ISREG(mode):
        raise NotAFileError(path, _SPECIAL.get(stat.S_IFMT(mode), "something else"))
