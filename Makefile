# The one front door. Every target sets up what it needs.
SHELL := /bin/bash
.SHELLFLAGS := -eu -o pipefail -c
PY := .venv/bin/python
STAMP := .venv/.ready

.PHONY: help setup demo test check bench format clean lock
help:
	@echo "make demo   set up, build the demo site, write its report, serve the workbench"
	@echo "make test   set up, run every test"
	@echo "make check  format, lint, types, layers"
	@echo "make bench  side-by-side measurements, written to bench/RESULTS.md"

$(STAMP): pyproject.toml requirements.txt hatch_build.py tools/setup.sh web/package-lock.json $(shell find web/src web/index.html web/*.ts 2>/dev/null)
	bash tools/setup.sh
	touch $(STAMP)

setup: $(STAMP)

demo: $(STAMP)
	.venv/bin/baulk demo --open

test: $(STAMP)
	bash tools/chromium.sh
	$(PY) -m pytest -n 2 --dist worksteal $(ARGS)

check: $(STAMP)
	.venv/bin/ruff format --check .
	.venv/bin/ruff check .
	.venv/bin/mypy
	.venv/bin/lint-imports
	$(PY) hatch_build.py check

bench: $(STAMP)
	$(PY) bench/run.py

format: $(STAMP)
	.venv/bin/ruff format .
	.venv/bin/ruff check --fix .

lock:
	uv lock
	uv export --all-groups --no-emit-project --no-header --format requirements-txt -o requirements.txt >/dev/null

clean:
	rm -rf .venv build dist src/baulk/server/static web/node_modules
