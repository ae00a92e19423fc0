# Two commands matter: `make run` and `make test`. Both may be repeated at no cost.
# `make help` lists the others. Nothing outside this folder is touched, except that what
# Debian has to provide (Chromium for the tests, venv) is installed with apt, announced first.

PYTHON ?= python3
PORT ?= 8642
LAPWRIGHT := .venv/bin/lapwright
EXAMPLES := src/lapwright/examples
export PYTHON

.PHONY: help run test check bench docs lock clean

help:  ## list the commands
	@sed -n 's/^\([a-z]*\):.*## /  make \1\t/p' $(MAKEFILE_LIST)

run: .venv/requirements.laid  ## an invented morning and week from start to finish, then the page (PORT=8642)
	@mkdir -p out
	$(LAPWRIGHT) power --generator-kw 10 --ambient-f 72 --cord "10 AWG 100 ft"
	$(LAPWRIGHT) window $(EXAMPLES)/morning.csv --chart out/morning.svg
	$(LAPWRIGHT) next $(EXAMPLES)/morning.csv
	$(LAPWRIGHT) day $(EXAMPLES)/forecast.csv --at 39.7,-105.2 --welds $(EXAMPLES)/morning.csv \
	  --chart out/day.svg
	$(LAPWRIGHT) import $(EXAMPLES)/week.zip --store out/lapwright.db
	$(LAPWRIGHT) trace A-S003 --store out/lapwright.db
	$(LAPWRIGHT) learn --invented --store out/lapwright.db
	$(LAPWRIGHT) closeout --store out/lapwright.db --out out/closeout.pdf --replace
	$(LAPWRIGHT) serve --port $(PORT) --store out/lapwright.db

test: .venv/requirements-test.laid  ## everything that can be checked, with a real browser
	@scripts/need 'chromium fonts-liberation' \
	  sh -c 'command -v chromium || command -v chromium-browser || command -v google-chrome'
	@scripts/need postgresql sh -c 'command -v initdb || ls /usr/lib/postgresql/*/bin/initdb'
	scripts/check
	scripts/test

check: .venv/requirements-test.laid  ## style, types and floors only
	scripts/check

bench: .venv/requirements-bench.laid  ## how well and how fast, against known sites (minutes)
	.venv/bin/python bench/speed.py
	.venv/bin/python bench/compare.py --sites 300 --certificates \
	  --methods lapwright "ladder strict" "ladder lenient" questplus

docs: .venv/requirements-test.laid  ## redraw the pictures, run every command in the docs
	scripts/docs

lock:  ## renew the lock files (maintainers; needs uv)
	scripts/lock

clean:  ## forget all that was made here
	rm -rf .venv out build dist .coverage .hypothesis .import_linter_cache
	rm -rf .mypy_cache .pytest_cache .ruff_cache
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

# Each set of packages leaves a stamp; it is laid again only when its lock file changes.
.venv/%.laid: %.txt pyproject.toml scripts/venv
	@scripts/venv $<
	@touch $@
