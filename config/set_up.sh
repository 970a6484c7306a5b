#!/usr/bin/env bash
# Makes .venv and installs one requirements file into it, with the system libraries it needs.
# Usage: config/set_up.sh requirements.txt
set -euo pipefail
cd "$(dirname "$0")/.."

requirements=${1:?name a requirements file}
# Pango lays out the text of the papers; the subsetter makes them a quarter faster.
libraries="libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"

say() { echo "set-up: $*"; }

fail() {
    say "$*" >&2
    exit 1
}

# Runs a command without its output, which is printed when it fails.
quietly() {
    local log
    log=$(mktemp)
    if "$@" >"$log" 2>&1; then
        rm -f "$log"
    else
        cat "$log" >&2
        rm -f "$log"
        return 1
    fi
}

suits() {
    "$@" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info[:2] < (3, 14))' 2>/dev/null
}

# A command of that name may exist and still not run, so each is tried.
find_python() {
    local candidate
    for candidate in python3 python3.13 python3.12 python3.11; do
        if suits "$candidate"; then
            echo "$candidate"
            return
        fi
    done
    fail "needs Python 3.11, 3.12 or 3.13, and found none"
}

# Debian and Ubuntu only, and only where no password is asked; otherwise names the command.
install_system_packages() {
    local become_root=()
    if ! command -v apt-get >/dev/null; then
        case $(uname -s) in
            Darwin) fail "needs Pango; this installs it: brew install pango" ;;
            *) fail "needs the library Pango (1.44 or later): install it with your system's packages" ;;
        esac
    fi
    if [ "$(id -u)" -ne 0 ]; then
        if ! sudo -n true 2>/dev/null; then
            fail "may not install system packages; this does: sudo apt-get install -y $*"
        fi
        become_root=(sudo -n)
    fi
    say "installing $*"
    quietly ${become_root[@]+"${become_root[@]}"} apt-get update -qq
    quietly ${become_root[@]+"${become_root[@]}"} env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y -qq --no-install-recommends "$@"
}

make_environment() {
    local python version
    if suits .venv/bin/python && .venv/bin/python -m pip --version >/dev/null 2>&1; then
        return
    fi
    python=$(find_python)
    version=$("$python" -c 'import sys; print("%d.%d" % sys.version_info[:2])')
    # Debian leaves ensurepip out of its Python.
    if ! "$python" -c 'import ensurepip' 2>/dev/null; then
        install_system_packages "python$version-venv"
    fi
    say "making .venv with Python $version"
    quietly "$python" -m venv --clear .venv
}

make_environment
say "installing $requirements"
quietly .venv/bin/python -m pip install --disable-pip-version-check --require-hashes \
    --requirement "$requirements"
if ! .venv/bin/python -c 'import weasyprint' >/dev/null 2>&1; then
    # shellcheck disable=SC2086  # one word for each package
    install_system_packages $libraries
    quietly .venv/bin/python -c 'import weasyprint'
fi
say "ready"
