"""The strokes of drawings: whatever somebody typed stays text."""

from xml.etree import ElementTree

from jobs.svg import Canvas, drawing, element, path, rectangle, text

HOSTILE = '"><script>alert(1)</script>&'


def test_words_and_attributes_are_escaped_wherever_they_are_written():
    strokes = [text(0, 0, HOSTILE), rectangle(0, 0, 1, 1, data_part=HOSTILE)]
    read = ElementTree.fromstring(drawing(Canvas(0, 0, 10, 10, 1), HOSTILE, strokes))
    title, words, shape = read
    assert (read.get("aria-label"), title.text, words.text) == (HOSTILE,) * 3
    assert shape.get("data-part") == HOSTILE


def test_attributes_take_the_names_of_svg_and_are_left_out_without_a_value():
    assert element("g", class_="part", stroke_width=2.0, fill=None) == (
        '<g class="part" stroke-width="2.0"/>'
    )


def test_a_path_goes_from_point_to_point_and_back_where_it_is_closed():
    assert 'd="M0.0 0.0 L3.0 4.0"' in path((0, 0), (3, 4))
    assert 'd="M0.0 0.0 L3.0 4.0 Z"' in path((0, 0), (3, 4), closed=True)
