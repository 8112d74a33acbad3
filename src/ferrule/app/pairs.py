"""Two files of one recording, forearm and hand, dropped in together."""

from dataclasses import dataclass
from pathlib import PurePath
from typing import Literal

from ferrule.app.recordings import import_recording
from ferrule.app.views import RecordingView
from ferrule.app.workspace import Workspace
from ferrule.files.pairs import half_of, join_halves, which_is_hand

Named = tuple[str, bytes]


@dataclass(frozen=True, slots=True)
class PairView:
    """What became of two files. state: `kept` as one recording, `which` when it must be said which is the hand's, `no_pair`
    when each is something by itself; then nothing was kept.
    """

    state: Literal["kept", "which", "no_pair"]
    recording: RecordingView | None = None


def import_pair(
    ws: Workspace, lesson_id: int, one: Named, other: Named, *, hand: str | None = None, key: str | None = None
) -> PairView:
    """Two files as one recording where each holds one sensor. hand: `one` or `other`, None: as columns or names say.

    What is kept is the joined table. Raises InputError when the two are not of one recording, and as `import_recording`.
    """
    halves = half_of(one[1], one[0]), half_of(other[1], other[0])
    if halves[0] is None or halves[1] is None or one[1] == other[1]:
        return PairView("no_pair")
    first = {"one": True, "other": False}.get(hand or "", which_is_hand(halves[0], halves[1]))
    if first is None:
        return PairView("which")
    forearm, on_hand = (halves[1], halves[0]) if first else (halves[0], halves[1])
    content = join_halves(forearm, on_hand)
    name = f"{PurePath(forearm.name).stem} and {PurePath(on_hand.name).stem}.csv"
    return PairView("kept", import_recording(ws, lesson_id, content, name, key=key))


__all__ = ["PairView", "import_pair"]
