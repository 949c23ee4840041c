# make setup   the environment in .venv/, with everything that booklets and tests need
# make demo    the demo pattern, check first, then every layout, into build/
# make test    all tests but the benches
# make bench   the benches: how long things take, in ratios

.DEFAULT_GOAL := help
PYTHON_OF_OURS := .venv/bin/python
DEMO ?= examples/harbour-otter/otter.md

.PHONY: help setup demo test bench lint fonts

help:
	@sed -n 's/^# \(make .*\)/\1/p' Makefile

setup:
	@bash .ci/setup.sh

demo: setup
	@.venv/bin/booklet build "$(DEMO)" -o build --layout a5 --layout a4 --layout letter

test: setup
	@bash .ci/validator.sh
	@$(PYTHON_OF_OURS) -m pytest -n auto --dist worksteal tests

bench: setup
	@$(PYTHON_OF_OURS) -m pytest tests/bench -s

lint: setup
	@$(PYTHON_OF_OURS) -m ruff check .

fonts: setup
	@$(PYTHON_OF_OURS) fonts/make.py
