"""Whole or not at all, whatever the disk does."""

from __future__ import annotations

import errno
import hashlib
import os
import stat
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofbook.housekeeping import files
from hoofbook.terms.refusal import Refused
from tests.housekeeping.accounts import without_rights


def failing(number: int) -> Callable[..., Any]:
    def fail(*given: Any, **more: Any) -> Any:
        raise OSError(number, os.strerror(number))

    return fail


def test_a_file_is_written_whole_and_alone(tmp_path: Path) -> None:
    path = tmp_path / "new folder" / "a.bin"
    files.write_atomic(path, b"one")
    files.write_atomic(path, b"two\r\n\x00")
    assert path.read_bytes() == b"two\r\n\x00"
    files.write_text_atomic(path, "ä\nö\r\n")
    assert path.read_bytes() == "ä\nö\r\n".encode()
    assert [found.name for found in path.parent.iterdir()] == ["a.bin"]


def test_short_writes_are_continued(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = os.write
    monkeypatch.setattr("os.write", lambda handle, data: real(handle, data[:7]))
    files.write_atomic(tmp_path / "a", bytes(range(100)))
    assert (tmp_path / "a").read_bytes() == bytes(range(100))


@pytest.mark.parametrize("call", ["os.write", "os.fsync"])
@pytest.mark.parametrize(
    ("number", "code"),
    [
        (errno.ENOSPC, "disk_full"),
        (errno.EROFS, "folder_read_only"),
        (errno.EIO, "disk_failed"),
        (errno.EBUSY, "file_locked"),
    ],
)
def test_a_failing_disk_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str, number: int, code: str
) -> None:
    path = tmp_path / "a.txt"
    files.write_atomic(path, b"old")
    monkeypatch.setattr(call, failing(number))
    with pytest.raises(Refused, match=code) as caught:
        files.write_atomic(path, b"new")
    monkeypatch.undo()
    assert path.read_bytes() == b"old"
    assert [found.name for found in tmp_path.iterdir()] == ["a.txt"]
    assert caught.value.refusal.facts["folder"] == str(tmp_path)


def test_the_disk_has_the_bytes_before_the_name_is_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[str] = []
    real_sync, real_replace = os.fsync, Path.replace
    monkeypatch.setattr("os.fsync", lambda handle: (done.append("sync"), real_sync(handle))[1])
    monkeypatch.setattr(Path, "replace", lambda self, to: (done.append("replace"), real_replace(self, to))[1])
    files.write_atomic(tmp_path / "a", b"x")
    assert done[:2] == ["sync", "replace"]
    if os.name != "nt":
        assert done == ["sync", "replace", "sync"]  # the last one is the folder


def test_a_held_file_is_tried_again_for_a_while(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = Path.replace
    tries: list[int] = []

    def held(self: Path, target: Path) -> Path:
        tries.append(1)
        if len(tries) < 3:
            raise PermissionError(errno.EACCES, "held by another program")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", held)
    files.write_atomic(tmp_path / "a", b"x")
    assert len(tries) == 3
    assert (tmp_path / "a").read_bytes() == b"x"


def test_windows_says_held_in_its_own_numbers(tmp_path: Path) -> None:
    error = PermissionError(errno.EACCES, "sharing violation")
    error.winerror = 32  # type: ignore[attr-defined]
    assert files.refusal_of(error, tmp_path / "a").code == "file_locked"


def test_a_read_only_file_can_be_replaced_and_removed(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"old")
    path.chmod(stat.S_IREAD)
    files.write_atomic(path, b"new")
    assert path.read_bytes() == b"new"
    path.chmod(stat.S_IREAD)
    files.remove(path)
    files.remove(path)
    assert not path.exists()


def test_streaming_in_hashes_what_it_copies(tmp_path: Path) -> None:
    source = tmp_path / "a.jpg"
    for content in (b"", b"x", os.urandom(3_000_001)):
        source.write_bytes(content)
        streamed = files.stream_in(source, tmp_path / "in")
        assert (streamed.sha256, streamed.size) == (hashlib.sha256(content).hexdigest(), len(content))
        assert streamed.temp.read_bytes() == content
        files.place(streamed.temp, tmp_path / "in" / "there" / "a.jpg")
        assert (tmp_path / "in" / "there" / "a.jpg").read_bytes() == content
        assert not streamed.temp.exists()


def test_reading_errors_name_the_source_and_writing_errors_the_book(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = tmp_path / "card" / "a.jpg"
    source.parent.mkdir()
    source.write_bytes(b"x")
    for call, number, code, folder in (
        ("os.read", errno.EIO, "disk_failed", "card"),
        ("os.read", errno.EACCES, "file_not_allowed", "card"),
        ("os.write", errno.ENOSPC, "disk_full", "in"),
        ("os.fsync", errno.ENOSPC, "disk_full", "in"),
    ):
        with monkeypatch.context() as patch, pytest.raises(Refused, match=code) as caught:
            patch.setattr(call, failing(number))
            files.stream_in(source, tmp_path / "in")
        assert Path(str(caught.value.refusal.facts["folder"])).name == folder
        assert list((tmp_path / "in").iterdir()) == []


def test_whether_a_folder_can_be_written_is_tried(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert files.is_writable_folder(tmp_path)
    assert list(tmp_path.iterdir()) == []
    assert not files.is_writable_folder(tmp_path / "none")
    monkeypatch.setattr("os.open", failing(errno.EROFS))
    assert not files.is_writable_folder(tmp_path)


@pytest.mark.skipif(os.name == "nt", reason="Windows folders have no such permission")
def test_a_folder_that_this_account_may_not_write() -> None:
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        (place / "a").write_bytes(b"old")
        place.chmod(0o555)
        with without_rights():
            assert not files.is_writable_folder(place)
            for doing in (lambda: files.write_atomic(place / "a", b"x"), lambda: files.remove(place / "a")):
                with pytest.raises(Refused, match="folder_read_only"):
                    doing()
        assert (place / "a").read_bytes() == b"old"
        assert len(list(place.iterdir())) == 1
        place.chmod(0o755)


@given(st.text())
def test_safe_names_are_safe_everywhere(text: str) -> None:
    name = files.safe_name(text)
    assert 0 < len(name) <= 81
    assert set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789._-")
    assert not name.startswith((".", " "))
    assert not name.endswith(".")
    # Microsoft, "Naming Files, Paths, and Namespaces": reserved names, with any extension
    assert name.split(".")[0] not in {"con", "prn", "aux", "nul", "com1", "lpt9"}
    assert files.safe_name(name) == name


def test_safe_names_read_like_what_was_given() -> None:
    assert files.safe_name("Larkspur, left fore.PDF") == "larkspur-left-fore.pdf"
    assert files.safe_name("Ångström") == "angstrom"
    assert files.safe_name("AUX.txt") == "aux-.txt"
    assert files.safe_name("...") == "unnamed"
