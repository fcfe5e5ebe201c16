"""The lessons' drawings: whole, readable on a phone, sharp, and told in words."""

import base64
import html
import re

import pytest
from helpers.paper import cut_off, overlapping, written

from recoverykit.course.illustration import SHOWN, Illustration
from recoverykit.lessons.illustrations import ILLUSTRATIONS, illustration
from recoverykit.units.quantities import InputError

PHONE = 330  # CSS pixels that a page 390 pixels wide leaves for a picture
each_drawing = pytest.mark.parametrize("id", ILLUSTRATIONS)


@each_drawing
def test_nothing_is_cut_off_or_lies_on_other_words(id):
    figure = illustration(id).figure
    assert cut_off(figure) == []
    assert overlapping(written(figure)) == []


@each_drawing
def test_words_can_be_read_on_a_phone(id):
    figure = illustration(id).figure
    scale = PHONE / figure.get_figwidth() / 72
    assert min(text.get_fontsize() for text in written(figure)) * scale >= 12


@each_drawing
def test_it_is_a_picture_sharp_at_any_size_with_words_for_screen_readers(id):
    shown = illustration(id)._repr_mimebundle_()
    (alt,) = re.findall(r'alt="([^"]+)"', shown["text/html"])
    assert html.unescape(alt) == shown["text/plain"]
    assert len(alt.split()) > 10
    (source,) = re.findall(r"data:image/svg\+xml;base64,([^\"]+)", shown["text/html"])
    svg = base64.b64decode(source).decode()
    assert "<svg" in svg
    assert "<image" not in svg, "pixels"
    assert svg == illustration(id).svg(), "the same again"


@each_drawing
def test_its_words_name_what_is_written_in_it(id):
    drawing = illustration(id)
    words = drawing.words.lower()
    for text in written(drawing.figure):
        for word in re.findall(r"[a-z]{4,}", text.get_text().lower()):
            assert word.rstrip("s") in words, word


def test_words_of_a_drawing_are_no_html():
    shown = Illustration(50, 'a "b" <c>')._repr_mimebundle_()["text/html"]
    assert 'alt="a &quot;b&quot; &lt;c&gt;"' in shown
    assert f"max-width: {SHOWN}px" in shown


def test_a_drawing_that_is_not_there():
    with pytest.raises(InputError, match=r"no drawing '03.push'; there are 01.speeds, "):
        illustration("03.push")
