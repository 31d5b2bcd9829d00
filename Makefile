# make demo    set everything up and run the main job on the sample session
# make test    set everything up and run all tests, slow ones too
# make docs    the generated pages, and what the examples of the guides print (a minute)
# make site    the guides and references as a web site, in build/site
# make check   every gate and the quick tests (under two minutes)
# make licences   docs/licences.md: what every package states of its licence
# make coverage   how much of the pure rooms their tests reach, branches counted: at least 95 % (a minute or two)
# make mutants    how many small faults put into a sample of the pure rooms' code the tests find (twenty minutes on a quiet computer)
# make fuzz    a minute of odd texts against the reader of notes (SECONDS=600 for longer); installs a fuzzer of its own
# make soak    eight hours at the bench, at ten times real time (about fifty minutes); the result is kept in benchmarks/results/soak.md
# make pictures   the pictures of the pages in docs/pictures (a minute; needs Debian's chromium)
# make bench   reading, verdicts and the growing record, measured on this computer (some minutes)

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --quiet --disable-pip-version-check

.PHONY: demo test check gates constraints clean docs site licences coverage mutants bench fuzz pictures

demo: $(VENV)/.ready
	@$(BIN)/gudgeon demo

# Tests run in an order shuffled by SEED: the same each time, so that what fails fails again. Try another: make test SEED=7
SEED ?= 20260502
test: $(VENV)/.ready-dev
	$(BIN)/python -m pytest -q --randomly-seed=$(SEED)

check: gates
	$(BIN)/python -m pytest -q -m "not slow" --randomly-seed=$(SEED)

gates: $(VENV)/.ready-dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache
	$(BIN)/cog --check -r -I docs docs/commands.md docs/tables.md

docs: $(VENV)/.ready-dev
	$(BIN)/cog -r -I docs docs/commands.md docs/tables.md
	$(BIN)/python tests/examples.py --write docs/*.md

site: $(VENV)/.ready-dev
	$(BIN)/sphinx-build -W --keep-going -q -j auto -c docs . build/site
	@echo "The site is in build/site: open build/site/index.html"

licences: $(VENV)/.ready-dev
	$(BIN)/python scripts/licences.py

# Rooms without files, clock or network, and the tests that reach them.
PURE := domain units notes trade facts entries checks
COMMA := ,
SPACE := $(subst ,, )
coverage: $(VENV)/.ready-dev
	$(BIN)/python -m coverage run -m pytest -q -m "not slow" tests/units tests/notes tests/trade tests/facts tests/entries tests/checks \
	  tests/outside tests/speech tests/session/test_voice.py tests/cli/test_calc.py tests/cli/test_open_aids.py tests/test_labelled_tables.py
	$(BIN)/python -m coverage report --fail-under=95 --skip-covered --show-missing \
	  --include='$(subst $(SPACE),$(COMMA),$(PURE:%=src/gudgeon/%/*))'

mutants: $(VENV)/.ready-dev
	nice -n 15 $(BIN)/python benchmarks/mutants.py

pictures: $(VENV)/.ready-dev
	$(BIN)/python docs/pictures/make_pictures.py

bench: $(VENV)/.ready-dev
	$(BIN)/python benchmarks/verdicts.py
	$(BIN)/python benchmarks/reading.py
	$(BIN)/python benchmarks/record_scale.py
	$(BIN)/python benchmarks/pages.py

SECONDS ?= 60
fuzz: $(VENV)/.ready-dev
	@$(PIP) install --require-hashes --target $(VENV)/fuzzer --upgrade -r tests/fuzz/requirements.txt
	PYTHONPATH=$(VENV)/fuzzer $(BIN)/python tests/fuzz/fuzz_reader.py -max_total_time=$(SECONDS) -timeout=20 -max_len=2048

soak: $(VENV)/.ready-dev
	$(BIN)/python benchmarks/soak.py --out benchmarks/results/soak.md

# The pinned versions, with hashes: run this after a change to the dependencies in pyproject.toml.
constraints: $(VENV)/.ready-dev
	$(BIN)/uv pip compile -q --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header --upgrade \
	  --all-extras pyproject.toml -o constraints-dev.txt
	$(BIN)/uv pip compile -q --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header \
	  --extra model --extra pages --extra pdf --extra build -c constraints-dev.txt pyproject.toml -o constraints.txt

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "gudgeon needs Python 3.11 or newer."; exit 1; }
	@sh scripts/debian_packages.sh run
	@echo "Setting up .venv …"
	@$(PYTHON) -m venv $(VENV)

$(VENV)/.ready: constraints.txt pyproject.toml | $(VENV)/bin/python
	@echo "Installing the pinned packages (once; this takes a minute or two) …"
	@$(PIP) install --require-hashes -r constraints.txt
	@$(PIP) install --no-deps --no-build-isolation -e .
	@touch $@

$(VENV)/.ready-dev: constraints-dev.txt constraints-nodeps.txt scripts/debian_packages.sh $(VENV)/.ready
	@sh scripts/debian_packages.sh test
	@echo "Installing the pinned packages for tests (once; about 400 MB) …"
	@$(PIP) install --require-hashes -r constraints-dev.txt
	@$(PIP) install --no-deps --require-hashes -r constraints-nodeps.txt
	@touch $@

clean:
	rm -rf $(VENV) dist build .pytest_cache .mypy_cache .ruff_cache .hypothesis
