#!/usr/bin/env bash
# Comes in: a machine with Python 3.11 or newer. Goes out: .venv/ with the program, every extra and the test tools.
# Run again, it reuses what is there; PYTHON=/path/to/python chooses another Python for a new environment.
#
# Written for a bare Debian (bash, coreutils, nothing else), and to say what to type everywhere else.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

venv=.venv
ready=$venv/.ready          # holds the hash of pyproject.toml; written last, so a half-made environment is never believed
pango_packages=(libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0)
apt_updated=no

say() { printf '%s\n' "$*" >&2; }

hash_of_project() {         # with Python, since sha256sum is not everywhere
    "$1" -c 'import hashlib, pathlib; print(hashlib.sha256(pathlib.Path("pyproject.toml").read_bytes()).hexdigest())'
}

is_python() {               # a version manager's stand-in may be on the PATH and still answer "not found": run it
    "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1 </dev/null
}

can_apt() { [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; }

apt_install() {
    export DEBIAN_FRONTEND=noninteractive
    if [ "$apt_updated" = no ]; then
        say "setup: apt-get update"
        apt-get update -qq </dev/null >&2 || say "setup: apt-get update failed, trying with the lists that are there"
        apt_updated=yes
    fi
    say "setup: apt-get install --no-install-recommends $*"
    apt-get install -y -qq --no-install-recommends "$@" </dev/null >&2
}

how_to_install_python() {
    say "setup: $1"
    say "  Debian, Ubuntu:  sudo apt-get update && sudo apt-get install -y --no-install-recommends python3 python3-venv"
    say "  Fedora:          sudo dnf install -y python3"
    say "  macOS:           brew install python"
    say "  Windows:         winget install Python.Python.3.13"
}

how_to_install_pango() {
    say "setup: the PDF engine cannot load its libraries (Pango and HarfBuzz). Install them, then run this again:"
    say "  Debian, Ubuntu:  sudo apt-get update && sudo apt-get install -y --no-install-recommends ${pango_packages[*]}"
    say "  Fedora:          sudo dnf install -y pango harfbuzz"
    say "  macOS:           brew install pango     (if still not found: export DYLD_FALLBACK_LIBRARY_PATH=\"\$(brew --prefix)/lib\")"
    say "  Windows:         install MSYS2, then in its UCRT64 window: pacman -S mingw-w64-ucrt-x86_64-pango"
}

candidates() {              # newest first
    [ -z "${PYTHON:-}" ] || { printf '%s\n' "$PYTHON"; return; }
    local version
    for version in 3.14 3.13 3.12 3.11; do printf 'python%s\n' "$version"; done
    printf 'python3\npython\n'
}

make_environment() {        # $1 = a Python: true when .venv/ has a working pip afterwards
    rm -rf "$venv"
    "$1" -m venv "$venv" >/dev/null 2>&1 </dev/null && pip_works
}

pip_works() {               # a failed venv leaves a Python without pip behind
    [ -x "$venv/bin/python" ] && "$venv/bin/python" -m pip --version >/dev/null 2>&1 </dev/null
}

new_environment() {
    local python found="" minor
    while IFS= read -r python; do
        is_python "$python" || continue
        found=$python
        if ! "$python" -c 'import ensurepip' >/dev/null 2>&1 </dev/null; then
            # Debian keeps this part of Python in a package of its own, one for each version.
            minor=$("$python" -c 'import sys; print("python%d.%d" % sys.version_info[:2])')
            if can_apt; then apt_install "$minor-venv" || continue; else continue; fi
        fi
        say "setup: making $venv with $("$python" -c 'import sys; print(sys.executable, sys.version.split()[0])')"
        if make_environment "$python"; then return 0; fi
    done < <(candidates)
    if [ -z "$found" ]; then
        how_to_install_python "no Python 3.11 or newer was found."
    else
        how_to_install_python "$found is there, but cannot make an environment (its venv or ensurepip part is missing)."
    fi
    return 1
}

pdf_engine_works() {        # harfbuzz-subset is asked for too: without it fonts are embedded the slow, deprecated way
    "$venv/bin/python" -W ignore -c '
import sys
from weasyprint.text import ffi
sys.exit(ffi.harfbuzz_subset is None)' >/dev/null 2>&1 </dev/null
}

if [ -f "$ready" ] && [ -x "$venv/bin/python" ] \
    && [ "$(cat "$ready")" = "$(hash_of_project "$venv/bin/python" 2>/dev/null)" ]; then
    exit 0
fi

if command -v flock >/dev/null 2>&1; then     # two runs at once would write over each other
    exec 9>"$venv.lock"
    flock 9
fi

rm -f "$ready"
pip_works || new_environment
say "setup: installing the program, its extras and the test tools"
"$venv/bin/python" -m pip install --quiet --quiet --disable-pip-version-check -e '.[ja,heic,dev]' </dev/null >&2
if ! pdf_engine_works; then
    if can_apt; then apt_install "${pango_packages[@]}" || true; fi
    if ! pdf_engine_works; then how_to_install_pango; exit 1; fi
fi
hash_of_project "$venv/bin/python" > "$ready"
say "setup: ready"
