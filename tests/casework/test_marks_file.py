"""A marks file is read whole or refused with the one thing that is wrong and where it stands."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofbook.casework.marks_file import check_inside, read_marks_file
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refused
from hoofbook.terms.views import CardPlane, CardStand, Moment, View
from hoofbook.wording.refusals import sentence

SIDE = {"file": "side.jpg", "view": "lateral", "marks": {"toe_ground": [812.4, 1301.0]}}


def written(folder: Path, content: Any) -> Path:
    path = folder / "marks.json"
    path.write_text(content if isinstance(content, str) else json.dumps(content), encoding="utf-8")
    return path


def document(**photo: Any) -> dict[str, Any]:
    return {"version": 1, "horse": "Larkspur", "foot": "LF", "photos": [{**SIDE, **photo}]}


def test_a_whole_file_comes_back_typed(tmp_path: Path) -> None:
    given_photo = {
        "set": "sole",
        "view": "solar",
        "marks": {"rim_01": [1, 2.5], "frog_apex": [3, 4]},
        "card_plane": "mid-line",
        "card_stands_on": "floor",
        "ruler": {"a": [0, 0], "b": [10, 0], "mm": 100},
        "placing_px": 0.5,
        "card_size_mm": [112.2, 80.1],
        "foot_width_mm": {"value": 126, "u": 1},
        "shod": True,
        "depth_mm": {"rim_01": {"value": 30, "u": 6}},
        "kept for later": {"any": "thing"},
    }
    path = written(tmp_path, {**document(**given_photo), "moment": "after trim", "date": "2025-01-14"})
    file = read_marks_file(path)
    entry = file.photos[0]
    assert (file.foot, file.moment, str(file.day)) == (Foot.LF, Moment.AFTER_TRIM, "2025-01-14")
    assert (entry.view, entry.card_plane, entry.card_stands_on) == (View.SOLAR, CardPlane.MID_LINE, CardStand.FLOOR)
    assert entry.marking.marks["rim_01"].depth_mm == 30
    assert entry.measured_ruler is not None and entry.measured_ruler.mm == 100
    assert file.raw["photos"][0]["kept for later"] == {"any": "thing"}
    assert file.photo_path(entry) == tmp_path / "side.jpg"


@pytest.mark.parametrize(
    ("content", "code", "words"),
    [
        ("not json", "marks_file_not_json", "marks.json"),
        ('["list"]', "marks_file_not_json", "marks.json"),
        ({"version": 2, "photos": []}, "marks_file_version", "2"),
        ({"version": 1, "photos": []}, "marks_file_no_photos", "marks.json"),
        (document(marks={"toe_gruond": [1, 2]}), "marks_file_unknown_mark", "toe_ground"),
        (document(marks={"toe_ground": [float("nan"), 2]}), "marks_file_not_a_number", "toe_ground"),
        (document(marks={"toe_ground": [float("inf"), 2]}), "marks_file_not_a_number", "toe_ground"),
        (document(marks={"toe_ground": [True, 2]}), "marks_file_shape", "marks.json"),
        (document(marks={"toe_ground": [1]}), "marks_file_shape", "marks.json"),
        (document(veiw="lateral"), "marks_file_wrong_key", "view"),
        (document(placing_px=-1), "marks_file_not_a_number", "placing_px"),
        (document(view="from above"), "marks_file_shape", "marks.json"),
        (document(marks={"frog_apex": [1, 2]}), "marks_file_unknown_mark", "frog_apex"),
    ],
)
def test_each_fault_is_named(tmp_path: Path, content: Any, code: str, words: str) -> None:
    with pytest.raises(Refused) as caught:
        read_marks_file(written(tmp_path, content))
    assert caught.value.refusal.code == code
    assert words in sentence(caught.value.refusal)


def test_a_missing_file_and_a_binary_file(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="marks_file_missing"):
        read_marks_file(tmp_path / "none.json")
    (tmp_path / "photo.json").write_bytes(b"\xff\xd8\xff\xe0")
    with pytest.raises(Refused, match="marks_file_not_text"):
        read_marks_file(tmp_path / "photo.json")


def test_a_mark_outside_its_picture(tmp_path: Path) -> None:
    file = read_marks_file(written(tmp_path, document()))
    check_inside(file.path, file.photos[0], 2016, 1512)
    with pytest.raises(Refused, match="mark_outside_picture"):
        check_inside(file.path, file.photos[0], 800, 1512)


json_values = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=12,
)


@given(photos=json_values, extra=st.dictionaries(st.text(max_size=6), json_values, max_size=2))
def test_no_content_gets_past_a_refusal(tmp_path_factory: pytest.TempPathFactory, photos: Any, extra: Any) -> None:
    """Whatever the file holds, it is read or refused: never another error."""
    path = written(tmp_path_factory.mktemp("marks"), {"version": 1, **extra, "photos": photos})
    try:
        read_marks_file(path)
    except Refused as refused:
        assert sentence(refused.refusal)
