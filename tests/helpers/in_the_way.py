"""What may stand under the name of a file, and is none."""

import os
from pathlib import Path

import pytest

OTHERS = "of another"  # what the file of another program says, to which a link leads

_PUT = {
    "a pipe": lambda path: os.mkfifo(path),
    "a folder": lambda path: path.mkdir(),
    "a link": lambda path: path.symlink_to("of-another"),
    "a link to nothing": lambda path: path.symlink_to("nowhere"),
    "a link to a device": lambda path: path.symlink_to("/dev/zero"),
    "a link to itself": lambda path: path.symlink_to(path.name),
}
each_special = pytest.mark.parametrize("what", _PUT)


def put_in_the_way(what: str, path: Path) -> None:
    """Make it; a link leads to a file beside it."""
    if os.name == "nt":
        pytest.skip("such files are of Unix")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.with_name("of-another").write_text(OTHERS)
    _PUT[what](path)


def assert_nothing_was_followed(path: Path) -> None:
    """No link led to another file: that one is as it was, and none was made."""
    assert path.with_name("of-another").read_text() == OTHERS
    assert not path.with_name("nowhere").exists()
