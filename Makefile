# Two commands do everything: `make demo` and `make test`. Both set up what they need in .venv.
PYTHON ?= python3
VENV ?= .venv
BIN := $(VENV)/bin
DATA ?= ../shared/data

.PHONY: demo test check bench validate fuzz screenshots clean

demo: $(VENV)/.product
	$(BIN)/ferrule demo

test: $(VENV)/.dev
	VENV=$(VENV) sh scripts/test.sh

# The quick half of `make test`: style, types, layers.
check: $(VENV)/.dev
	VENV=$(VENV) sh scripts/test.sh check

# Linear algebra on one thread, as the `ferrule` command keeps to it.
bench: export OMP_NUM_THREADS = 1
bench: export OPENBLAS_NUM_THREADS = 1
bench: $(VENV)/.dev
	$(BIN)/python -m pytest bench/bench_*.py -q -s --benchmark-columns=min,median,rounds

validate: $(VENV)/.dev
	$(BIN)/python scripts/validate.py --data $(DATA)

fuzz: $(VENV)/.dev
	$(BIN)/python scripts/fuzz.py

screenshots: $(VENV)/.dev
	$(BIN)/python scripts/screenshots.py

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit("Ferrule needs Python 3.11 or newer; this is " + sys.version.split()[0] + ". Say make PYTHON=python3.12, for example.") if sys.version_info < (3, 11) else 0'
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade pip

$(VENV)/.product: $(VENV)/bin/python pyproject.toml
	$(BIN)/python -m pip install --quiet --editable .
	@touch $@

$(VENV)/.dev: $(VENV)/bin/python pyproject.toml
	$(BIN)/python -m pip install --quiet --editable '.[parquet]' --group dev
	@touch $@ $(VENV)/.product

clean:
	rm -rf $(VENV) build dist
