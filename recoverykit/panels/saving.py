"""Files that a lesson writes into the learner's folder, and the links to them."""

import base64
import itertools
from pathlib import Path

from recoverykit.panels.words import as_html

TYPES = {".pdf": "application/pdf", ".png": "image/png", ".csv": "text/csv"}


def free_place(folder: Path, name: str) -> Path:
    """A place for a new file; one that is there already stays, and the new one gets a number.

    >>> free_place(Path("/nowhere"), "record.pdf").name
    'record.pdf'
    """
    wanted = Path(folder) / name
    for number in itertools.count(2):
        if not wanted.exists():
            return wanted
        wanted = Path(folder) / f"{Path(name).stem}-{number}{Path(name).suffix}"


def link_to(path: Path) -> str:
    """HTML of a link that opens or downloads a file, wherever the page is shown."""
    # The file itself is in the link: the page need not know the address of the folder.
    data = base64.b64encode(path.read_bytes()).decode()
    name = as_html(path.name)
    return f'<a download="{name}" href="data:{TYPES[path.suffix]};base64,{data}">{name}</a>'


def told(path: Path) -> str:
    """HTML that says where a new file is, with a link to it."""
    return (
        '<div role="status" aria-live="polite" style="font-size: 16px; line-height: 1.45">'
        f"Written: {link_to(path)}, in the folder {as_html(str(path.parent.resolve()))}.</div>"
    )
