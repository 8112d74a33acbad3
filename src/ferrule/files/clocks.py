"""Two files of one recording on one clock."""

import numpy as np
from numpy.typing import NDArray

from ferrule.errors import InputError

Floats = NDArray[np.float64]


def on_clock(
    time: Floats, late: Floats, columns: dict[str, Floats], where: str, fewest: int
) -> tuple[NDArray[np.bool_], dict[str, Floats]] | None:
    """Which of n rows of a clock another file of the same recording covers, and that file's numbers at them.

    time: clock, s, shape (n,); late: the other file's clock, s, shape (m,); columns: its numbers, (m,) each. None when its
    clock does not rise. Raises InputError when fewer than `fewest` rows are shared; where: what to name in it.
    """
    good = np.isfinite(late)
    if good.sum() < 2 or not (np.diff(late[good]) > 0).all():
        return None
    inside = np.isfinite(time) & (time >= late[good][0]) & (time <= late[good][-1])
    if inside.sum() < fewest:
        raise InputError.of(
            "files_do_not_overlap", where, expected="two files of the same minutes",
            got=f"clocks that share {int(inside.sum())} rows",
            cause="files of two recordings, or clocks that were never set together",
            do="Choose the two files of one recording",
        )  # fmt: skip
    return inside, {name: np.interp(time[inside], late[good], values[good]) for name, values in columns.items()}
