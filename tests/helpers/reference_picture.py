"""Small pictures that are kept beside the tests, and how far a new one may differ from them."""

import io

import numpy as np
import PIL.Image
import PIL.ImageOps

SIZE = 380, 236  # pixels: two fifths of a panel's picture
BLOCK = 6  # pixels: about a letter
# Levels of 255 by which a block may differ on average: other versions of matplotlib smooth edges
# in another way, which makes less than this; a line or a word that is gone makes more.
TOLERANCE = 10


def small(png: bytes) -> PIL.Image.Image:
    """A panel's picture in the size in which pictures are kept."""
    picture = PIL.Image.open(io.BytesIO(png)).convert("RGB")
    # Sixteen levels of each color do, and take half the room.
    return PIL.ImageOps.posterize(picture.resize(SIZE, PIL.Image.Resampling.BOX), 4)


def difference(one: PIL.Image.Image, other: PIL.Image.Image) -> float:
    """By how many levels the block in which two small pictures differ most does so on average."""
    levels = [np.asarray(each.convert("RGB"), dtype=float) for each in (one, other)]
    apart = np.abs(levels[0] - levels[1]).max(axis=2)
    rows, columns = (length // BLOCK for length in apart.shape)
    blocks = apart[: rows * BLOCK, : columns * BLOCK].reshape(rows, BLOCK, columns, BLOCK)
    return float(blocks.mean(axis=(1, 3)).max())
