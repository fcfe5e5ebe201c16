"""Files that a lesson writes into the learner's folder, and the links to them."""

import base64
import itertools
import os
from collections.abc import Callable
from pathlib import Path

from recoverykit.course.html import as_html, as_live_html, as_live_text
from recoverykit.course.picture import BLUE
from recoverykit.units.files import reason, write_new
from recoverykit.units.quantities import InputError

TYPES = {".pdf": "application/pdf", ".png": "image/png", ".csv": "text/csv"}
_LINK = f"color: {BLUE}; text-decoration: underline"


def free_place(folder: Path, name: str) -> Path:
    """A place for a new file; one that is there already stays, and the new one gets a number.

    >>> free_place(Path("/nowhere"), "record.pdf").name
    'record.pdf'
    """
    stem, ending = Path(name).stem, Path(name).suffix
    others = (f"{stem}-{number}{ending}" for number in itertools.count(2))
    places = (Path(folder) / each for each in itertools.chain([name], others))
    return next(place for place in places if not os.path.lexists(place))


def link_with(name: str, content: bytes) -> str:
    """HTML of a link that downloads a file of this name and content."""
    # The file itself is in the link: the page need not know the address of the folder.
    data = base64.b64encode(content).decode()
    shown, kind = as_html(name), TYPES[Path(name).suffix]
    return f'<a download="{shown}" href="data:{kind};base64,{data}" style="{_LINK}">{shown}</a>'


def save_new(folder: Path, name: str, make: Callable[[], bytes]) -> tuple[Path | None, str]:
    """Make a file and write it into a free place; where it is, and HTML that says so.

    Where it cannot be made or written there is no path, and the HTML says why.
    """
    try:
        content = make()
        path = free_place(folder, name)
        write_new(path, content)
    except (InputError, OSError) as fault:
        return None, as_live_text(f"Nothing was written: {reason(fault)}.")
    return path, message_of_new(path, content)


def message_of_new(path: Path, content: bytes) -> str:
    """HTML that says where a new file is, with a link to it."""
    return as_live_html(
        f"Written: {link_with(path.name, content)}, in the folder "
        f"{as_html(str(path.parent.resolve()))}."
    )
