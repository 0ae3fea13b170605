# Every target sets itself up in .venv first; the stamps inside make a second call quick.

DEMO := scores/lantern-rondo.yaml
BIN := .venv/bin

.PHONY: booklet test lint format bench clean

booklet: .venv/ready
	$(BIN)/engrave build $(DEMO)

test: lint
	.ci/browsers
	$(BIN)/pytest -n auto --dist worksteal

lint: .venv/ready-dev
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy

format: .venv/ready-dev
	$(BIN)/ruff check --fix
	$(BIN)/ruff format

bench: .venv/ready-dev
	$(BIN)/python -m tests.bench

clean:
	rm -rf .venv .mypy_cache .pytest_cache .ruff_cache .hypothesis

.venv/ready: pyproject.toml .ci/set-up
	.ci/set-up
	touch $@

.venv/ready-dev: pyproject.toml .ci/set-up
	.ci/set-up dev
	touch $@ .venv/ready
