#!/usr/bin/env bash
# Sets everything up and runs every check: style, types, scripts, tests, the page in a real browser.
#
#   bash tests/run.sh            all of it
#   bash tests/run.sh -k link    what pytest is told, after style and types
#
# PYTHON names the interpreter (python3). The environment is .test-venv; with CI set it is made anew.
# RELEASES=newest takes the newest releases that pyproject.toml allows, instead of those in constraints.txt,
# which the checks were last passed with: a release of today must not turn yesterday's checks red.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

# What Python compiles is kept: the tests start some two hundred programs, each of which would compile the page's
# libraries anew, which takes longer than all else such a program does. Some machines are set up to keep nothing.
unset PYTHONDONTWRITEBYTECODE

python=${PYTHON:-python3}
venv=.test-venv
started=$SECONDS

say() { printf '\n== %s (%d s)\n' "$*" "$((SECONDS - started))"; }

# A program from a Debian package, which the tests need: command name, package.
need() {
    local command=$1 package=$2
    command -v "$command" >/dev/null && return
    say "installing $package"
    local root=()
    [ "$(id -u)" = 0 ] || root=(sudo -n)
    if command -v apt-get >/dev/null &&
        "${root[@]}" apt-get update -qq &&
        DEBIAN_FRONTEND=noninteractive "${root[@]}" apt-get install -y -qq --no-install-recommends "$package" >/dev/null
    then
        return
    fi
    # The tests that need it are skipped by name, and said so at the end.
    printf '\n!! %s is not here and could not be installed: what needs it is SKIPPED. Install the package %s.\n' \
        "$command" "$package" >&2
}

# The browser without windows is a package of its own, from the same source, and opens a page with a third less
# work, so it is fetched beside a whole one, too; where it is not offered, the whole.
browser() {
    need chromium-headless-shell chromium-headless-shell 2>/dev/null
    command -v chromium-headless-shell chromium >/dev/null || need chromium chromium
}

# Debian's programs and Python's packages come from two places: side by side.
programs() {
    browser
    need ngspice ngspice
    ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || need initdb postgresql
}
programs &
fetching=$!

[ -z "${CI:-}" ] || rm -rf "$venv"
if [ ! -x "$venv/bin/python" ]; then
    say "making $venv"
    "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' ||
        { printf '!! %s is older than Python 3.11\n' "$python" >&2; exit 1; }
    "$python" -m venv "$venv"
fi
say "installing pvsim and what its page and tests need"
# uv fetches side by side what pip fetches one by one: a quarter of the time. Where it cannot be had, pip does it.
# Python compiles what it imports; compiling all that lies there would take as long as fetching it.
pip=("$venv/bin/python" -m pip install --quiet --disable-pip-version-check --no-compile)
if "${pip[@]}" --constraint tests/constraints.txt uv; then
    fetch=("$venv/bin/uv" pip install --quiet --python "$venv/bin/python")
else
    fetch=("${pip[@]}")
fi
install() { "${fetch[@]}" "$@" --editable '.[page,test]' || "${pip[@]}" "$@" --editable '.[page,test]'; }
if [ "${RELEASES:-known}" = newest ] || ! install --constraint tests/constraints.txt; then
    printf '!! taking the newest releases instead of those in tests/constraints.txt\n' >&2
    install
fi
wait "$fetching"

say "style"
"$venv/bin/ruff" check .

# Types and scripts are looked at while the browser tests wait for their browsers.
say "types and scripts, beside the tests"
types=$(mktemp) scripts=$(mktemp)
trap 'rm -f "$types" "$scripts"' EXIT
"$venv/bin/mypy" >"$types" 2>&1 &
looking=$!
bash tests/static/check.sh >"$scripts" 2>&1 &
reading=$!
workers=$(nproc 2>/dev/null || echo 2)
[ "$workers" -le 4 ] || workers=4
say "tests, $workers at a time"
failed=0
"$venv/bin/python" -m pytest -rs -n "$workers" --dist worksteal "$@" || failed=$?
wait "$looking" || { failed=1; say "types"; }
cat "$types"
wait "$reading" || { failed=1; say "scripts"; }
cat "$scripts"
exit "$failed"
