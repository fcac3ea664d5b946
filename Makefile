# Two commands set up everything: `make demo` runs the main job, `make test` passes all tests.
# Second runs install nothing: the stamp files remember.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
SLOW ?=

.PHONY: demo test lint types floors pytest bench clean

demo: $(VENV)/.run-ready
	$(BIN)/holewright demo --out out/demo --force

test: lint types floors pytest

lint: $(VENV)/.test-ready
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: $(VENV)/.test-ready
	$(BIN)/mypy

floors: $(VENV)/.test-ready
	$(BIN)/lint-imports

pytest: $(VENV)/.test-ready
	$(BIN)/pytest -n 2 --dist worksteal --benchmark-disable $(SLOW)

bench: $(VENV)/.test-ready
	$(BIN)/pytest benchmarks -s --benchmark-only
	$(BIN)/pytest benchmarks/bench_pages.py -s

$(VENV)/.made:
	$(PYTHON) -m venv $(VENV)
	touch $@

$(VENV)/.run-ready: $(VENV)/.made pyproject.toml constraints.txt
	$(BIN)/python -m pip install --disable-pip-version-check -q -c constraints.txt -e .
	touch $@

$(VENV)/.test-ready: $(VENV)/.run-ready
	$(BIN)/python -m pip install --disable-pip-version-check -q -c constraints.txt -e '.[test]'
	touch $@

clean:
	rm -rf $(VENV) out .mypy_cache .pytest_cache .ruff_cache .import_linter_cache .hypothesis
