# One command each, for a person and for CI. Needs make and python3 (3.11 or newer), nothing else.
PYTHON ?= python3
VENV := .venv
JOBS ?= 2
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check --quiet
LOCKED := install --require-hashes --no-deps
DEMO := out/demo

.PHONY: help demo test check long bench lock system clean

help:
	@echo 'make demo    install the core and ask a build that ships with it'
	@echo 'make test    every check that a change must pass'
	@echo 'make long    the full studies whose tables are committed'
	@echo 'make bench   how fast, as ratios within one run'
	@echo 'make lock    work out the locked requirements afresh (UPGRADE=--upgrade for newer ones)'
	@echo 'make clean   remove what the above made, but no locked requirements'

demo: $(VENV)/.core
	@mkdir -p $(DEMO)
	@cd $(DEMO) && if [ ! -e lake.toml ]; then "$(CURDIR)/$(BIN)/foilwright" new lake --from lake; fi
	@cd $(DEMO) && { "$(CURDIR)/$(BIN)/foilwright" ask lake.toml || [ $$? -eq 1 ]; }

test: system $(VENV)/.test
	$(MAKE) --no-print-directory check

check:
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache
	$(BIN)/python -m pytest -n $(JOBS) -m 'not long'

long: $(VENV)/.test
	$(BIN)/python -m pytest -n $(JOBS) -m long

bench: $(VENV)/.core
	$(BIN)/python benchmarks

system:
	@.ci/system requirements/apt.txt

clean:
	rm -rf $(VENV) out .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache

# The stamps: what is newer than its stamp is installed again, everything else is left as it is.
$(VENV)/pyvenv.cfg:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Foilwright needs Python 3.11 or newer: make PYTHON=python3.11")'
	$(PYTHON) -m venv $(VENV)

$(VENV)/.core: $(VENV)/pyvenv.cfg requirements/core.txt requirements/build.txt pyproject.toml
	$(PIP) $(LOCKED) -r requirements/core.txt -r requirements/build.txt
	$(PIP) install --no-deps --no-build-isolation --editable .
	@touch $@

$(VENV)/.test: $(VENV)/.core requirements/test.txt
	$(PIP) $(LOCKED) -r requirements/test.txt
	@touch $@

$(VENV)/.dev: $(VENV)/.test requirements/dev.txt
	$(PIP) $(LOCKED) -r requirements/dev.txt
	@touch $@

# Locks hold for every platform and for Python 3.11 and newer, and name no address of any index.
UV ?= $(BIN)/uv
LOCK = UV_CUSTOM_COMPILE_COMMAND='make lock' $(UV) pip compile --quiet --universal --python-version 3.11 \
	--fork-strategy fewest --generate-hashes --no-emit-index-url --no-emit-find-links $(UPGRADE)
UPGRADE ?=

lock: $(VENV)/.dev
	$(LOCK) pyproject.toml -o requirements/core.txt
	$(LOCK) --group build -c requirements/core.txt -o requirements/build.txt
	$(LOCK) pyproject.toml --group test --group build -c requirements/core.txt -c requirements/build.txt \
		-o requirements/test.txt
	$(LOCK) pyproject.toml --group dev -c requirements/test.txt -o requirements/dev.txt
	$(LOCK) pyproject.toml --extra sections -c requirements/core.txt -o requirements/sections.txt
	@if grep -n '://' requirements/*.txt; then echo 'a lock names an address' >&2; exit 1; fi
