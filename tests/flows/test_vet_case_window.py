"""The Vet case in the window: the question typed, the pages looked at, the file made where the person says."""

from __future__ import annotations

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from hoofbook.casework.open_book import OpenBook
from hoofbook.desktop.app import make_application, make_state
from hoofbook.desktop.papers.desk import SIDE_BY_SIDE
from hoofbook.desktop.papers.vet import VetDesk
from hoofbook.housekeeping.settings import Settings
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects import PaperMade, Person, PersonRole
from tests.desktop.test_layout import cut_labels, narrow_buttons, overlaps, sideways, small_targets
from tests.papers import tools


class Sheet:
    """The place on its own, with what it was told."""

    def __init__(self, book: OpenBook, bot: QtBot, size: tuple[int, int] = (1440, 900), text: int = 17) -> None:
        make_application()
        self.state = make_state(Settings(text_size=text))
        self.state.open_book = book
        self.bot, self.told = bot, list[Refusal | str]()
        self.state.signals.notice.connect(self.told.append)
        self.place = VetDesk(self.state)
        bot.addWidget(self.place)
        self.place.resize(*size)
        self.place.show()

    def settle(self) -> None:
        self.bot.waitUntil(lambda: not self.state.background.busy, timeout=120_000)
        self.bot.wait(1)

    def open(self, horse: str) -> None:
        assert self.state.open_book is not None
        self.place.show_horse(str(self.state.open_book.horse_named(horse).key))
        self.settle()


@pytest.fixture
def sheet(opened_sample: OpenBook, qtbot: QtBot) -> Iterator[Sheet]:
    one = Sheet(opened_sample, qtbot)
    yield one
    one.state.background.close()


def test_the_form_offers_what_the_book_knows(sheet: Sheet) -> None:
    sheet.open("Larkspur")
    fields = sheet.place.fields
    assert fields.wishes["feet"] == ("LF", "RF") and fields.wishes["size"] == "case"
    assert fields.lines["phone"].text() == "01632 960 114" and fields.lines["taken_by"].text() == "Demo Farrier"
    assert "flat sole" in fields.lines["since_when"].placeholderText()
    assert "no grade given" in fields.lines["gait"].placeholderText()
    assert "said on 30 Sep 2025" in fields.permission.text() and not fields.allow.isVisible()
    fields.question.edit.setPlainText("Kept?")
    fields.picks["feet"].press(fields.picks["feet"].cell("RF"))
    sheet.settle()
    assert fields.wishes["feet"] == ("LF",) and fields.wishes["question"] == "Kept?"


def test_pages_are_shown_and_the_case_is_made(sheet: Sheet, tmp_path: Path) -> None:
    sheet.open("Copper")
    fields, place = sheet.place.fields, sheet.place
    fields.question.edit.setPlainText("May he jump? I fear laminitis.")
    fields.picks["size"].press(fields.picks["size"].cell("call"))
    fields.show_it.click()
    assert not fields.send.save_it.isEnabled()
    sheet.settle()
    assert len(place.pages.pictures) == 1 and place.pages.pictures[0].accessibleName() == "Page 1 of 1"
    assert not place.empty.isVisible() and fields.send.save_it.isEnabled()
    assert place.notes is not None
    asked = []

    def answer(name: str, _kinds: str) -> Path:
        asked.append(name)
        return tmp_path / name

    place.ask_file = answer
    fields.send.save_it.click()
    sheet.settle()
    assert asked == ["copper-vet-case.pdf"]
    assert "May he jump?" in tools.text(tmp_path / "copper-vet-case.pdf")
    assert any("copper-vet-case.pdf" in str(line) for line in sheet.told)
    assert sheet.state.open_book is not None
    assert [paper.file_name for paper in sheet.state.open_book.book.every(PaperMade)] == ["copper-vet-case.pdf"]


def test_permission_and_phone_are_kept(sheet: Sheet) -> None:
    sheet.open("Copper")
    fields = sheet.place.fields
    assert "not noted" in fields.permission.text() and fields.allow.isVisible()
    fields.allow.click()
    sheet.settle()
    assert "owner R. M. lets it be shown" in fields.permission.text() and not fields.allow.isVisible()
    fields.lines["phone"].setText("01632 960 115")
    fields.lines["phone"].editingFinished.emit()
    sheet.settle()
    assert sheet.state.open_book is not None
    farriers = sheet.state.open_book.book.every(Person, role=PersonRole.FARRIER)
    assert [person.phone for person in farriers] == ["01632 960 115"]


def test_too_many_words_are_told_and_nothing_is_lost(sheet: Sheet) -> None:
    sheet.open("Larkspur")
    fields = sheet.place.fields
    fields.question.edit.setPlainText("x" * 400)
    fields.show_it.click()
    sheet.settle()
    assert isinstance(sheet.told[-1], Refusal) and sheet.told[-1].code == "vet_case_words_long"
    assert fields.show_it.isEnabled() and len(fields.question.edit.toPlainText()) == 400


@pytest.mark.parametrize(("size", "text"), [((740, 480), 20), ((740, 480), 14), ((1180, 800), 17), ((1180, 800), 20)])
def test_nothing_is_cut_or_too_small(opened_sample: OpenBook, qtbot: QtBot, size: tuple[int, int], text: int) -> None:
    one = Sheet(opened_sample, qtbot, size, text)
    one.open("Juniper")
    one.place.fields.picks["size"].press(one.place.fields.picks["size"].cell("call"))
    one.place.look_at_pages()
    one.settle()
    qtbot.wait(20)
    for fault in (cut_labels, narrow_buttons, overlaps, small_targets, sideways):
        assert fault(one.place) == [], fault.__name__
    beside = (
        one.place.fields.geometry().right() < one.place.pages.mapTo(one.place, one.place.pages.rect().topLeft()).x()
    )
    assert beside is (size[0] >= SIDE_BY_SIDE)
    one.state.background.close()
