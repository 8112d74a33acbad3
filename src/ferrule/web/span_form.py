"""An interval as a coach says it: from 5 cupped to 3 bowed. The side is a word, never a sign; an empty end is open."""

from dataclasses import dataclass
from typing import Final

from ferrule.coaching.quantities import GRIP_TURN
from ferrule.errors import InputError
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import choose, field, select
from ferrule.web.words import size

TOP: Final = "wrist.top.flexion_deg"
LEVEL: Final = "wrist.shaft_level_down.flexion_deg"


@dataclass(frozen=True, slots=True)
class Spanned:
    """A quantity that an interval can be set for. more, less: words for its two sides; gain_from: the change from this key
    is meant; unit: one unit of the page in the key's unit.
    """

    name: str
    said: str
    key: str
    more: str
    less: str
    gain_from: str | None = None
    unit: str = "°"
    size: float = 1.0


SPANNED: Final[tuple[Spanned, ...]] = (
    Spanned("top", "lead wrist at the top", TOP, "bowed", "cupped"),
    Spanned("level", "lead wrist at shaft level coming down", LEVEL, "bowed", "cupped"),
    Spanned("impact", "lead wrist at impact", "wrist.impact.flexion_deg", "bowed", "cupped"),
    Spanned("gained", "bow gained from the top to shaft level", LEVEL, "bowed", "cupped", TOP),
    Spanned("unset", "set of the lead wrist at impact", "wrist.impact.ulnar_deviation_deg", "unset", "set"),
    Spanned("roll", "forearm roll at impact, since address", "wrist.impact.forearm_roll_deg", "closed", "open"),
    Spanned(
        "rolled",
        "forearm roll from shaft level to impact",
        "wrist.impact.forearm_roll_deg",
        "closed",
        "open",
        "wrist.shaft_level_down.forearm_roll_deg",
    ),
    Spanned("lean", "hands at impact", "shaft_lean_impact_deg", "ahead", "behind"),
    Spanned("handle", "handle at impact", "handle_raise_deg", "raised", "lower"),
    Spanned("chest", "chest at impact", "body.chest_open_impact_deg", "open", "closed"),
    Spanned("pelvis", "pelvis at impact", "body.pelvis_open_impact_deg", "open", "closed"),
    Spanned("grip", "grip", GRIP_TURN.key, "strong", "weak"),
    Spanned("aim", "aim", "aim_deg", "right", "left"),
    Spanned("place", "ball position", "ball_position_m", "forward", "back", unit="cm", size=0.01),
    Spanned("face", "face at impact", "delivery.face_deg", "right", "left"),
    Spanned("path", "path", "delivery.path_deg", "right", "left"),
    Spanned("start", "start of the ball", "ball.start_deg", "right", "left"),
    Spanned("bend", "bend of the ball", "ball.curve_deg", "right", "left"),
)
BY_NAME: Final = {s.name: s for s in SPANNED}
WINDOWED: Final = tuple(s for s in SPANNED if s.gain_from is None)


def spanned_named(key: str | None, gain_from: str | None = None) -> Spanned | None:
    """The entry of a key, or None."""
    return next((s for s in SPANNED if (s.key, s.gain_from) == (key, gain_from)), None)


def span_fields(
    offered: tuple[Spanned, ...],
    label: str,
    *,
    none: str = "",
    chosen: Spanned | None = None,
    low: float | None = None,
    high: float | None = None,
    aim: float | None = None,
    with_aim: bool = False,
    id_: str = "span",
) -> Markup:
    """The quantity, then its two ends, each a number and a side. none: words for no quantity at all; with_aim: the number
    to feel for as well.
    """
    options = [("", none)] if none else []
    return tag(
        "div",
        select("quantity", label, [*options, *((s.name, s.said) for s in offered)], chosen=chosen.name if chosen else "", id_=id_),
        *(_ends(s, (low, high, aim) if s is chosen else (None, None, None), id_, with_aim) for s in offered),
        class_="stack",
    )  # fmt: skip


def _ends(
    spanned: Spanned, values: tuple[float | None, float | None, float | None], id_: str, with_aim: bool
) -> Markup:
    rows = [("low", "From", values[0]), ("high", "To", values[1])]
    if with_aim:
        rows.append(("aim", "What to feel for", values[2]))
    return tag(
        "div",
        *(_end(spanned, name, said, value, id_) for name, said, value in rows),
        data_when=f"quantity={spanned.name}",
        class_="fields ends",
    )


def _end(spanned: Spanned, name: str, said: str, value: float | None, id_: str) -> Markup:
    shown = "" if value is None else size(value / spanned.size, 1)
    side = spanned.less if value is not None and value < 0 else spanned.more if value is not None else ""
    return tag(
        "div",
        field(name, said, value=shown, kind="number", unit=spanned.unit, id_=f"{id_}-{spanned.name}"),
        choose(f"{name}_side", f"{spanned.less} or {spanned.more}", [(spanned.less, spanned.less), (spanned.more, spanned.more)], chosen=side),
        class_="span",
    )  # fmt: skip


def ends_of(
    quantity: str | None, low: float | None, low_side: str | None, high: float | None, high_side: str | None
) -> tuple[Spanned, float | None, float | None]:
    """What was sent as an interval in the key's unit and sign, the ends in their order. Raises InputError by field."""
    spanned = BY_NAME.get(quantity or "")
    if spanned is None:
        raise InputError.of("missing", "quantity", expected="what is meant", got=repr(quantity or ""), do="Choose one")
    ends = [_signed(spanned, "low", low, low_side), _signed(spanned, "high", high, high_side)]
    if ends[0] is not None and ends[1] is not None and ends[0] > ends[1]:
        ends.reverse()  # said the other way round: from bowed to cupped
    return spanned, ends[0], ends[1]


def _signed(spanned: Spanned, where: str, value: float | None, side: str | None) -> float | None:
    if value is None:
        return None
    if value and side not in (spanned.more, spanned.less):
        raise InputError.of(
            "missing", f"{where}_side", expected=f"{spanned.less} or {spanned.more}", got="nothing", do="Choose one"
        )
    return (-1.0 if side == spanned.less else 1.0) * abs(value) * spanned.size
