"""One thread for linear algebra: matrices as small as ours are done before a second one is awake, which then spins for
nothing on the processor that pages and jobs need.
"""

import os
from typing import Final

ONE_THREAD: Final = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
"""Environment of a process whose linear algebra keeps to one thread."""


def keep_to_one_thread() -> None:
    """For this process, as far as its environment does not say otherwise; works before numpy is first imported only."""
    for name, value in ONE_THREAD.items():
        os.environ.setdefault(name, value)
