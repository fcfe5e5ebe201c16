"""Pictures of an exported page, put together again from their tiles."""

import base64
import functools
import io

import numpy as np
from PIL import Image


def whole(packed: dict, number: int) -> np.ndarray:
    """One of the pictures, as red, green and blue by row and column."""
    (width, height), across = packed["tile"], packed["across"]
    columns, sheet = -(-packed["width"] // width), _pixels(packed["sheet"])
    picture = np.zeros((len(packed["places"]) // columns * height, columns * width, 3), np.uint8)
    for place, numbers in enumerate(packed["places"]):
        tile = numbers[number] if len(numbers) > 1 else numbers[0]
        top, left = tile // across * height, tile % across * width
        to = place // columns * height, place % columns * width
        picture[to[0] : to[0] + height, to[1] : to[1] + width] = sheet[
            top : top + height, left : left + width
        ]
    return picture[: packed["height"], : packed["width"]]


@functools.lru_cache(maxsize=2)
def _pixels(sheet: str) -> np.ndarray:
    with Image.open(io.BytesIO(base64.b64decode(sheet))) as image:
        return np.array(image.convert("RGB"))
