"""Papers in the window: choose, see it, put it in To send, have it again, note it as sent, hide a part of a photo."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import pytest
from PIL import Image
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QWidget
from pytestqt.qtbot import QtBot

from hoofbook.casework import hidden_parts
from hoofbook.casework.open_book import OpenBook, make_book
from hoofbook.desktop.app import make_application, make_state
from hoofbook.desktop.hide_parts.place import HidePartsPlace
from hoofbook.desktop.papers.handover import HandoverDesk
from hoofbook.desktop.papers.made import MadeList
from hoofbook.desktop.papers.owner import OwnerDesk
from hoofbook.desktop.papers.place import PapersPlace
from hoofbook.desktop.papers.vet import VetDesk
from hoofbook.housekeeping.settings import Settings
from hoofbook.records.keys import new_key
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Horse, PaperMade, PaperSent, Photo, VetImage
from tests.desktop.test_layout import cut_labels, narrow_buttons, overlaps, sideways, small_targets
from tests.papers import tools


class Desk:
    """One place on its own, with what it was told and where it wanted to go."""

    def __init__(self, book: OpenBook, bot: QtBot, kind: type[QWidget], size: tuple[int, int], text: int = 17) -> None:
        make_application()
        self.state = make_state(Settings(text_size=text, person="Demo Farrier"))
        self.state.open_book = book
        self.book, self.bot = book, bot
        self.told, self.gone = list[Refusal | str](), list[tuple[str, dict[str, str]]]()
        self.state.signals.notice.connect(self.told.append)
        self.state.background.refused.connect(self.told.append)
        self.state.signals.go.connect(lambda place, where: self.gone.append((place, where)))
        self.place = kind(self.state)
        bot.addWidget(self.place)
        self.place.resize(*size)
        self.place.show()

    def settle(self) -> None:
        self.bot.wait(300)  # longer than several choices in a row are waited for
        self.bot.waitUntil(lambda: not self.state.background.busy, timeout=120_000)
        self.bot.wait(1)

    def open(self, **where: str) -> None:
        self.place.show_horse(str(self.book.horse_named("Larkspur").key), **where)
        self.settle()


@pytest.fixture
def papers(opened_sample: OpenBook, qtbot: QtBot) -> Iterator[Desk]:
    desk = Desk(opened_sample, qtbot, PapersPlace, (1440, 900))
    yield desk
    desk.state.background.close()


def owner_desk(desk: Desk) -> OwnerDesk:
    assert isinstance(desk.place, PapersPlace)
    page = desk.place.pages["owner"]
    assert isinstance(page, OwnerDesk)
    return page


def made_list(desk: Desk) -> MadeList:
    assert isinstance(desk.place, PapersPlace)
    page = desk.place.pages["made"]
    assert isinstance(page, MadeList)
    return page


def test_the_picture_stands_there_at_once_and_goes_to_to_send(papers: Desk) -> None:
    papers.open()
    page = owner_desk(papers)
    assert page.pages.pictures and not page.empty.isVisible()
    page.fields.send.put_it.click()
    papers.settle()
    [paper] = papers.book.book.every(PaperMade)
    out = papers.book.folder / "to-send" / "2025-09-30" / "larkspur-owner-picture.jpg"
    assert hashlib.sha256(out.read_bytes()).hexdigest() == paper.sha256
    assert any(str(out) in str(line) for line in papers.told)
    page.fields.send.put_it.click()
    papers.settle()
    assert out.with_name("larkspur-owner-picture-2.jpg").is_file(), "a name that is taken is not written over"


def test_every_choice_makes_the_paper_anew(papers: Desk) -> None:
    papers.open()
    page = owner_desk(papers)
    rows = page.fields.rows
    before = page.form
    rows["kind"].press(rows["kind"].cell("sheet"))
    papers.settle()
    assert page.form is not None and page.form is not before
    assert page.form.kind.chosen == "sheet" and rows["advice"].isVisible() and not rows["form"].isVisible()
    rows["advice"].press(rows["advice"].cell("call"))
    rows["ticks"].press(rows["ticks"].cell("owner"))
    rows["then"].press(rows["then"].cell(rows["then"].pick.options[1]))
    papers.settle()
    assert page.form.then.chosen == rows["then"].pick.options[1]
    page.fields.send.put_it.click()
    papers.settle()
    [paper] = papers.book.book.every(PaperMade)
    text = tools.text(papers.book.folder / "to-send" / "2025-09-30" / paper.file_name)
    assert "For A. K." in text and "Call if a shoe is loose" in text and "25 Feb 2025" in text


def test_a_vets_word_in_the_note_is_said_and_stays(papers: Desk) -> None:
    papers.open(kind="sheet")
    page = owner_desk(papers)
    page.fields.note.edit.setPlainText("The laminitis looks better.")
    page.fields.note.keep()
    papers.settle()
    assert page.form is not None
    assert any("“laminitis”: a vet's word" in line for line in page.form.look_again)
    assert page.fields.note.edit.toPlainText() == "The laminitis looks better."


def test_another_foot_brings_its_own_photos(papers: Desk) -> None:
    papers.open()
    page = owner_desk(papers)
    rows = page.fields.rows
    rows["feet"].press(rows["feet"].cell("RF"))
    papers.settle()
    assert page.form is not None and page.form.feet.chosen == "RF"
    photo = papers.book.book.get(Photo, papers.book.book.photos(papers.book.horse_named("Larkspur").key)[0].key)
    assert photo is not None and page.form.photos != ("", "")


def test_made_so_far_gives_the_same_bytes_and_notes_what_was_sent(papers: Desk) -> None:
    papers.open(paper="made")
    assert made_list(papers).empty.isVisible()
    papers.open(paper="owner")
    owner_desk(papers).fields.send.put_it.click()
    papers.settle()
    papers.open(paper="made")
    [panel] = made_list(papers).panels
    assert "more in 37 weeks" in " ".join(panel.line.lines) and "not noted as sent" in panel.told.text()
    panel.again_button.click()
    papers.settle()
    folder = papers.book.folder / "to-send" / "2025-09-30"
    first, second = folder / "larkspur-owner-picture.jpg", folder / "larkspur-owner-picture-2.jpg"
    assert first.read_bytes() == second.read_bytes()
    panel.sent_button.click()
    papers.settle()
    [panel] = made_list(papers).panels
    assert panel.told.text() == "Sent on 30 Sep 2025"
    panel.sent_button.click()
    papers.settle()
    [panel] = made_list(papers).panels
    assert "not noted as sent" in panel.told.text()
    assert len(papers.book.book.every(PaperSent)) == 2, "what was noted before stays in the book"
    panel.anew_button.click()
    papers.settle()
    assert isinstance(papers.place, PapersPlace) and papers.place.shown == "owner"


def test_saved_elsewhere_is_the_same_paper(papers: Desk, tmp_path: Path) -> None:
    papers.open()
    page = owner_desk(papers)
    page.ask_file = lambda name, _kinds: tmp_path / name
    page.fields.send.save_it.click()
    papers.settle()
    [paper] = papers.book.book.every(PaperMade)
    assert hashlib.sha256((tmp_path / "larkspur-owner-picture.jpg").read_bytes()).hexdigest() == paper.sha256


def test_without_two_photos_the_way_leads_to_the_tray(papers: Desk) -> None:
    with papers.book.book.writing() as writer:
        bare = writer.add(Horse(new_key(), "Teasel"))
    papers.place.show_horse(str(bare.key), paper="owner")  # type: ignore[attr-defined]
    papers.settle()
    page = owner_desk(papers)
    assert page.empty.isVisible() and not page.fields.send.put_it.isEnabled()
    page.empty.step.click()
    assert papers.gone[-1] == ("photo_tray", {})


def test_another_foot_from_elsewhere_leaves_the_photos_of_the_first(papers: Desk) -> None:
    papers.open()
    papers.open(foot="RF")
    page = owner_desk(papers)
    assert page.form is not None and page.form.empty is None and page.form.feet.chosen == "RF"


def test_hiding_is_asked_for_the_photo_that_is_shown(papers: Desk) -> None:
    papers.open()
    page = owner_desk(papers)
    assert page.form is not None
    page.fields.hide_buttons[1].click()
    assert papers.gone[-1] == ("hide_parts", {"photo": page.form.photos[1]})


def vet_desk(desk: Desk) -> VetDesk:
    assert isinstance(desk.place, PapersPlace)
    page = desk.place.pages["vet"]
    assert isinstance(page, VetDesk)
    return page


def test_the_vets_answer_stands_in_the_next_case(papers: Desk) -> None:
    papers.open(paper="vet")
    page = vet_desk(papers)
    page.answer.keep_it.click()
    papers.settle()
    assert papers.told[-1] == Refusal("vet_answer_empty", {})
    page.answer.answer.edit.setPlainText("Go on as you are; films again in spring.")
    page.answer.by.setText("Vet D.")
    page.answer.day.setText("2025-09-29")
    page.answer.keep_it.click()
    papers.settle()
    assert page.answer.answer.edit.toPlainText() == ""
    page.fields.question.edit.setPlainText("Are the films due?")
    page.fields.send.put_it.click()
    papers.settle()
    text = tools.text(papers.book.folder / "to-send" / "2025-09-30" / "larkspur-vet-case.pdf")
    assert "Go on as you are; films again in spring. (told by Vet D.)" in " ".join(text.split())


def test_the_pages_of_one_horse_never_stand_under_another(papers: Desk) -> None:
    papers.open(paper="vet")
    page = vet_desk(papers)
    page.look_at_pages()
    papers.place.show_horse(str(papers.book.horse_named("Copper").key), paper="vet")  # type: ignore[attr-defined]
    papers.settle()
    assert page.horse == str(papers.book.horse_named("Copper").key)
    assert page.pages.pictures == [] and page.notes is None and page.fields.show_it.isEnabled()


def test_a_vets_image_is_shown_with_the_trims_since_and_set_aside(papers: Desk, tmp_path: Path) -> None:
    film = tmp_path / "film.png"
    Image.new("L", (300, 200), 90).save(film)
    papers.open(paper="vet")
    panel = vet_desk(papers).images
    assert panel.none.isVisible() and not vet_desk(papers).fields.also.isVisible()
    panel.ask_files = lambda: [film, tmp_path / "none.dcm"]
    panel.feet.press(panel.feet.cell("LF"))
    panel.lines["taken"].setText("2025-09-24")
    panel.lines["received_from"].setText("Vet D.")
    panel.add_them.click()
    papers.settle()
    assert "film.png" in panel.told.text() and "none.dcm" in panel.told.text(), "the good one in, the other said"
    [image] = panel.shown
    assert ("Trims since", "1") in image.rows and image.says == "The vet's: not measured here."
    assert vet_desk(papers).fields.wishes["vets_images"] is True and vet_desk(papers).fields.also.isVisible()
    set_aside = [button for button in panel.findChildren(QPushButton) if button.text() == "Set aside"]
    set_aside[0].click()
    papers.settle()
    assert panel.shown == () and papers.book.book.every(VetImage)[0].set_aside


def test_a_handover_goes_out_and_comes_into_another_book(papers: Desk, tmp_path: Path, qtbot: QtBot) -> None:
    papers.open(paper="handover")
    assert isinstance(papers.place, PapersPlace)
    page = papers.place.pages["handover"]
    assert isinstance(page, HandoverDesk)
    page.give.made_for.setText("The winter farrier")
    page.give.send.put_it.click()
    assert page.give.progress.isVisible() and not page.give.send.put_it.isEnabled()
    papers.settle()
    [paper] = papers.book.book.every(PaperMade)
    bundle = papers.book.folder / "to-send" / "2025-09-30" / "larkspur-handover.zip"
    assert (paper.made_for, paper.sha256) == ("The winter farrier", hashlib.sha256(bundle.read_bytes()).hexdigest())
    papers.open(paper="made")
    assert not made_list(papers).panels[0].again_button.isVisible(), "its photos are not kept a second time"
    other = Desk(make_book(tmp_path / "other"), qtbot, HandoverDesk, (900, 700))
    assert isinstance(other.place, HandoverDesk)
    take = other.place.take
    take.look_at(tmp_path / "nothing.zip")
    other.settle()
    assert isinstance(other.told[-1], Refusal) and take.seen is None
    take.look_at(bundle)
    other.settle()
    assert "54 photos" in take.said.text() and {row.pick.chosen for row in take.rows.values()} == {"new"}
    take.take_it.click()
    other.settle()
    assert "a new horse" in take.came.text()
    ours, theirs = papers.book.horse_named("Larkspur"), other.book.horse_named("Larkspur")
    assert len(other.book.book.photos(theirs.key)) == len(papers.book.book.photos(ours.key))
    other.state.background.close()
    other.book.close()


def test_a_handover_that_is_stopped_leaves_nothing(papers: Desk) -> None:
    papers.open(paper="handover")
    assert isinstance(papers.place, PapersPlace)
    page = papers.place.pages["handover"]
    assert isinstance(page, HandoverDesk)
    page.give.send.put_it.click()
    page.give.progress.button.click()
    papers.settle()
    assert papers.told[-1] == "Stopped. Nothing was kept of it."
    folder = papers.book.folder / "to-send" / "2025-09-30"
    assert papers.book.book.every(PaperMade) == () and not (folder.exists() and any(folder.iterdir()))


@pytest.fixture
def hiding(opened_sample: OpenBook, qtbot: QtBot) -> Iterator[Desk]:
    desk = Desk(opened_sample, qtbot, HidePartsPlace, (1200, 800))
    photo = desk.book.book.photos(desk.book.horse_named("Larkspur").key)[0]
    desk.open(photo=str(photo.key))
    yield desk
    desk.state.background.close()


def place(desk: Desk) -> HidePartsPlace:
    assert isinstance(desk.place, HidePartsPlace)
    return desk.place


def kept(desk: Desk) -> Photo:
    sheet = place(desk).sheet
    assert sheet is not None
    return next(p for p in desk.book.book.every(Photo) if str(p.key) == sheet.key)


def screen(desk: Desk, x: float, y: float) -> QPoint:
    canvas = place(desk).canvas
    assert canvas.picture_size is not None
    at = canvas.frame.to_screen(x * canvas.picture_size[0], y * canvas.picture_size[1])
    return QPoint(round(at[0]), round(at[1]))


LEFT = Qt.MouseButton.LeftButton


def test_a_box_is_drawn_by_a_drag_or_by_two_clicks_and_taken_back(hiding: Desk) -> None:
    canvas = place(hiding).canvas
    QTest.mousePress(canvas, LEFT, pos=screen(hiding, 0.1, 0.2))
    QTest.mouseMove(canvas, screen(hiding, 0.2, 0.3))
    QTest.mouseRelease(canvas, LEFT, pos=screen(hiding, 0.3, 0.4))
    hiding.settle()
    [box] = kept(hiding).covered
    assert box == pytest.approx((0.1, 0.2, 0.3, 0.4), abs=0.004)
    for corner in ((0.6, 0.6), (0.8, 0.7)):
        QTest.mouseClick(canvas, LEFT, pos=screen(hiding, *corner))
    hiding.settle()
    assert len(kept(hiding).covered) == 2
    assert place(hiding).count.text() == "2 parts are hidden."
    for left in (1, 0):
        place(hiding).undo()
        hiding.settle()
        assert len(kept(hiding).covered) == left
    place(hiding).redo()
    hiding.settle()
    assert len(kept(hiding).covered) == 1


def test_boxes_are_worked_by_keys_alone(hiding: Desk) -> None:
    one = place(hiding)
    one.add_box()
    hiding.settle()
    for key, modifier in ((Qt.Key.Key_Left, None), (Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)):
        QTest.keyClick(one.canvas, key, modifier or Qt.KeyboardModifier.NoModifier)
    hiding.settle()
    [box] = kept(hiding).covered
    assert box == pytest.approx((0.39, 0.4, 0.59, 0.61), abs=1e-9)
    assert one.canvas.accessibleName() == "Hidden part 1 of 1"
    QTest.keyClick(one.canvas, Qt.Key.Key_Delete)
    hiding.settle()
    assert kept(hiding).covered == ()


def test_what_cannot_be_kept_is_not_shown_as_if_it_were(hiding: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_given: object, **_named: object) -> None:
        raise Refused(Refusal("disk_full", {"file": "book.sqlite", "folder": "/books"}))

    monkeypatch.setattr(hidden_parts, "keep_hidden", full)
    place(hiding).add_box()
    hiding.settle()
    assert place(hiding).canvas.boxes == () and place(hiding).count.text() == "Nothing is hidden."
    assert isinstance(hiding.told[-1], Refusal) and hiding.told[-1].code == "disk_full"


def test_blood_is_ticked_and_done_goes_back(hiding: Desk) -> None:
    one = place(hiding)
    one.blood.press(one.blood.cell("yes"))
    hiding.settle()
    assert kept(hiding).shows_blood
    one.undo()
    hiding.settle()
    assert not kept(hiding).shows_blood
    one.done.click()
    assert hiding.gone[-1] == ("papers", {})


@pytest.mark.parametrize(("size", "text"), [((740, 480), 20), ((740, 480), 14), ((1180, 800), 17), ((1180, 800), 20)])
def test_nothing_is_cut_or_too_small(opened_sample: OpenBook, qtbot: QtBot, size: tuple[int, int], text: int) -> None:
    desk = Desk(opened_sample, qtbot, PapersPlace, size, text)
    desk.open(paper="made")
    assert made_list(desk).empty.isVisible() and cut_labels(desk.place) == []
    desk.open(paper="owner")
    owner_desk(desk).fields.send.put_it.click()
    desk.settle()
    for paper in ("owner", "made", "handover", "vet"):
        desk.open(paper=paper)
        for fault in (cut_labels, narrow_buttons, overlaps, small_targets, sideways):
            assert fault(desk.place) == [], (paper, fault.__name__)
    desk.state.background.close()


@pytest.mark.parametrize(("size", "text"), [((740, 480), 20), ((940, 480), 17), ((1180, 800), 20)])
def test_the_photo_keeps_room_and_what_to_do_is_not_cut(
    opened_sample: OpenBook, qtbot: QtBot, size: tuple[int, int], text: int
) -> None:
    desk = Desk(opened_sample, qtbot, HidePartsPlace, size, text)
    photo = desk.book.book.photos(desk.book.horse_named("Larkspur").key)[0]
    desk.open(photo=str(photo.key))
    for fault in (cut_labels, narrow_buttons, overlaps, small_targets, sideways):
        assert fault(desk.place) == [], fault.__name__
    canvas = place(desk).canvas
    assert canvas.height() * canvas.width() > 0.35 * size[0] * size[1]
    desk.state.background.close()
