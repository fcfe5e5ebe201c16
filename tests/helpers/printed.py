"""What a printed page says."""

import subprocess
from pathlib import Path

from helpers.needs import skip_or_fail


def printed(content: bytes, folder: Path, *options) -> str:
    """The text of a PDF, as a PDF reader finds it."""
    path = folder / "page.pdf"
    path.write_bytes(content)
    try:
        said = subprocess.run(
            ["pdftotext", *options, str(path), "-"], capture_output=True, text=True, check=True
        )
    except FileNotFoundError:
        skip_or_fail("pdftotext is missing. On Debian: sudo apt install poppler-utils")
    return said.stdout
