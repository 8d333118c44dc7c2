# Sashdesk: the workflow, one target a job. `make help` lists them.
PY := .venv/bin/python
PORT ?= 8000

.DEFAULT_GOAL := help
.PHONY: help env checks demo serve test schema faults lint style types audit fuzz bench pictures words lock

help: ## list the targets
	@grep -E '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 10

env: .venv/installed ## make .venv with the locked requirements of a shop
checks: .venv/checked ## and with what the tests and checks need

INSTALL := $(PY) -m pip install --quiet --disable-pip-version-check --require-hashes -r

.venv/installed: requirements.txt
	python3 -m venv .venv
	$(INSTALL) $< $(UNCOMPILED)
	@touch $@

# Compiled when they are first read: a run of the tests reads few of these files. A shop's are compiled, but in CI.
UNCOMPILED = $(if $(CI),--no-compile)
.venv/checked: tests/requirements.txt .venv/installed
	$(INSTALL) $< --no-compile
	@touch $@

demo: env ## load the demo scenario, run the main job once, print it, serve on localhost
	$(PY) manage.py demo
	@echo; echo "Open http://127.0.0.1:$(PORT)/ (Ctrl-C ends it). Mail is written to var/mail."; echo
	@$(MAKE) --no-print-directory serve

serve: env ## serve the present database on localhost, with the worker that sends its mail
	$(PY) manage.py migrate --verbosity 0
	@$(PY) manage.py work & worker=$$!; trap "kill $$worker 2>/dev/null" EXIT INT TERM; \
	.venv/bin/gunicorn config.wsgi --bind 127.0.0.1:$(PORT) --threads 4 --log-level warning

# Two browsers share the cores with two servers: what fails there is run once more by itself, and has to pass.
PYTEST := $(PY) -m pytest -n auto --dist worksteal
BROWSER := $(PYTEST) tests/browser || $(PY) -m pytest --last-failed tests/browser
ON_POSTGRES := $(PYTEST) -m database --ignore=tests/browser && \
	{ $(PYTEST) -m database tests/browser || $(PY) -m pytest --last-failed -m database tests/browser; }

test: lint schema ## every check: style, layering, tests on SQLite, those that touch a database on PostgreSQL too
	$(PYTEST) --ignore=tests/browser
	$(BROWSER)
	@if [ -n "$$CI" ] || ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1; then \
	  .ci/with_postgres sh -c '$(ON_POSTGRES)'; \
	else echo "PostgreSQL is not installed, so its round was left out: apt-get install postgresql"; fi

# The tests' databases begin as copies of a migrated one of either engine: made beside the lint they keep no worker waiting.
SCHEMA := $(PY) -c 'from tests.faults.fresh import migrated_desk; migrated_desk()'

schema: checks
	@$(SCHEMA)
	@if ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1; then .ci/with_postgres $(SCHEMA); fi

# As many faults as FAULTS says, of the kinds and at the moments that FAULTS_SEED draws. As root.
FAULTS ?= 1000
FAULTS_SEED ?= 20320117

faults: checks ## a shop through a thousand faults on SQLite and on PostgreSQL; 0 lost, 0 doubled, 0 by half
	DATABASE_URL= $(PY) -m tests.faults.run --faults $(FAULTS) --seed $(FAULTS_SEED)
	.ci/with_postgres $(PY) -m tests.faults.run --faults $(FAULTS) --seed $(FAULTS_SEED)

# Two targets, as `make -j` runs them side by side.
lint: style types ## style, layering, types of what decides, unsafe calls, missing migrations

style: checks
	$(PY) -m ruff check .
	$(PY) -m ruff format --check .
	.venv/bin/lint-imports
	.venv/bin/bandit --quiet --recursive --configfile pyproject.toml config sizing quotes ordering fixtures manage.py
	$(PY) manage.py makemigrations --check --dry-run

types: checks
	.venv/bin/mypy --no-error-summary

audit: checks ## known weaknesses in the locked requirements, where a vulnerability service answers
	.ci/audit

# Target and how many inputs; together over ten million, in about an hour on one core.
FUZZED := length:5000000 weight:4000000 json_line:1000000 message:60000 \
	table_cells:10000 table_bytes:10000 schedule_cells:10000 schedule_bytes:10000

fuzz: checks ## ten million random inputs for the parsers and readers; a finding stays in var/fuzz
	@mkdir -p var; for each in $(FUZZED); do \
	  $(PY) -m tests.faults.fuzz.run $${each%:*} $${each#*:} 2>var/fuzz.log || { tail -n 40 var/fuzz.log; exit 1; }; done

bench: checks ## speed as ratios against a floor measured in the same run
	$(PY) -m pytest tests/bench --run-bench -q -s

pictures: checks ## a picture of every page with the demo's data, wide, dark, on a phone and on paper, in var/pictures
	$(PY) -m tests.browser.pictures $(NAMES)

words: env ## bring the Spanish catalogue up to date with the marked texts, and compile it
	$(PY) -m config.catalogue

LOCK := uv pip compile --universal --python-version 3.11 --generate-hashes --no-header --no-emit-index-url

lock: ## renew both files of locked requirements from pyproject.toml (needs uv)
	$(LOCK) --all-extras --upgrade pyproject.toml -o tests/requirements.txt
	$(LOCK) --constraint tests/requirements.txt pyproject.toml -o requirements.txt
