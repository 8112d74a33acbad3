"""The change feed: every commit tells its subscribers which lesson changed and to which version. Pages then re-read."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Change:
    """What a commit touched. lesson_id None: not about one lesson; golfer_id None: not about one golfer.

    version: the lesson's version after the commit (0 without a lesson). what: name of the action.
    """

    lesson_id: int | None
    version: int
    golfer_id: int | None
    what: str


Subscriber = Callable[[Change], None]


class ChangeFeed:
    """Subscribers are called in the thread that committed, after the commit, in order of commits. Keep them short."""

    def __init__(self) -> None:
        self._subscribers: dict[int, Subscriber] = {}
        self._next = 0
        self._lock = Lock()

    def subscribe(self, subscriber: Subscriber) -> Callable[[], None]:
        """Call the subscriber with every later change. Returns the function that ends it (may be called twice)."""
        with self._lock:
            number, self._next = self._next, self._next + 1
            self._subscribers[number] = subscriber
        return lambda: self._end(number)

    def publish(self, change: Change) -> None:
        """Tell everybody. One subscriber's failure is logged and does not reach the others or the committer."""
        with self._lock:
            subscribers = list(self._subscribers.values())
        for subscriber in subscribers:
            try:
                subscriber(change)
            except Exception:
                log.exception("a subscriber to the change feed failed on %s", change)

    def _end(self, number: int) -> None:
        with self._lock:
            self._subscribers.pop(number, None)
