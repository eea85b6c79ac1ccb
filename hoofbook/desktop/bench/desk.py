"""What lies on the Bench: markings of the photos at hand, proposals, the current mark, and everything undone or redone.

Confirmed and unseen marks stand in `markings`; proposals lie apart and are only shown, so that nothing proposed can be
saved or counted before a person has said yes to it. Each finished gesture is one command with the old and the new
frozen marking.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from hoofbook.terms.marks import Mark, Marking, MarkState, mark_group
from hoofbook.wording import bench_labels as words
from hoofbook.wording.marks import mark_label

if TYPE_CHECKING:
    from hoofbook.casework.bench import BenchPhoto, MarkLine

_NUDGE = 1  # id of commands that merge: arrow presses on one mark are one gesture


@dataclass(frozen=True, slots=True)
class Edit:
    """One gesture on one photo: what was, what is, and which mark was current before and after."""

    photo: str
    old: Marking
    new: Marking
    was: str
    now: str


class MarkCommand(QUndoCommand):
    """Puts the new marking on the desk, or the old one back."""

    def __init__(self, desk: MarkingDesk, edit: Edit, text: str, *, nudge: bool = False) -> None:
        super().__init__(text)
        self._desk = desk
        self.edit = edit
        self._nudge = nudge

    def redo(self) -> None:
        self._desk.lay(self.edit.photo, self.edit.new, self.edit.now)

    def undo(self) -> None:
        self._desk.lay(self.edit.photo, self.edit.old, self.edit.was)

    def id(self) -> int:
        return _NUDGE if self._nudge else -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, MarkCommand):
            return False
        mine, theirs = self.edit, other.edit
        if (mine.photo, mine.now) != (theirs.photo, theirs.was):
            return False
        self.edit = Edit(mine.photo, mine.old, theirs.new, mine.was, theirs.now)
        return True


class MarkingDesk(QObject):
    """The photos at hand and their marks.

    `marking_changed(photo)` comes after every edit, undo and redo; `shown_changed(photo)` when only proposals or the
    current mark changed; `photo_wanted(photo)` when undo or redo touched a photo that is not shown.
    """

    marking_changed = Signal(str)
    shown_changed = Signal(str)
    photo_wanted = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.undo_stack = QUndoStack(self)
        self.photos: dict[str, BenchPhoto] = {}
        self.markings: dict[str, Marking] = {}
        self.proposals: dict[str, Marking] = {}
        self.photo = ""
        self.current = ""

    # what lies here

    def clear(self) -> None:
        """Another horse: nothing is left to undo."""
        self.undo_stack.clear()
        self.photos.clear()
        self.markings.clear()
        self.proposals.clear()
        self.photo = self.current = ""

    def take(self, photo: BenchPhoto) -> None:
        """Lay a photo on the desk; marks edited since it was first read stay as they are."""
        self.photos[photo.key] = photo
        if photo.key not in self.markings:
            settled = {k: m for k, m in photo.marking.marks.items() if m.state is not MarkState.PROPOSED}
            self.markings[photo.key] = Marking(settled)
            self.propose(photo.key, photo.marking)
            self.propose(photo.key, photo.ghost)

    def propose(self, photo: str, marking: Marking) -> None:
        """Show what is proposed for a photo; what a person settled is left alone, what lies outside is dropped."""
        at = self.photos[photo]
        proposed = {
            name: mark
            for name, mark in marking.marks.items()
            if mark.state is MarkState.PROPOSED and 0 <= mark.x < at.width and 0 <= mark.y < at.height
        }
        kept = self.proposals.get(photo, Marking())
        self.proposals[photo] = Marking({**kept.marks, **proposed})
        if photo == self.photo and proposed:
            if not self.current:
                self.current = self.first_open()
            self.shown_changed.emit(photo)

    def show(self, photo: str) -> None:
        """Make a photo of the desk the shown one; its first open mark becomes current."""
        self.photo = photo
        self.current = self.first_open()
        self.shown_changed.emit(photo)

    @property
    def shown(self) -> BenchPhoto | None:
        return self.photos.get(self.photo)

    @property
    def lines(self) -> tuple[MarkLine, ...]:
        return self.shown.lines if self.shown is not None else ()

    def visible(self, photo: str = "") -> Marking:
        """What is drawn: settled marks, and proposals where nothing is settled."""
        photo = photo or self.photo
        settled = self.markings.get(photo, Marking())
        return Marking({**self.proposals.get(photo, Marking()).marks, **settled.marks})

    def state_of(self, name: str, photo: str = "") -> MarkState | None:
        mark = self.visible(photo).marks.get(name)
        return mark.state if mark is not None else None

    @property
    def is_placing(self) -> bool:
        """True where a click on the photo puts the current mark there."""
        return bool(self.current) and self.state_of(self.current) is not MarkState.CONFIRMED

    @property
    def open_count(self) -> int:
        """Marks still proposed in the shown photo."""
        return sum(1 for mark in self.visible().marks.values() if mark.state is MarkState.PROPOSED)

    def settled_set(self) -> Mapping[str, Marking]:
        """The markings that count, of the shown photo and the others of its set."""
        keys = self.shown.set_keys if self.shown is not None else ()
        return {key: self.markings[key] for key in (*keys, self.photo) if key in self.markings}

    def label(self, name: str) -> str:
        return mark_label(name)

    def line_of(self, name: str) -> MarkLine | None:
        """What is said of a mark; one more of a kind is told as the first of its kind."""
        group = mark_group(name)
        named = next((line for line in self.lines if line.name == name), None)
        return named or next((line for line in self.lines if line.group == group and name), None)

    # the order of marks

    def first_open(self) -> str:
        """The first needed mark that is neither placed nor said to be unseen; "" when all are."""
        return next(iter(self._open()), "")

    def _open(self) -> list[str]:
        marking = self.visible()
        names = []
        for line in self.lines:
            state = marking.marks[line.name].state if line.name in marking else None
            if state is MarkState.PROPOSED or (line.required and state is None):
                names.append(line.name)
        return names

    def _next_open(self) -> str:
        """The next open mark after the current one, round to the first; "" when the current one is the last."""
        order = [line.name for line in self.lines]
        at = order.index(self.current) if self.current in order else -1
        rest = [name for name in self._open() if name != self.current]
        return next((name for name in rest if order.index(name) > at), next(iter(rest), ""))

    def _beside(self, by: int) -> str:
        """The mark before or after the current one among those needed or placed; "" past the end."""
        marking = self.visible()
        order = [line.name for line in self.lines if line.required or line.name in marking or line.name == self.current]
        order += [name for name in marking if name not in order]
        if not order:
            return ""
        if self.current not in order:
            return order[-1] if by < 0 else ""
        at = order.index(self.current) + by
        if at < 0:
            return order[0]
        return order[at] if at < len(order) else self.first_open()

    def choose(self, name: str) -> None:
        """Make a mark current ("" = none)."""
        if name != self.current:
            self.current = name
            self.shown_changed.emit(self.photo)

    def go_on(self) -> None:
        self.choose(self._beside(+1))

    def go_back(self) -> None:
        self.choose(self._beside(-1))

    # gestures

    def place(self, x: float, y: float, zoom: float) -> bool:
        """Put the current mark at a place of the photo and go on; False where no mark waits to be placed."""
        if not self.is_placing or not self._inside(x, y):
            return False
        name, after = self.current, self._next_open()
        self._edit(self._settled().with_mark(name, Mark(x, y, zoom=zoom)), after, words.UNDO_PLACE, name)
        return True

    def put(self, name: str, x: float, y: float, zoom: float) -> None:
        """A mark was dragged or carried to a new place; a proposed one is thereby confirmed."""
        x, y = self._kept_inside(x, y)
        marking = self._settled().with_mark(name, self.visible().marks[name]).moved(name, x, y, zoom)
        self._edit(marking, name, words.UNDO_MOVE, name)

    def nudge(self, dx: float, dy: float, zoom: float) -> bool:
        """Move the current mark by photo px; presses in a row are one gesture. False where it is not placed."""
        mark = self.visible().marks.get(self.current)
        if mark is None or mark.state is MarkState.UNSEEN:
            return False
        x, y = self._kept_inside(mark.x + dx, mark.y + dy)
        marking = self._settled().with_mark(self.current, mark).moved(self.current, x, y, zoom)
        self._edit(marking, self.current, words.UNDO_MOVE, self.current, nudge=True)
        return True

    def confirm(self) -> bool:
        """Say yes to the current proposal and go on; False where the current mark is not proposed."""
        mark = self.visible().marks.get(self.current)
        if mark is None or mark.state is not MarkState.PROPOSED:
            return False
        name, after = self.current, self._next_open()
        settled = self._settled().with_mark(
            name, Mark(mark.x, mark.y, depth_mm=mark.depth_mm, depth_u_mm=mark.depth_u_mm)
        )
        self._edit(settled, after, words.UNDO_CONFIRM, name)
        return True

    def unseen(self) -> bool:
        """Say that the current mark cannot be seen in this photo, and go on."""
        if not self.current:
            return False
        name, after, mark = self.current, self._next_open(), self.visible().marks.get(self.current)
        x, y = (mark.x, mark.y) if mark is not None else (0.0, 0.0)
        self._edit(self._settled().with_mark(name, Mark(x, y, MarkState.UNSEEN)), after, words.UNDO_UNSEEN, name)
        return True

    def remove(self) -> bool:
        """Take the current mark off, so that it can be placed anew."""
        if self.current not in self._settled():
            return False
        self._edit(self._settled().without(self.current), self.current, words.UNDO_REMOVE, self.current)
        return True

    def lay(self, photo: str, marking: Marking, current: str) -> None:
        """Put a marking on the desk: for commands only."""
        self.markings[photo] = marking
        if photo != self.photo:
            self.photo_wanted.emit(photo)
        self.current = current
        self.marking_changed.emit(photo)

    def _settled(self) -> Marking:
        return self.markings.get(self.photo, Marking())

    def _edit(self, new: Marking, after: str, text: str, name: str, *, nudge: bool = False) -> None:
        edit = Edit(self.photo, self._settled(), new, self.current, after)
        self.undo_stack.push(MarkCommand(self, edit, text.format(label=self.label(name)), nudge=nudge))

    def _inside(self, x: float, y: float) -> bool:
        return self.shown is not None and (x, y) == self._kept_inside(x, y)

    def _kept_inside(self, x: float, y: float) -> tuple[float, float]:
        assert self.shown is not None
        return min(max(x, -0.5), self.shown.width - 0.5), min(max(y, -0.5), self.shown.height - 0.5)
