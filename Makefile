# What a newcomer runs. Each target sets up what it needs; a second run only does its own work.
PYTHON := .venv/bin/python
# An environment as in production, for the checks of one; it starts nothing.
PRODUCTION := BEHIND_TLS=true PUBLIC_ADDRESS=https://records.example.com \
	ALLOWED_HOSTS=records.example.com EMAIL_URL=smtp://mail.example.com:25 \
	SECRET_KEY=of-these-checks-only-and-never-of-a-service-that-somebody-reaches

.PHONY: help demo serve test lint verifier lint-style lint-types lint-floors lint-service

help:
	@echo "make demo    play the invented job from survey to certificate"
	@echo "make serve   show the demo's records at http://127.0.0.1:8000/"
	@echo "make test    run the tests (ARGS='tests/jobs -k gate' narrows them)"
	@echo "make verifier    make one file that verifies papers without the service"
	@echo "make lint    run the checks that need no test: style, types, floors, migrations"

demo: .venv/ready
	@$(PYTHON) -m fixtures_demo.play

serve: .venv/ready
	@$(PYTHON) -m fixtures_demo.serve

# A run starts a hundred processes: what one has compiled, the others find.
test: .venv/ready-dev
	@PYTHONDONTWRITEBYTECODE= $(PYTHON) -m pytest --numprocesses auto --dist loadfile --no-loadscope-reorder $(ARGS)

# `make -j2 lint` runs them side by side.
lint: lint-types lint-style lint-floors lint-service

lint-types: .venv/ready-dev
	$(PYTHON) -m mypy

lint-style: .venv/ready-dev
	$(PYTHON) -m ruff check .
	$(PYTHON) -m ruff format --check .

lint-floors: .venv/ready-dev
	.venv/bin/lint-imports

lint-service: .venv/ready-dev
	$(PYTHON) manage.py makemigrations --check --dry-run
	$(PRODUCTION) $(PYTHON) manage.py check --deploy --fail-level WARNING

verifier: .venv/ready
	@$(PYTHON) -m reports.verification.build verify_paper.pyz

.venv/ready: requirements.txt config/set_up.sh
	@config/set_up.sh requirements.txt
	@touch $@

.venv/ready-dev: requirements-dev.txt config/set_up.sh
	@config/set_up.sh requirements-dev.txt
	@touch $@ .venv/ready
