"""What goes wrong in the world: one clear sentence each, exit code 2, nothing lost and nothing half done."""

from __future__ import annotations

import errno
import json
import re
import sqlite3
import struct
import zlib
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from hoofbook.__main__ import main
from hoofbook.casework.adding import Wishes, add_files
from hoofbook.casework.horses import HorseForm, add_horse, list_horses
from hoofbook.casework.open_book import make_book, open_book
from hoofbook.casework.visit import add_visit, choose
from hoofbook.records.book import Book
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import Horse, Photo
from hoofbook.wording.refusals import sentence


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))


def plain_photo(path: Path) -> Path:
    """A photo with no tag at all."""
    Image.linear_gradient("L").resize((640, 480)).convert("RGB").save(path, quality=90)
    return path


def gigantic(path: Path) -> Path:
    """A PNG whose header says 60,000 x 60,000 px and which holds next to nothing."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", 60000, 60000, 8, 2, 0, 0, 0)
    pixels = zlib.compress(b"\0" * 64)
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", pixels) + chunk(b"IEND", b""))
    return path


def truncated(path: Path) -> Path:
    whole = plain_photo(path).read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    return path


def text_named_jpg(path: Path) -> Path:
    path.write_text("this is no photo", encoding="utf-8")
    return path


def noise(path: Path) -> Path:
    path.write_bytes(b"\xff\xd8\xff\xe0" + bytes(range(256)) * 40)
    return path


def empty(path: Path) -> Path:
    path.write_bytes(b"")
    return path


@pytest.mark.parametrize("make", [gigantic, truncated, text_named_jpg, noise, empty], ids=lambda make: make.__name__)
def test_a_bad_photo_is_refused_by_name_and_leaves_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], make: Callable[[Path], Path]
) -> None:
    photo = make(tmp_path / ("side.png" if make is gigantic else "side.jpg"))
    before = photo.read_bytes()
    assert main(["add", str(tmp_path / "book"), str(photo), "--horse", "Larkspur"]) == 2
    said = capsys.readouterr()
    assert photo.name in said.err and "Traceback" not in said.err
    assert re.search(r"\. (Choose|Copy|Give|Make|Open|Save|Send|Take)\b.*\.$", said.err.strip()), (
        said.err
    )  # why, and what to do
    assert photo.read_bytes() == before
    assert [path for path in (tmp_path / "book" / "photos").rglob("*") if path.is_file()] == []


def test_good_photos_beside_a_bad_one_are_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    good, bad = plain_photo(tmp_path / "good.jpg"), noise(tmp_path / "bad.jpg")
    assert main(["add", str(tmp_path / "book"), str(bad), str(good), "--horse", "Larkspur"]) == 2
    assert "1 photo taken in" in capsys.readouterr().out
    book = open_book(tmp_path / "book")
    photos = book.book.every(Photo)
    book.close()
    assert [photo.given_name for photo in photos] == ["good.jpg"]


def test_a_photo_without_tags_comes_in_and_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    photo = plain_photo(tmp_path / "side.jpg")
    wishes = ["--horse", "Larkspur", "--foot", "LF", "--view", "lateral", "--visit", "2025-01-14"]
    assert main(["add", str(tmp_path / "book"), str(photo), *wishes]) == 0
    assert "does not say when it was taken" in capsys.readouterr().out


def test_a_wrong_word_names_the_right_ones(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    photo = plain_photo(tmp_path / "side.jpg")
    assert main(["add", str(tmp_path / "book"), str(photo), "--horse", "Larkspur", "--foot", "left"]) == 2
    assert "LF" in capsys.readouterr().err


def test_a_marks_file_whose_photo_is_missing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    marks = tmp_path / "marks.json"
    entry = {"file": "gone.jpg", "view": "lateral", "marks": {"toe_ground": [1, 2]}}
    marks.write_text(json.dumps({"version": 1, "horse": "Larkspur", "photos": [entry]}), encoding="utf-8")
    assert main(["measure", str(marks)]) == 2
    assert "gone.jpg" in capsys.readouterr().err


def test_a_book_of_a_newer_version_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    make_book(tmp_path / "book").close()
    database = tmp_path / "book" / "book.sqlite"
    with sqlite3.connect(database) as plain:
        plain.execute("UPDATE schema_version SET version_num = '9999'")
    plain.close()
    before = database.read_bytes()
    assert main(["progress", str(tmp_path / "book"), "--horse", "Larkspur"]) == 2
    assert "newer" in capsys.readouterr().err
    assert database.read_bytes() == before


def test_a_read_only_book_opens_for_looking_and_only_writing_refuses(tmp_path: Path) -> None:
    opened = make_book(tmp_path / "book")
    horse = add_horse(opened, HorseForm("Larkspur"))
    visit = add_visit(opened, horse, date(2025, 1, 14))
    opened.close()
    looking = Book.open(tmp_path / "book", clock=opened.clock, person="", writable=lambda _: False)
    try:
        assert looking.read_only
        assert [item.name for item in looking.every(Horse)] == ["Larkspur"]
        only_looking = replace(opened, book=looking)
        assert list_horses(only_looking)[0].name == "Larkspur"
        with pytest.raises(Refused) as caught:
            choose(only_looking, visit, "LF", "work", "trim")
        assert caught.value.refusal.code == "folder_read_only"
        assert sentence(caught.value.refusal)
    finally:
        looking.close()


def test_a_full_disk_keeps_the_old_state_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    photo = plain_photo(tmp_path / "side.jpg")
    opened = make_book(tmp_path / "book")
    try:
        add_horse(opened, HorseForm("Larkspur"))

        def full(*_: object) -> None:
            raise OSError(errno.ENOSPC, "No space left on device")

        with monkeypatch.context() as patched:
            patched.setattr("os.fsync", full)
            with pytest.raises(Refused) as caught:
                for _ in add_files(opened, [photo], Wishes("Larkspur")):
                    pass
        assert caught.value.refusal.code == "disk_full"
        assert opened.book.every(Photo) == ()
        assert [path for path in (tmp_path / "book" / "photos").rglob("*") if path.is_file()] == []
        for _ in add_files(opened, [photo], Wishes("Larkspur")):
            pass
        assert len(opened.book.every(Photo)) == 1
    finally:
        opened.close()


def test_stopping_between_photos_keeps_what_is_in(tmp_path: Path) -> None:
    opened = make_book(tmp_path / "book")
    try:
        add_horse(opened, HorseForm("Larkspur"))
        photos = [tmp_path / f"{number}.png" for number in range(3)]
        for number, path in enumerate(photos):
            Image.new("L", (64 + number, 64)).save(path)
        work = add_files(opened, photos, Wishes("Larkspur"))
        next(work)
        next(work)
        work.close()
        assert len(opened.book.every(Photo)) == 1
        assert list((tmp_path / "book" / "photos").rglob("*.part")) == []
    finally:
        opened.close()
