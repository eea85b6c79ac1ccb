"""Originals by hash: never changed, never half there, file before row."""

from __future__ import annotations

import hashlib
import stat
from pathlib import Path

import pytest

from hoofbook.housekeeping import files
from hoofbook.records.archive import Archive, spare_files
from hoofbook.records.book import Book
from hoofbook.terms.refusal import Refused
from tests.records import examples

CONTENT = bytes(range(256)) * 20_000  # 5 MB, several chunks


@pytest.fixture
def archive(book: Book) -> Archive:
    return Archive(book.folder)


@pytest.fixture
def source(tmp_path: Path) -> Path:
    path = tmp_path / "IMG 0001.JPG"
    path.write_bytes(CONTENT)
    return path


def test_a_photo_is_kept_under_the_hash_of_its_bytes(archive: Archive, source: Path) -> None:
    told: list[tuple[int, int]] = []
    taken = archive.take_in(source, progress=lambda done, of: told.append((done, of)))
    assert taken.sha256 == hashlib.sha256(CONTENT).hexdigest()
    assert taken.size == len(CONTENT)
    assert told[-1] == (len(CONTENT), len(CONTENT))
    assert len(told) > 2
    place = archive.keep(taken, ".JPG")
    assert place == archive.folder / "photos" / taken.sha256[:2] / f"{taken.sha256}.jpg"
    assert place.read_bytes() == source.read_bytes() == CONTENT
    assert list(archive.originals()) == [place]


def test_the_same_bytes_are_kept_once_and_an_original_never_changes(archive: Archive, source: Path) -> None:
    place = archive.keep(archive.take_in(source), ".jpg")
    place.chmod(stat.S_IREAD)
    before = place.stat().st_ino
    assert archive.keep(archive.take_in(source), ".jpg") == place
    assert place.stat().st_ino == before
    assert list(archive.originals()) == [place]


def test_a_cut_original_is_made_whole_by_the_same_photo(archive: Archive, source: Path) -> None:
    place = archive.keep(archive.take_in(source), ".jpg")
    place.write_bytes(CONTENT[:1000])
    archive.keep(archive.take_in(source), ".jpg")
    assert place.read_bytes() == CONTENT


def test_what_was_taken_in_can_be_let_go(archive: Archive, source: Path) -> None:
    archive.discard(archive.take_in(source))
    assert list(archive.originals()) == []


def test_a_copy_that_is_stopped_leaves_nothing(archive: Archive, source: Path) -> None:
    def stop(done: int, of: int) -> None:
        raise InterruptedError

    with pytest.raises(InterruptedError):
        archive.take_in(source, progress=stop)
    assert list(archive.originals()) == []


def test_a_photo_pulled_out_half_way_is_refused(archive: Archive, source: Path) -> None:
    def pull(done: int, of: int) -> None:
        with source.open("r+b") as file:
            file.truncate(done)

    with pytest.raises(Refused, match="file_changed"):
        archive.take_in(source, progress=pull)
    with pytest.raises(Refused, match="file_missing"):
        archive.take_in(source.with_name("none.jpg"))
    with pytest.raises(Refused, match="file_missing"):
        archive.take_in(source.parent)
    assert list(archive.originals()) == []


def test_a_full_disk_leaves_nothing_half_written(
    archive: Archive, source: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int, data: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.write", full)
    with pytest.raises(Refused, match="disk_full"):
        archive.take_in(source)
    monkeypatch.undo()
    assert list(archive.originals()) == []


def test_a_crash_between_file_and_row_leaves_a_spare_file_that_is_listed(
    book: Book, archive: Archive, source: Path
) -> None:
    horse = examples.horse()
    taken = archive.take_in(source)
    place = archive.keep(taken, ".jpg")
    assert spare_files(book, archive) == (place,)
    broken_off = archive.take_in(source).temp
    assert set(spare_files(book, archive)) == {place, broken_off}
    assert files.is_temporary(broken_off)
    assert not files.is_temporary(place)
    photo = examples.photo(horse)
    with book.writing() as writer:
        writer.add_all([horse, examples.replace_hash(photo, taken.sha256)])
    assert spare_files(book, archive) == (broken_off,)


def test_previews_are_filed_beside_each_other(archive: Archive) -> None:
    sha256 = hashlib.sha256(b"x").hexdigest()
    place = archive.preview(sha256, "large.jpg")
    assert not place.exists()
    assert archive.write_preview(sha256, "large.jpg", b"picture") == place
    assert place.read_bytes() == b"picture"
    assert place.is_relative_to(archive.folder / "previews")


@pytest.mark.parametrize(
    ("sha256", "suffix"), [("../../etc", ".jpg"), ("A" * 64, ".jpg"), ("a" * 64, "/../x"), ("a" * 64, "")]
)
def test_no_name_leads_out_of_the_archive(archive: Archive, sha256: str, suffix: str) -> None:
    with pytest.raises(ValueError, match="not"):
        archive.path(sha256, suffix)
