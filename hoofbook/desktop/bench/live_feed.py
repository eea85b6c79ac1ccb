"""Live measures and kept passes: the two things that follow the marks without holding them up."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QTimer, Signal

from hoofbook.desktop.state import AppState
from hoofbook.terms.marks import Marking
from hoofbook.terms.shown import Section

if TYPE_CHECKING:
    from hoofbook.casework.bench_live import Live, LiveSession

PAUSE_MS = 15  # between two live measures while a mark moves
KEEP_MS = 700  # after the last gesture


class LiveFeed(QObject):
    """Measures the newest markings, one at a time: what was asked meanwhile and is outdated is never computed."""

    measured = Signal(str, object)
    next_brings = Signal(str, str)  # what one photo more should bring, asked once the marks of a set rest
    places_found = Signal(str, object)  # from where the photos of the set were taken: a Section or None
    lines_found = Signal(str, object)  # by mark: the line of the shown photo on which it must lie

    def __init__(self, state: AppState, parent: QObject) -> None:
        super().__init__(parent)
        self._state = state
        self._session: LiveSession | None = None
        self._photo = ""
        self._wanted: Mapping[str, Marking] | None = None
        self._running = False
        self._last: Mapping[str, Marking] = {}
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self._run)

    def start(self, photo: str, markings: Mapping[str, Marking]) -> None:
        """Another photo or set: read once what measuring needs of it, then measure these markings."""
        book, bench = self._state.open_book, self._state.casework.bench
        if self._session is not None and photo in self._session.keys:
            self._photo = photo
            self.ask(markings)
            return
        self._photo, self._session, self._wanted = photo, None, markings
        self._state.background.read(self, lambda: bench.start_live(book, photo), self._started, replaces="live")

    def forget(self) -> None:
        """What was read of the book is outdated."""
        self._session = None

    def ask(self, markings: Mapping[str, Marking]) -> None:
        """Measure these markings as soon as the last measure is done."""
        self._wanted = markings
        if not self._running and not self._pause.isActive():
            self._pause.start()

    def _started(self, session: LiveSession) -> None:
        self._session = session
        self._run()

    def _run(self) -> None:
        session, wanted, photo = self._session, self._wanted, self._photo
        if session is None or wanted is None or self._running:
            return
        self._wanted, self._running, self._last = None, True, wanted
        self._state.background.pixels(
            self, lambda: session.measure(wanted), lambda live: self._done(photo, live), self._failed
        )

    def _done(self, photo: str, live: Live) -> None:
        self._running = False
        if photo == self._photo:
            self.measured.emit(photo, live)
        if self._wanted is not None:
            self._pause.start()
        else:
            self._look_ahead(photo)

    def _look_ahead(self, photo: str) -> None:
        """Sets only: where waiting marks must lie, and the ± that the next photo would leave.

        Both take a solve of their own, so only at rest; what was asked meanwhile goes before the second one.
        """
        session, markings = self._session, self._last
        if session is None or len(session.keys) < 2:
            return
        self._running = True

        def lines_found(lines: object) -> None:
            self._running = False
            if photo == self._photo:
                self.lines_found.emit(photo, lines)
            if self._wanted is not None:
                self._pause.start()
            else:
                self._ask_next(session, photo, markings)

        self._state.background.pixels(self, lambda: session.lines_in(photo, markings), lines_found, self._failed)

    def _ask_next(self, session: LiveSession, photo: str, markings: Mapping[str, Marking]) -> None:
        self._running = True

        def done(found: tuple[str, Section | None]) -> None:
            self._running = False
            if photo == self._photo:
                self.next_brings.emit(photo, found[0])
                self.places_found.emit(photo, found[1])
            if self._wanted is not None:
                self._pause.start()

        def work() -> tuple[str, Section | None]:
            return session.next_brings(markings), session.places(markings)

        self._state.background.pixels(self, work, done, self._failed)

    def _failed(self, refusal: object) -> None:
        self._running = False
        self._state.notice(refusal)  # type: ignore[arg-type]


class PassKeeper(QObject):
    """Keeps the marks of a photo a moment after its last gesture, and at once when the photo is left."""

    kept = Signal(str, object)

    def __init__(
        self, state: AppState, marking_of: Callable[[str], Marking], zoom: Callable[[], float], parent: QObject
    ):
        super().__init__(parent)
        self._state = state
        self._marking_of = marking_of
        self._zoom = zoom
        self._due: dict[str, None] = {}
        self.has_kept = False
        self._timer = QTimer(self, singleShot=True, interval=KEEP_MS)
        self._timer.timeout.connect(self.flush)

    @property
    def can_keep(self) -> bool:
        book = self._state.open_book
        return book is not None and not book.read_only

    def soon(self, photo: str) -> None:
        """The marks of this photo changed."""
        if self.can_keep:
            self._due[photo] = None
            self._timer.start()

    def flush(self) -> None:
        """Keep now what is due."""
        self._timer.stop()
        due, self._due = list(self._due), {}
        for photo in due:
            self._keep(photo)

    def _keep(self, photo: str) -> None:
        book, bench = self._state.open_book, self._state.casework.bench
        marking, zoom = self._marking_of(photo), self._zoom()

        def done(live: Any) -> None:
            self.has_kept = True
            self.kept.emit(photo, live)

        self._state.background.read(self, lambda: bench.save_pass(book, photo, marking, zoom=zoom), done)
