"""Whole subjects as text and back, and text that no book of ours wrote.

References: generated values (hypothesis); Python's own json for the text; what cannot be is written down here by hand.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofbook.records.mapping import whole_as_text
from hoofbook.records.whole import whole_from_text
from hoofbook.terms import subjects
from hoofbook.terms.subjects import MarkingPass, MeasureKept, Photo, Visit
from tests.records import examples
from tests.records.test_mapping import KINDS, subject_values


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_a_subject_comes_back_as_it_was_written(kind: type, data: st.DataObject) -> None:
    subject = data.draw(subject_values(kind))
    text = whole_as_text(subject)
    back = whole_from_text(kind, text)
    assert type(back) is kind and back == subject
    assert whole_as_text(back) == text
    json.loads(text, parse_constant=pytest.fail)


HORSE = examples.horse()
PHOTO = examples.photo(HORSE)
KEPT: dict[type, Any] = {
    Photo: PHOTO,
    MarkingPass: examples.marking_pass(PHOTO),
    MeasureKept: examples.measure(HORSE, [PHOTO.key]),
    Visit: examples.visit(HORSE),
}
WRONG: list[tuple[type, str, str]] = [
    (Photo, '"width":4032', '"width":"4032"'),
    (Photo, '"width":4032', '"width":4032.5'),
    (Photo, '"width":4032', '"width":null'),
    (Photo, '"width":4032', '"width":1e400'),
    (Photo, '"width":4032', '"width":99999999999999999999'),
    (Photo, '"revision":1', '"revision":0'),
    (Photo, '"foot":"LF"', '"foot":"XX"'),
    (Photo, '"foot":"LF"', '"foot":["LF"]'),
    (Photo, '"shod":false', '"shod":0'),
    (Photo, '"note":""', '"note":5'),
    (Photo, '"note":""', '"note":"a\\u0000b"'),
    (Photo, '"note":""', '"note":"\\ud800"'),
    (Photo, '"note":""', '"note":"' + "n" * 100_001 + '"'),
    (Photo, '"note":""', '"notes":""'),
    (Photo, '"note":""', '"note":"",,'),
    (Photo, '"taken_at":null', '"taken_at":"2026-03-02T12:00:00"'),
    (Photo, '"taken_at":null', '"taken_at":"yesterday"'),
    (Photo, '"focal_35mm":null', '"focal_35mm":NaN'),
    (Photo, '"focal_35mm":null', '"focal_35mm":"nan"'),
    (Photo, '"focal_35mm":null', '"focal_35mm":Infinity'),
    (Photo, '"covered":[]', '"covered":[[0,0,1]]'),
    (Photo, '"covered":[]', '"covered":null'),
    (Photo, '"covered":[]', '"covered":' + "[" * 100_000),
    (Photo, f'"key":"{PHOTO.key}"', '"key":"photo 1"'),
    (Photo, f'"key":"{PHOTO.key}",', ""),
    (Visit, '"day":"2026-03-02"', '"day":"2026-02-30"'),
    (Visit, '"day":"2026-03-02"', '"day":20260302'),
    (MarkingPass, '"x":10.5', '"x":NaN'),
    (MarkingPass, '"x":10.5', '"x":"10.5"'),
    (MarkingPass, '"x":10.5', '"x":1e999'),
    (MarkingPass, '"x":10.5', '"x":-Infinity'),
    (MeasureKept, '"value":50.3', '"value":"nan"'),
    (MeasureKept, '"value":50.3', '"value":"inf"'),
    (MeasureKept, '"value":50.3', '"value":NaN'),
    (MeasureKept, '"u":0.3', '"u":"-inf"'),
    (MeasureKept, '"degrees_of_freedom":"inf"', '"degrees_of_freedom":"nan"'),
    (MeasureKept, '"degrees_of_freedom":"inf"', '"degrees_of_freedom":-1'),
    (MeasureKept, '"unit":"deg"', '"unit":"furlong"'),
]


@pytest.mark.parametrize(("kind", "part", "instead"), WRONG, ids=[f"{k.__name__} {w[:40]}" for k, _, w in WRONG])
def test_what_cannot_be_is_refused(kind: type, part: str, instead: str) -> None:
    text = whole_as_text(KEPT[kind])
    assert whole_from_text(kind, text) == KEPT[kind]
    assert text.count(part) == 1
    with pytest.raises(ValueError, match=r"\w"):
        whole_from_text(kind, text.replace(part, instead))


@pytest.mark.parametrize("text", ["", "null", "[]", '"x"', "{", "{}", '{"key":1}', "NaN"])
def test_what_is_no_subject_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        whole_from_text(Photo, text)


def test_what_an_earlier_version_did_not_write_has_its_default() -> None:
    text = whole_as_text(HORSE).replace('"interval_weeks":6,', "")
    assert "interval" not in text
    assert whole_from_text(subjects.Horse, text) == HORSE


def test_mappings_are_locked() -> None:
    back = whole_from_text(MarkingPass, whole_as_text(KEPT[MarkingPass]))
    with pytest.raises(TypeError):
        back.marking.marks["toe_ground"] = None  # type: ignore[index]
