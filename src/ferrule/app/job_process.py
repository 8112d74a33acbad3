"""The one low-priority process that does long work, so that pages stay quick.

The server starts `python -m ferrule.app.job_process` and talks to it through pipes: a function of ours with its
arguments in, its answer out, each pickled behind its length. The process keeps nothing, touches no folder, and ends with
the server, however that ends: it sees the pipe close, or in the middle of a task that its parent has gone.
"""

import contextlib
import os
import pickle
import subprocess
import sys
import time
from collections.abc import Callable
from threading import Thread
from typing import IO, Any, Final, TypeVar

from ferrule.one_thread import ONE_THREAD

AnswerT = TypeVar("AnswerT")
_LENGTH: Final = 8
_LOOK_EVERY_S: Final = 0.5


class JobProcessDied(Exception):  # noqa: N818 - it is what happened
    """The job process ended in the middle of a task."""


class JobProcess:
    """The server's end. Starts the process at the first task, and anew after it died."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None

    def run(self, function: Callable[..., AnswerT], *arguments: object) -> AnswerT:
        """Have a function of a module called there. Raises JobProcessDied when it ended without an answer."""
        process = self._running()
        assert process.stdin is not None
        assert process.stdout is not None
        try:
            _send(process.stdin, (function, arguments))
            went_well, answer = _receive(process.stdout)
        except (OSError, EOFError, pickle.UnpicklingError) as error:
            self.stop()
            raise JobProcessDied(str(error)) from error
        if not went_well:
            raise JobProcessDied(str(answer))
        done: AnswerT = answer
        return done

    @property
    def pid(self) -> int | None:
        """Process id, or None when it is not running."""
        return self._process.pid if self._process is not None and self._process.poll() is None else None

    def stop(self) -> None:
        """End the process at once; what it was doing is lost (and its job is done again later)."""
        process, self._process = self._process, None
        if process is None:
            return
        for pipe in (process.stdin, process.stdout):
            with contextlib.suppress(OSError):
                if pipe is not None:
                    pipe.close()
        process.kill()
        process.wait()

    def _running(self) -> subprocess.Popen[bytes]:
        if self._process is None or self._process.poll() is not None:
            self.stop()
            self._process = subprocess.Popen(
                [sys.executable, "-m", "ferrule.app.job_process"],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                env={**os.environ, **ONE_THREAD},
            )
        return self._process


def serve(tasks: IO[bytes], outcomes: IO[bytes]) -> None:
    """Do tasks until the pipe closes. An unforeseen error goes back as text: one bad file must not end the queue."""
    while True:
        try:
            function, arguments = _receive(tasks)
        except EOFError:
            return
        try:
            answer = (True, function(*arguments))
        except Exception as error:
            answer = (False, f"{type(error).__name__}: {error}")
        _send(outcomes, answer)


def _send(pipe: IO[bytes], thing: object) -> None:
    data = pickle.dumps(thing, protocol=pickle.HIGHEST_PROTOCOL)
    pipe.write(len(data).to_bytes(_LENGTH, "little"))
    pipe.write(data)
    pipe.flush()


def _receive(pipe: IO[bytes]) -> Any:
    head = pipe.read(_LENGTH)
    if len(head) < _LENGTH:
        raise EOFError("the other end closed")
    length = int.from_bytes(head, "little")
    data = pipe.read(length)
    if len(data) < length:
        raise EOFError("the other end closed in the middle")
    return pickle.loads(data)


def _end_with(server: int) -> None:
    """End in the middle of a task when the server has gone: its answer could reach nobody."""
    while os.getppid() == server:
        time.sleep(_LOOK_EVERY_S)
    os._exit(1)


def _main() -> None:
    Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    with contextlib.suppress(AttributeError, OSError):
        os.nice(10)
    outcomes = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # what a library prints must not mix with the answers
    with contextlib.suppress(BrokenPipeError, KeyboardInterrupt), outcomes:
        serve(sys.stdin.buffer, outcomes)


if __name__ == "__main__":
    _main()
