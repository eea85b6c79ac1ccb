"""Work away from the window: one worker for the book, one pool for pixels; only frozen values come back.

Results arrive on the main thread, in order, and only while the widget that asked still exists. Long work is a generator
of `Step`; on the records worker it takes turns step by step with the reads, so that the window stays quick.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Generator
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

from PySide6.QtCore import QObject, Qt, Signal
from shiboken6 import isValid

from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Step

T = TypeVar("T")
Done = Callable[[Any], None]
Failed = Callable[[Refusal], None]
Stepped = Callable[[Step], None]


class Job:
    """One piece of work on its way. `cancel` keeps its result away and stops long work at its next step."""

    def __init__(self, owner: QObject, done: Done, failed: Failed | None, stepped: Stepped | None = None) -> None:
        self.owner = owner
        self.done = done
        self.failed = failed
        self.stepped = stepped
        self.stopped: Callable[[], None] | None = None
        self._cancelled = threading.Event()

    def cancel(self) -> None:
        self._cancelled.set()

    @property
    def cancelled(self) -> bool:
        return self._cancelled.is_set()


class Background(QObject):
    """The workers. `refused` carries a refusal nobody asked to handle; a bug is raised again on the main thread."""

    refused = Signal(object)
    busy_changed = Signal(bool)
    _arrived = Signal(object)

    def __init__(self, parent: QObject | None = None, *, pixel_workers: int = 2) -> None:
        super().__init__(parent)
        self._records = ThreadPoolExecutor(1, thread_name_prefix="records")
        self._pixels = ThreadPoolExecutor(pixel_workers, thread_name_prefix="pixels")
        self._latest: dict[tuple[int, str], Job] = {}
        self._waiting = 0
        self._closed = False
        self._arrived.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    @property
    def busy(self) -> bool:
        """True while anything is waiting or running."""
        return self._waiting > 0

    def read(
        self, owner: QObject, work: Callable[[], T], done: Done, failed: Failed | None = None, *, replaces: str = ""
    ) -> Job:
        """Run `work` on the records worker, then `done(result)` on the main thread.

        `replaces` names work of this owner of which only the newest counts: an older one still on its way is dropped.
        """
        return self._start(self._records, Job(owner, done, failed), work, replaces)

    def pixels(
        self, owner: QObject, work: Callable[[], T], done: Done, failed: Failed | None = None, *, replaces: str = ""
    ) -> Job:
        """The same on the pixel pool."""
        return self._start(self._pixels, Job(owner, done, failed), work, replaces)

    def long(
        self,
        owner: QObject,
        start: Callable[[], Generator[Step, None, T]],
        done: Done,
        *,
        stepped: Stepped | None = None,
        failed: Failed | None = None,
        stopped: Callable[[], None] | None = None,
        on_pixels: bool = False,
    ) -> Job:
        """Run a generator of `Step`s; `done` gets what it returns. `Job.cancel` closes it at its next step.

        On the records worker each step is a turn of its own. With `on_pixels` the whole runs in one pool thread (work
        that does not touch the open book).
        """
        job = Job(owner, done, failed, stepped)
        job.stopped = stopped
        self._count(+1)
        if on_pixels:
            self._pixels.submit(self._whole, job, start)
        else:
            self._records.submit(self._turn, job, start, None)
        return job

    def close(self) -> None:
        """Finish what runs, drop what waits; afterwards nothing arrives any more."""
        self._closed = True
        self._records.shutdown(wait=True, cancel_futures=True)
        self._pixels.shutdown(wait=True, cancel_futures=True)

    def _start(self, pool: ThreadPoolExecutor, job: Job, work: Callable[[], Any], replaces: str) -> Job:
        if replaces:
            older = self._latest.get((id(job.owner), replaces))
            if older is not None:
                older.cancel()
            self._latest[(id(job.owner), replaces)] = job
        self._count(+1)
        if not self._closed:
            pool.submit(self._run, job, work)
        return job

    def _run(self, job: Job, work: Callable[[], Any]) -> None:
        if job.cancelled:
            self._post(lambda: self._count(-1))
            return
        try:
            result = work()
        except BaseException as error:
            self._post_error(job, error)
        else:
            self._post(lambda: self._finish(job, result))

    def _turn(self, job: Job, start: Callable[[], Any] | None, steps: Generator[Step, None, Any] | None) -> None:
        """One step of long work on the records worker; the next one queues behind the reads that came meanwhile."""
        try:
            if steps is None:
                assert start is not None
                steps = start()
            if job.cancelled:
                steps.close()
                self._post(lambda: self._stop(job))
                return
            step = next(steps)
        except StopIteration as end:
            result = end.value
            self._post(lambda: self._finish(job, result))
        except BaseException as error:
            self._post_error(job, error)
        else:
            self._post(lambda: self._step(job, step))
            if self._closed:
                steps.close()
            else:
                self._submit_turn(job, steps)

    def _submit_turn(self, job: Job, steps: Generator[Step, None, Any]) -> None:
        try:
            self._records.submit(self._turn, job, None, steps)
        except RuntimeError:  # closing down between the two lines
            steps.close()

    def _whole(self, job: Job, start: Callable[[], Generator[Step, None, Any]]) -> None:
        try:
            steps = start()
            while True:
                if job.cancelled or self._closed:
                    steps.close()
                    self._post(lambda: self._stop(job))
                    return
                step = next(steps)
                self._post(lambda step=step: self._step(job, step))  # type: ignore[misc]
        except StopIteration as end:
            result = end.value
            self._post(lambda: self._finish(job, result))
        except BaseException as error:
            self._post_error(job, error)

    def _post_error(self, job: Job, error: BaseException) -> None:
        self._post(lambda: self._fail(job, error))

    def _post(self, delivery: Callable[[], None]) -> None:
        if not self._closed:
            self._arrived.emit(delivery)

    def _deliver(self, delivery: Callable[[], None]) -> None:
        delivery()

    def _finish(self, job: Job, result: Any) -> None:
        self._count(-1)
        if self._wanted(job):
            job.done(result)

    def _step(self, job: Job, step: Step) -> None:
        if job.stepped is not None and self._wanted(job):
            job.stepped(step)

    def _stop(self, job: Job) -> None:
        self._count(-1)
        if job.stopped is not None and isValid(job.owner):
            job.stopped()

    def _fail(self, job: Job, error: BaseException) -> None:
        self._count(-1)
        if not isinstance(error, Refused):
            raise error
        if not self._wanted(job):
            return
        if job.failed is not None:
            job.failed(error.refusal)
        else:
            self.refused.emit(error.refusal)

    def _wanted(self, job: Job) -> bool:
        return not job.cancelled and not self._closed and isValid(job.owner)

    def _count(self, more: int) -> None:
        was_busy = self.busy
        self._waiting += more
        if self.busy != was_busy:
            self.busy_changed.emit(self.busy)
