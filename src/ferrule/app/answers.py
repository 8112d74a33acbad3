"""Answers about a case, kept by its content: the same case is worked out once."""

import hashlib
import json
from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from threading import Lock
from typing import Any, Final, TypeVar

from ferrule.coaching.case import Case

AnswerT = TypeVar("AnswerT")
KEPT: Final = 256


class Answers:
    """Answers by what was asked and the content of the case; the oldest go first. Safe between threads."""

    def __init__(self, size: int = KEPT) -> None:
        self._size = size
        self._kept: OrderedDict[tuple[str, str], Any] = OrderedDict()
        self._lock = Lock()

    def get(self, what: str, case: Case, work_out: Callable[[Case], AnswerT]) -> AnswerT:
        """The kept answer to this question, or the one worked out now."""
        key = (what, content_of(case))
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                kept: AnswerT = self._kept[key]
                return kept
        answer = work_out(case)
        with self._lock:
            self._kept[key] = answer
            while len(self._kept) > self._size:
                self._kept.popitem(last=False)
        return answer

    def forget(self) -> None:
        """Drop everything (a golfer was erased)."""
        with self._lock:
            self._kept.clear()


def content_of(case: Case) -> str:
    """SHA-256 of everything the answer can depend on."""
    return hashlib.sha256(json.dumps(_plain(case), sort_keys=True).encode()).hexdigest()


def _plain(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, Mapping):
        return {str(k): _plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(v) for v in value]
    return value
