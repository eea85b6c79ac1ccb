#!/bin/sh
# Sets everything up on a fresh machine, then runs Hoofbook (default: its demo) or, with --tests, the tests.
set -eu
cd "$(dirname "$0")/.."
need=""
has() { (ldconfig -p 2>/dev/null || /sbin/ldconfig -p) | grep -q "$1"; }
python3 -c 'import ensurepip, sys; assert sys.version_info >= (3, 11)' 2>/dev/null || need="$need python3-venv"
for pair in libGL.so.1:libgl1 libEGL.so.1:libegl1 libgthread-2.0.so.0:libglib2.0-0 libxkbcommon.so.0:libxkbcommon0 \
  libdbus-1.so.3:libdbus-1-3 libfontconfig.so.1:libfontconfig1 libxcb-cursor.so.0:libxcb-cursor0 \
  libxcb-icccm.so.4:libxcb-icccm4 libxcb-keysyms.so.1:libxcb-keysyms1 libxcb-shape.so.0:libxcb-shape0 \
  libxkbcommon-x11.so.0:libxkbcommon-x11-0; do
  has "${pair%%:*}" || need="$need ${pair##*:}"
done
if [ "${1:-}" = --tests ]; then # the tests look into papers with tools that are not ours
  for pair in qpdf:qpdf pdffonts:poppler-utils exiftool:libimage-exiftool-perl dciodvfy:dicom3tools \
    dcmdump:dcmtk; do
    command -v "${pair%%:*}" >/dev/null 2>&1 || need="$need ${pair##*:}"
  done
fi
if [ -n "$need" ] && command -v apt-get >/dev/null 2>&1; then
  echo "Installing system packages:$need" >&2
  root=sudo
  [ "$(id -u)" = 0 ] && root=
  { $root apt-get update -qq && $root apt-get install -y -qq --no-install-recommends $need >/dev/null; } || {
    echo "Please run: sudo apt-get install$need" >&2
    exit 2
  }
fi
want=.
[ "${1:-}" = --tests ] && want=".[test]"
[ -x .venv/bin/python ] || python3 -m venv .venv
# the stamp holds what was installed for which pyproject.toml, so that a second start takes no time
stamp=".venv/installed-for"
now="$want $(cksum <pyproject.toml)"
if [ "$(cat "$stamp" 2>/dev/null || true)" != "$now" ]; then
  echo "Installing Python packages into .venv (about 250 MB the first time: one or two minutes) ..." >&2
  .venv/bin/pip install -q --disable-pip-version-check -e "$want"
  echo "$now" >"$stamp"
fi
if [ "$want" != . ]; then
  shift
  # files of tests side by side, on four processors at most: each worker makes a sample book of its own
  exec .venv/bin/python -m pytest -n auto --maxprocesses 4 --dist loadfile "$@"
fi
exec .venv/bin/hoofbook "${@:-demo}"
