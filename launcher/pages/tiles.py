"""Many pictures of one size as little data: cut into tiles, each kept once, on one sheet.

What a slider changes is a small part of a picture, so most tiles are those of another picture. On
the sheet they stand row by row of the pictures, so that what looks alike is near to each other,
which packs well; and a sheet with a palette packs into half.
"""

import base64
import io
import math

import numpy as np
from PIL import Image

WIDTH, HEIGHT = 64, 32  # of a tile, in pixels: smaller ones need longer lists of their numbers
COLORS = 256  # the most that a palette has
AREAS = 64  # colors that stay as they are, the most frequent ones; others are those of soft edges


class Tiles:
    """Pictures of one size, each given as red, green and blue by row and column.

    A color is one number in here, of four bytes: red, green, blue, and none.

    >>> tiles, picture = Tiles(), np.zeros((40, 100, 3), np.uint8)
    >>> tiles.add(picture)
    >>> picture[35, 80] = 255
    >>> tiles.add(picture)
    >>> packed = tiles.packed()
    >>> packed["places"]  # of two rows of two: in the second row, the right one is another
    [[0], [0], [1], [1, 2]]
    """

    def __init__(self):
        self._rows: list[dict[bytes, int]] = []  # of each row, the tiles and their numbers
        self._pictures: list[list[list[int]]] = []  # of each one, by row and column
        self._size = (0, 0)

    def add(self, picture: np.ndarray) -> None:
        """Add one more picture."""
        height, width, _ = picture.shape
        self._size = (width, height)
        rows, columns = -(-height // HEIGHT), -(-width // WIDTH)
        whole = np.zeros((rows * HEIGHT, columns * WIDTH, 4), np.uint8)
        whole[:height, :width, :3] = picture
        colors = whole.view("<u4").reshape(rows, HEIGHT, columns, WIDTH)
        tiles = colors.swapaxes(1, 2).reshape(rows, columns, -1)
        self._rows = self._rows or [{} for _ in range(rows)]
        self._pictures.append(
            [
                [known.setdefault(tile.tobytes(), len(known)) for tile in row]
                for known, row in zip(self._rows, tiles, strict=True)
            ]
        )

    def packed(self) -> dict:
        """The sheet, and of each place the numbers of its tiles: one a picture, or one for all."""
        sheet, across = self._sheet()
        file = io.BytesIO()
        Image.fromarray(sheet).save(file, "WEBP", lossless=True, method=4)
        width, height = self._size
        return {
            "width": width,
            "height": height,
            "tile": [WIDTH, HEIGHT],
            "across": across,
            "places": self._places(),
            "sheet": base64.b64encode(file.getvalue()).decode(),
        }

    def _places(self) -> list[list[int]]:
        places = []
        first = 0
        for known, *pictures in zip(self._rows, *self._pictures, strict=True):
            for numbers in zip(*pictures, strict=True):
                shown = [first + number for number in numbers]
                places.append(shown if len(set(shown)) > 1 else shown[:1])
            first += len(known)
        return places

    def _sheet(self) -> tuple[np.ndarray, int]:
        """All tiles beside each other, as nearly square as can be, and how many are in a row."""
        tiles = [np.frombuffer(tile, "<u4") for known in self._rows for tile in known]
        across = math.ceil(math.sqrt(len(tiles) * HEIGHT / WIDTH))
        down = -(-len(tiles) // across)
        tiles += [tiles[-1]] * (down * across - len(tiles))  # the last row is full
        placed = np.reshape(tiles, (down, across, HEIGHT, WIDTH)).swapaxes(1, 2)
        few = with_few_colors(placed.reshape(down * HEIGHT, across * WIDTH))
        return few.view(np.uint8).reshape(*few.shape, 4)[..., :3], across


def with_few_colors(colors: np.ndarray) -> np.ndarray:
    """Colors of which rare ones became a frequent one that is as near as can be.

    Those of areas and letters stay; of soft edges, no channel changes by more than some 12 of 255.

    >>> few = np.array([[0x000000, 0xFFFFFF]], np.uint32)
    >>> bool((with_few_colors(few) == few).all())
    True
    """
    counts = np.bincount(colors.ravel(), minlength=1 << 24)
    found = np.flatnonzero(counts)
    channels = np.stack([found & 255, found >> 8 & 255, found >> 16])
    nearest = np.zeros(len(counts), "<u4")
    nearest[found] = found[_kept(channels, np.argsort(-counts[found], kind="stable"))]
    return nearest[colors]


def _kept(channels: np.ndarray, by_frequency: np.ndarray) -> np.ndarray:
    """Of each color, which one stands for it: within the smallest reach that leaves few enough."""
    areas, soft = by_frequency[:AREAS], by_frequency[AREAS:]
    apart = np.abs(channels[:, soft, None] - channels[:, None, areas]).max(axis=0)
    area, reach_of_area = areas[apart.argmin(axis=1)], apart.min(axis=1)
    stands = np.arange(len(by_frequency))
    for reach in range(0, 256, 3):
        near = reach_of_area <= reach
        stands[soft[near]] = area[near]
        left, kept = soft[~near], len(areas)
        while len(left) and kept < COLORS:
            near = np.abs(channels[:, left] - channels[:, left[:1]]).max(axis=0) <= reach
            stands[left[near]] = left[0]
            left, kept = left[~near], kept + 1
        if not len(left):
            break
    return stands
