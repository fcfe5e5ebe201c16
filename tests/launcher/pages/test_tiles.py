"""Pictures as tiles on a sheet."""

import numpy as np
import pytest
from helpers.tiled import whole

from launcher.pages.tiles import COLORS, Tiles, with_few_colors

RANDOM = np.random.default_rng(7)


@pytest.mark.parametrize("size", [(1, 1), (32, 64), (33, 65), (100, 150)])
def test_pictures_come_back_as_they_were(size):
    tiles = Tiles()
    pictures = [np.full((*size, 3), shade, np.uint8) for shade in (0, 90, 255)]
    pictures[1][-1, -1] = (1, 2, 3)
    for picture in pictures:
        tiles.add(picture)
    packed = tiles.packed()
    assert (packed["height"], packed["width"]) == size
    for number, picture in enumerate(pictures):
        assert (whole(packed, number) == picture).all()


def test_what_is_alike_is_kept_once():
    tiles, picture = Tiles(), RANDOM.integers(0, 4, (320, 640, 3), np.uint8) * 60
    for _ in range(5):
        tiles.add(picture)
        picture = picture.copy()
        picture[0, 0, 0] ^= 1
    packed = tiles.packed()
    assert [len(numbers) for numbers in packed["places"]] == [5] + 99 * [1]
    assert packed["places"][0] == [0, 10, 0, 10, 0]  # ten tiles are in a row


def test_of_too_many_colors_the_frequent_ones_stay_and_others_are_near():
    alike = [0xFFFFFF, 0xFBFBFB, 0xF7F7F7]  # a light area stays another color than white
    frequent = np.repeat([*alike, *RANDOM.integers(0, 1 << 24, 20)], 1000).astype("<u4")
    soft = (RANDOM.integers(0, 40, (3000, 3)) + 100).astype("<u4") @ [1, 1 << 8, 1 << 16]
    colors = np.concatenate([frequent, soft.astype("<u4")])[None]
    few = with_few_colors(colors)
    assert len(np.unique(colors)) > 2000
    assert len(np.unique(few)) <= COLORS
    assert (few[0, : len(frequent)] == frequent).all()
    channels = [each.view(np.uint8).astype(int) for each in (few, np.ascontiguousarray(colors))]
    assert 0 < np.abs(channels[0] - channels[1]).max() <= 12
