"""Which blocks may stand beside each other: club, size, order, grip, mounting and device, before any number is made."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from ferrule.coaching.change import FEWEST_SWINGS, Block, Question, Reason, days_of


@dataclass(frozen=True, eq=False, slots=True)
class Sorted:
    """Blocks by what they are good for. aside: left out, with the reason; refused: why nothing may be compared.

    devices: devices that stand on the baseline's scale through a day with both, the baseline's first.
    """

    baseline: tuple[Block, ...]
    practice: tuple[Block, ...]
    tests: tuple[Block, ...]
    transfer: tuple[Block, ...]
    began: date | None
    devices: tuple[str | None, ...]
    aside: tuple[tuple[Block, Reason], ...]
    refused: Reason | None


def sort_blocks(blocks: Sequence[Block], question: Question) -> Sorted:
    """Sort the blocks of one golfer for one question. Order of the input does not matter."""
    ordered = sorted(blocks, key=lambda b: (b.on, b.kind, b.club))
    aside: list[tuple[Block, Reason]] = []
    kept = [b for b in ordered if _large_enough(b, aside)]
    main = [b for b in kept if b.club == question.club]
    aside += [(b, "other_clubs") for b in kept if b.club != question.club and b.kind in ("practice", "retention")]
    began = _began(main, question)
    good = [b for b in main if _in_order(b, began, aside)]
    baseline = [b for b in good if b.kind == "baseline"]
    tests = [b for b in good if b.kind == "retention"]
    practice = [b for b in good if b.kind == "practice"]
    refused: Reason | None = None
    if question.evidence == "absolute":
        baseline, practice, tests, refused = _one_mounting(baseline, practice, tests, aside)
    if question.evidence == "since_address":
        tests, refused = _one_grip(baseline, tests, aside)
        practice, _ = _one_grip(baseline, practice, [])
    devices = _linked([*baseline, *tests, *practice], baseline)
    if baseline:
        stay = [b for b in tests if b.device in devices]
        aside += [(b, "device") for b in tests if b.device not in devices]
        tests, practice = stay, [b for b in practice if b.device in devices]
        aside += [(b, "device") for b in baseline if b.device not in devices]
        baseline = [b for b in baseline if b.device in devices]
    transfer = [b for b in kept if b.kind == "transfer" or (b.kind == "baseline" and b.club != question.club)]
    return Sorted(
        tuple(baseline), tuple(practice), tuple(tests), tuple(transfer), began, tuple(devices), tuple(aside), refused
    )


def _large_enough(block: Block, aside: list[tuple[Block, Reason]]) -> bool:
    if block.values.size >= FEWEST_SWINGS:
        return True
    aside.append((block, "small_blocks"))
    return False


def _began(main: Sequence[Block], question: Question) -> date | None:
    """The day the new way began."""
    if question.began is not None:
        return question.began
    practised = days_of([b for b in main if b.kind == "practice"])
    if practised:
        return practised[0]
    baseline = days_of([b for b in main if b.kind == "baseline"])
    tested = days_of([b for b in main if b.kind == "retention"])
    if not tested:
        return None
    before = [d for d in baseline if d < tested[0]]
    return before[-1] if before else tested[0] - timedelta(days=1)


def _in_order(block: Block, began: date | None, aside: list[tuple[Block, Reason]]) -> bool:
    """A baseline lies before the change (the day it began opens with one); a cold test on a later day."""
    if began is None:
        return True
    wrong = (block.kind == "baseline" and block.on > began) or (block.kind == "retention" and block.on <= began)
    if wrong or (block.kind == "practice" and block.on < began):
        aside.append((block, "dates"))
        return False
    return True


_Parts = tuple[list[Block], list[Block], list[Block], Reason | None]


def _one_mounting(
    baseline: list[Block], practice: list[Block], tests: list[Block], aside: list[tuple[Block, Reason]]
) -> _Parts:
    """Absolute angles: the last mounting that has a baseline, and nothing else. Without its name, a day is a mounting."""
    if not baseline:
        return baseline, practice, tests, None
    keys = {_mounting(b) for b in baseline}
    later = [b for b in (*practice, *tests) if _mounting(b) in keys]
    key = _mounting(later[-1]) if later else _mounting(baseline[-1])
    out = []
    for part in (baseline, practice, tests):
        out.append([b for b in part if _mounting(b) == key])
        aside += [(b, "mounting") for b in part if _mounting(b) != key]
    refused: Reason | None = "mounting" if tests and not out[2] else None
    return out[0], out[1], out[2], refused


def _mounting(block: Block) -> tuple[str | None, date | None]:
    return (block.mount, None) if block.mount is not None else (None, block.on)


def _one_grip(
    baseline: list[Block], later: list[Block], aside: list[tuple[Block, Reason]]
) -> tuple[list[Block], Reason | None]:
    """Change since address stands or falls with the grip: another grip turns the zero."""
    grips = {b.grip for b in baseline}
    if not baseline or not later:
        return later, None
    same = [b for b in later if grips == {b.grip}]
    aside += [(b, "grip") for b in later if grips != {b.grip}]
    return same, None if same else "grip"


def _linked(blocks: Sequence[Block], baseline: Sequence[Block]) -> list[str | None]:
    """Devices joined to the baseline's (the one most used there) by a day on which both measured the same kind of block."""
    if not baseline:
        return sorted({b.device for b in blocks}, key=str)
    names = [b.device for b in baseline]
    found = [max(sorted(set(names), key=str), key=names.count)]
    together: dict[tuple[date, str], set[str | None]] = {}
    for b in blocks:
        together.setdefault((b.on, b.kind), set()).add(b.device)
    grew = True
    while grew:
        grew = False
        for devices in together.values():
            new = sorted(devices - set(found), key=str)
            if new and devices & set(found):
                found += new
                grew = True
    return found
