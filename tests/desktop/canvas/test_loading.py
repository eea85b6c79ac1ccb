"""A photo comes in steps; what is late for another photo never shows."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from PySide6.QtCore import QObject
from PySide6.QtGui import QImage

from hoofbook.casework import pictures
from hoofbook.desktop.background import Background
from hoofbook.desktop.canvas.loading import PictureLoader, Source
from tests.desktop.bench.stand_in import SIZE, draw_photo


@pytest.fixture
def loading(qtbot, tmp_path):
    background, owner = Background(), QObject()
    state = SimpleNamespace(background=background, casework=SimpleNamespace(pictures=pictures), notice=None)
    shown, failed = [], []
    loader = PictureLoader(owner, state, shown.append, failed.append)

    def settle():
        qtbot.waitUntil(lambda: not background.busy, timeout=8000)
        qtbot.wait(1)

    yield SimpleNamespace(loader=loader, shown=shown, failed=failed, settle=settle, folder=tmp_path)
    background.close()


def source(folder, key, *, thumbnail=False) -> Source:
    path = draw_photo(folder / f"{key}.jpg")
    small = None
    if thumbnail:
        small = folder / f"{key}-small.jpg"
        QImage(str(path)).scaledToWidth(300).save(str(small), "JPEG")
    return Source(key, SIZE, path, path, small)


def test_the_thumbnail_shows_at_once_and_every_pixel_in_the_end(loading):
    loading.loader.load(source(loading.folder, "a", thumbnail=True))
    assert [round(p.sharpness, 2) for p in loading.shown] == [0.25]
    loading.settle()
    assert loading.shown[-1].sharpness == 1.0
    assert loading.shown[-1].levels[-1].image.width() < SIZE[0]


def test_without_a_thumbnail_the_other_photo_is_taken_away_first(loading):
    loading.loader.load(source(loading.folder, "a"))
    assert loading.shown == [None]


def test_a_large_file_given_as_thumbnail_is_not_read_on_the_main_thread(loading):
    path = draw_photo(loading.folder / "big.jpg")
    loading.loader.load(Source("a", SIZE, path, path, path))
    assert loading.shown == [None]


def test_what_is_late_for_another_photo_never_shows(loading):
    loading.loader.load(source(loading.folder, "a"))
    loading.loader.load(source(loading.folder, "b"))
    kept = len(loading.shown)
    loading.settle()
    assert loading.loader.source.key == "b"
    assert all(pyramid is loading.shown[-1] or pyramid.size == SIZE for pyramid in loading.shown[kept:])
    assert loading.loader.pyramid is loading.shown[-1]


def test_a_file_that_is_no_photo_is_refused_and_nothing_breaks(loading):
    path = loading.folder / "text.jpg"
    path.write_text("not a photo", encoding="utf-8")
    loading.loader.load(Source("a", SIZE, path, path))
    loading.settle()
    assert loading.failed and loading.shown[-1] is None


def test_a_photo_that_is_here_is_not_loaded_again(loading):
    one = source(loading.folder, "a")
    loading.loader.load(one)
    loading.settle()
    count = len(loading.shown)
    loading.loader.load(one)
    loading.settle()
    assert len(loading.shown) == count
