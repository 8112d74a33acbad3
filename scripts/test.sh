#!/bin/sh
# Everything that must hold: style, types, layers, tests, and the workbench in a real browser. Says what it skipped.
set -eu
BIN="${VENV:-.venv}/bin"
# Every server and every child that a test starts loads modules compiled before, also where Python is told to keep none:
# compiling them anew costs each start seconds.
unset PYTHONDONTWRITEBYTECODE PYTHONPYCACHEPREFIX
# What tests and browsers leave in the way of temporary files goes with them, also when they are stopped.
TMPDIR=$(mktemp -d)
export TMPDIR
trap 'rm -rf "$TMPDIR"' EXIT
trap 'exit 130' INT
trap 'exit 143' TERM
# One thread for each process: the arrays are small, and two processes of two threads each only get in their own way.
export OPENBLAS_NUM_THREADS=1 OMP_NUM_THREADS=1

echo "== style, types, layers"
"$BIN/ruff" check .
"$BIN/ruff" format --check .
"$BIN/mypy"
PYTHONPATH=src "$BIN/lint-imports"
[ "${1:-}" = check ] && exit 0

echo "== tests"
"$BIN/python" -m pytest -n "${TEST_PROCESSES:-2}" -m "not browser"

if ! command -v chromium >/dev/null 2>&1 && command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
  echo "== installing Chromium for the browser tests"
  (apt-get update && apt-get install -y --no-install-recommends chromium) >/dev/null 2>&1 || true
fi
if command -v chromium >/dev/null 2>&1; then
  echo "== the workbench in a real browser"
  "$BIN/python" -m pytest tests/browser -n "${TEST_PROCESSES:-2}" --dist loadfile --no-loadscope-reorder -m browser
else
  echo "SKIPPED: the browser tests, because there is no Chromium here and it could not be installed."
  echo "         Install the package 'chromium' (Debian, Ubuntu) and run make test again."
fi
