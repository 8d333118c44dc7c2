# Sashdesk: the workflow, one target a job. `make help` lists them.
PY := .venv/bin/python
PORT ?= 8000

.DEFAULT_GOAL := help
.PHONY: help env demo serve test lint bench lock

help: ## list the targets
	@grep -E '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 10

env: .venv/installed ## make .venv with the locked requirements

.venv/installed: requirements.txt
	python3 -m venv .venv
	$(PY) -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.txt
	@touch $@

demo: env ## load the demo scenario, run the main job once, print it, serve on localhost
	$(PY) manage.py demo
	@echo; echo "Open http://127.0.0.1:$(PORT)/ (Ctrl-C ends it). Mail is written to var/mail."; echo
	@$(MAKE) --no-print-directory serve

serve: env ## serve the present database on localhost, with the worker that sends its mail
	$(PY) manage.py migrate --verbosity 0
	@$(PY) manage.py work & worker=$$!; trap "kill $$worker 2>/dev/null" EXIT INT TERM; \
	.venv/bin/gunicorn config.wsgi --bind 127.0.0.1:$(PORT) --threads 4 --log-level warning

test: env lint ## every check: style, layering, tests on SQLite, database tests on PostgreSQL
	$(PY) -m pytest
	@if [ -n "$$CI" ] || ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1; then \
	  .ci/with_postgres $(PY) -m pytest -m django_db --ignore=tests/browser; \
	else echo "PostgreSQL is not installed, so its round was left out: apt-get install postgresql"; fi

lint: env ## style, layering, types of what decides, unsafe calls, missing migrations
	$(PY) -m ruff check .
	$(PY) -m ruff format --check .
	.venv/bin/lint-imports
	.venv/bin/bandit --quiet --recursive --configfile pyproject.toml config sizing quotes ordering fixtures manage.py
	.venv/bin/mypy --no-error-summary
	$(PY) manage.py makemigrations --check --dry-run

bench: env ## speed as ratios against a floor measured in the same run
	$(PY) -m pytest tests/bench --run-bench -q -s

lock: ## renew requirements.txt from pyproject.toml (needs uv)
	uv pip compile --universal --python-version 3.11 --generate-hashes --all-extras --no-header --no-emit-index-url --upgrade pyproject.toml -o requirements.txt
