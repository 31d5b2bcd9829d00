#!/bin/sh
# Install the Debian packages that are missing: run as root or with password-less sudo, else print the line to type.
# Usage: debian_packages.sh run|test     (run: what gudgeon itself needs; test: what the tests need beside that)
set -eu
purpose=${1:-run}
missing=""
add() { missing="$missing $1"; }

python3 -c 'import ensurepip, venv' 2>/dev/null || add python3-venv
{ ldconfig -p 2>/dev/null || /sbin/ldconfig -p; } | grep -q 'libportaudio\.so\.2' || add libportaudio2
if [ "$purpose" = test ]; then
  for program in flite espeak-ng sox chromium pulseaudio; do command -v "$program" >/dev/null 2>&1 || add "$program"; done
  ls /usr/share/games/fortunes/*.dat >/dev/null 2>&1 || { add fortunes; add fortunes-min; }
  command -v pdftotext >/dev/null 2>&1 || add poppler-utils
  command -v paplay >/dev/null 2>&1 || add pulseaudio-utils
  ls /usr/lib/*/alsa-lib/libasound_module_pcm_pulse.so >/dev/null 2>&1 || add libasound2-plugins
fi
[ -n "$missing" ] || exit 0

command -v apt-get >/dev/null 2>&1 || { echo "Not a Debian machine: please install what corresponds to:$missing"; exit 0; }
if [ "$(id -u)" = 0 ]; then as_root=""
elif sudo -n true 2>/dev/null; then as_root="sudo"
else
  echo "These Debian packages are missing. Type this line, then call make again:"
  echo "    sudo apt-get install -y$missing"
  case "$missing" in *python3-venv*) exit 1 ;; esac
  exit 0
fi
echo "Installing Debian packages:$missing"
$as_root apt-get update -qq || echo "apt-get update failed; trying with the package lists at hand."
# shellcheck disable=SC2086
DEBIAN_FRONTEND=noninteractive $as_root apt-get install -y -qq --no-install-recommends $missing >/dev/null
