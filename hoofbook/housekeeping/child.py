"""Long work in a process of its own: it gives its memory back, can be stopped at once, and leaves the window smooth.

The work is a generator function of a module; its yields travel one by one, its result at the end. Whoever closes the
generator here (or raises through it) stops the child: it is told to end and, if it does not within half a second,
ended. With `beat` the generator comes back every tenth of a second even while the child is deep in one step, so that
whoever follows it can stop it then. Only values travel; read-only mappings, which cannot travel as they are, go as
dicts and are frozen again.
"""

from __future__ import annotations

import copyreg
import os
from collections.abc import Callable, Generator, Mapping
from multiprocessing import get_context
from multiprocessing.connection import Connection
from types import MappingProxyType
from typing import Any, TypeVar

from hoofbook.terms.refusal import Refused

Progress = TypeVar("Progress")
Result = TypeVar("Result")
WAIT_SECONDS = 0.5
_POLL_SECONDS = 0.1


class ChildFailed(Exception):
    """The child ended without a result: a fault of ours in it, told by its words, or it was ended from outside."""


def _frozen(items: dict[Any, Any]) -> Mapping[Any, Any]:
    return MappingProxyType(items)


def _thaw(mapping: Mapping[Any, Any]) -> tuple[Callable[..., Any], tuple[dict[Any, Any]]]:
    return _frozen, (dict(mapping),)


copyreg.pickle(MappingProxyType, _thaw)


def in_child(
    work: Callable[..., Generator[Progress, None, Result]], *arguments: Any, beat: Progress | None = None
) -> Generator[Progress, None, Result]:
    """Runs `work(*arguments)` in a spawned process, yielding what it yields and returning what it returns.

    `beat` is yielded while nothing has come yet; later the newest step is yielded again while the next is worked on.

    Raises:
        Refused, Exception: what `work` raised, if it can travel.
        ChildFailed: the process ended without a word.
    """
    context = get_context("spawn")
    here, there = context.Pipe(duplex=False)
    process = context.Process(target=_run, args=(there, work, arguments), daemon=True)
    process.start()
    there.close()
    try:
        while True:
            while not here.poll(_POLL_SECONDS):  # a child that has ended closes its end, and that counts as news
                if beat is not None:
                    yield beat
            try:
                kind, value = here.recv()
            except (EOFError, OSError) as error:
                process.join(WAIT_SECONDS)
                raise ChildFailed(f"process ended with {process.exitcode}") from error
            if kind == "done":
                result: Result = value
                return result
            if kind == "refused":
                raise Refused(value)
            if kind == "raised":
                raise value
            if beat is not None:
                beat = value
            yield value
    finally:
        here.close()
        _end(process)


def _end(process: Any) -> None:
    process.join(0.05)
    if process.is_alive():
        process.terminate()
        process.join(WAIT_SECONDS)
    if process.is_alive():
        process.kill()
        process.join()
    process.close()


def _run(pipe: Connection, work: Callable[..., Generator[Any, None, Any]], arguments: tuple[Any, ...]) -> None:
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        steps = work(*arguments)
        while True:
            try:
                pipe.send(("step", next(steps)))
            except StopIteration as done:
                pipe.send(("done", done.value))
                return
    except BrokenPipeError:
        return
    except Refused as refused:
        pipe.send(("refused", refused.refusal))
    except Exception as error:
        try:
            pipe.send(("raised", error))
        except Exception:
            pipe.send(("raised", ChildFailed(repr(error))))
