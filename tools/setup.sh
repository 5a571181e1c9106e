#!/usr/bin/env bash
# Makes .venv and installs the locked packages and Baulk itself: with uv where it is found, else with venv and pip.
# What builds Baulk is among the locked packages (Node for the workbench comes as one), so nothing is fetched twice.
set -eu
cd "$(dirname "$0")/.."
say() { echo "Setup: $*" >&2; }
python=${PYTHON:-python3.11}
command -v "$python" >/dev/null 2>&1 || python=python3
"$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "Baulk needs Python 3.11 or later; $python is older. Set PYTHON to a newer one." >&2; exit 1; }
if command -v uv >/dev/null 2>&1; then
    say "1 of 3, making .venv with uv"
    [ -x .venv/bin/python ] || uv venv --quiet --python "$python" .venv
    say "2 of 3, fetching the locked packages; the first time a few minutes, by the speed of the network"
    uv pip install --quiet --python .venv/bin/python -r requirements.txt
    say "3 of 3, building the workbench and installing Baulk; about a minute"
    uv pip install --quiet --python .venv/bin/python --no-deps --no-build-isolation -e .
else
    say "1 of 3, making .venv with venv and pip"
    [ -x .venv/bin/pip ] || { rm -rf .venv; "$python" -m venv .venv || { echo "Python's venv module is missing: on Debian, apt-get install python3-venv" >&2; exit 1; }; }
    say "2 of 3, fetching the locked packages; the first time a few minutes, by the speed of the network"
    .venv/bin/pip install --quiet --disable-pip-version-check -r requirements.txt
    say "3 of 3, building the workbench and installing Baulk; about a minute"
    .venv/bin/pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
fi
say "done. To type baulk as it stands: source .venv/bin/activate; or type .venv/bin/baulk"
