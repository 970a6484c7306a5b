# What a newcomer runs. Each target sets up what it needs; a second run only does its own work.
PYTHON := .venv/bin/python
DEMO_DATA := $(CURDIR)/var/demo
ADDRESS := 127.0.0.1:8000

.PHONY: help demo serve test lint

help:
	@echo "make demo    play the invented job from survey to certificate"
	@echo "make serve   show the demo's records at http://$(ADDRESS)/"
	@echo "make test    run the tests (ARGS='tests/jobs -k gate' narrows them)"
	@echo "make lint    run the checks that need no test: style, types, floors, migrations"

demo: .venv/ready
	@$(PYTHON) -m fixtures_demo.play

# One process writes to SQLite; threads are enough for it and share its cache.
serve: export SILLWRIGHT_DATA_DIR = $(DEMO_DATA)
serve: .venv/ready | $(DEMO_DATA)
	@$(PYTHON) manage.py migrate --verbosity 0
	@echo "Sillwright is at http://$(ADDRESS)/ (Ctrl-C ends it)."
	@echo "The names and passwords to sign in with are the last lines of 'make demo'."
	@$(PYTHON) -m gunicorn config.wsgi --bind $(ADDRESS) --workers 1 --threads 4 \
		--no-control-socket

$(DEMO_DATA): | .venv/ready
	@env -u SILLWRIGHT_DATA_DIR $(PYTHON) -m fixtures_demo.play

test: .venv/ready-dev
	@$(PYTHON) -m pytest --numprocesses auto $(ARGS)

lint: .venv/ready-dev
	$(PYTHON) -m ruff check .
	$(PYTHON) -m ruff format --check .
	$(PYTHON) -m mypy
	.venv/bin/lint-imports
	$(PYTHON) manage.py makemigrations --check --dry-run
	BEHIND_TLS=true $(PYTHON) manage.py check --deploy --fail-level WARNING

.venv/ready: requirements.txt config/set_up.sh
	@config/set_up.sh requirements.txt
	@touch $@

.venv/ready-dev: requirements-dev.txt config/set_up.sh
	@config/set_up.sh requirements-dev.txt
	@touch $@ .venv/ready
