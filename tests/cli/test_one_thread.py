"""The command's linear algebra keeps to one thread, unless it is told otherwise."""

import os
import subprocess
import sys

import pytest

_LOOK = "import ferrule.cli, sys, os; print('numpy' in sys.modules, os.environ['OPENBLAS_NUM_THREADS'])"


@pytest.mark.parametrize(("told", "threads"), [({}, "1"), ({"OPENBLAS_NUM_THREADS": "2"}, "2")])
def test_one_thread_is_said_before_numpy_is_there(told, threads):
    untold = {k: v for k, v in os.environ.items() if not k.endswith("_NUM_THREADS")}
    run = subprocess.run([sys.executable, "-c", _LOOK], env=untold | told, capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["False", threads]
