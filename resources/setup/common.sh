# Shared by run, test and .ci/run: what the machine lacks is installed where the rights are there, and named in one
# line where they are not. Meant to be sourced by bash from the top of a checkout.
set -eu

say() { printf '%s\n' "$*" >&2; }
stop() { say "$*"; exit 1; }

top=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
venv=$top/.venv

# File that Qt loads, Debian and Ubuntu package, Fedora package. Without a display Qt still wants the first five.
qt_libraries='
libGL.so.1               libgl1                 libglvnd-glx
libEGL.so.1              libegl1                libglvnd-egl
libglib-2.0.so.0         libglib2.0-0           glib2
libdbus-1.so.3           libdbus-1-3            dbus-libs
libfontconfig.so.1       libfontconfig1         fontconfig
libxkbcommon-x11.so.0    libxkbcommon-x11-0     libxkbcommon-x11
libxcb-icccm.so.4        libxcb-icccm4          xcb-util-wm
libxcb-image.so.0        libxcb-image0          xcb-util-image
libxcb-keysyms.so.1      libxcb-keysyms1        xcb-util-keysyms
libxcb-render-util.so.0  libxcb-render-util0    xcb-util-renderutil
libxcb-xkb.so.1          libxcb-xkb1            libxcb
libxcb-shape.so.0        libxcb-shape0          libxcb
libxcb-cursor.so.0       libxcb-cursor0         xcb-util-cursor
'

# What the tests also use: a screen to open windows on, and a circuit simulator to compare with.
# Each line: how its presence is seen (a command or a library), Debian and Ubuntu package, Fedora package.
test_tools='
Xvfb                     xvfb                   xorg-x11-server-Xvfb
ngspice                  ngspice                ngspice
libngspice.so.0          libngspice0            libngspice
'

# present NAME: true if NAME, a command or a library file, is on this machine.
present() {
  case $1 in
    *.so.*) PATH="$PATH:/usr/sbin:/sbin" ldconfig -p 2>/dev/null | grep -qF "$1 " ;;
    *) command -v "$1" >/dev/null 2>&1 ;;
  esac
}

# missing COLUMN TABLE: the packages of the table's rows that are not present; column 2 is Debian's name, 3 Fedora's.
missing() {
  local name debian fedora
  while read -r name debian fedora; do
    if [ -n "$name" ] && ! present "$name"; then
      if [ "$1" = 2 ]; then echo "$debian"; else echo "$fedora"; fi
    fi
  done <<<"$2" | sort -u | xargs
}

# may_install: true with the rights to install packages; a password is asked for only if somebody can type it.
may_install() {
  [ "$(id -u)" = 0 ] || { command -v sudo >/dev/null 2>&1 && { [ -t 0 ] || sudo -n true 2>/dev/null; }; }
}

# apt_install PACKAGE...: apt-get's own words are shown only if it fails.
apt_install() {
  local words sudo=
  may_install || return 1
  [ "$(id -u)" = 0 ] || sudo=sudo
  say "installing: $*"
  words=$($sudo env DEBIAN_FRONTEND=noninteractive sh -c \
    'apt-get update -qq && apt-get install -y -qq --no-install-recommends "$@"' sh "$@" 2>&1 </dev/null) && return 0
  say "$words"
  return 1
}

# system_packages TABLE: sees to it that the table's rows are present. Prints one line and fails where it cannot.
system_packages() {
  local packages
  [ "$(uname -s)" = Linux ] || return 0 # Qt for macOS brings what it needs
  if command -v apt-get >/dev/null 2>&1; then
    packages=$(missing 2 "$1")
    # shellcheck disable=SC2086 # a list of words
    if [ -z "$packages" ] || apt_install $packages; then return 0; fi
    say "Missing, and it could not be installed from here. Please run: sudo apt-get install $packages"
  else
    packages=$(missing 3 "$1")
    if [ -z "$packages" ]; then return 0; fi
    say "Missing. Please install it with your system's tool, on Fedora: sudo dnf install $packages"
  fi
  return 1
}

# find_python: prints a Python that is new enough and can make a virtual environment.
find_python() {
  local candidate
  for candidate in python3 python3.13 python3.12 python3.11; do
    if command -v "$candidate" >/dev/null 2>&1 &&
      "$candidate" -c 'import sys; sys.exit(sys.version_info < (3, 11))'; then
      echo "$candidate"
      return 0
    fi
  done
  stop "Python 3.11 or newer is needed, and $(python3 --version 2>/dev/null || echo no Python 3) is here. Install python3.11 or a newer one."
}

# make_venv: makes .venv with a working pip if there is none; one that is there is never emptied.
make_venv() {
  local python package
  if [ -e "$venv" ]; then
    if "$venv/bin/python" -m pip --version >/dev/null 2>&1 ||
      "$venv/bin/python" -m ensurepip >/dev/null 2>&1; then return 0; fi
    stop "$venv is there but has no working pip. Remove that folder and run this again."
  fi
  python=$(find_python)
  if ! "$python" -c 'import ensurepip, venv' 2>/dev/null; then
    package=$("$python" -c 'import sys; print("python%d.%d-venv" % sys.version_info[:2])')
    if ! { command -v apt-get >/dev/null 2>&1 && apt_install "$package"; }; then
      stop "Python's venv module is missing. Install it, on Debian and Ubuntu: sudo apt-get install $package"
    fi
  fi
  "$python" -m venv "$venv" || stop "No virtual environment could be made in $venv (see above)."
}

# pip_install EXTRA: puts the project (as a link to this checkout) and what it needs into .venv; an empty EXTRA means
# what running needs, [test] what testing needs. Done again only when pyproject.toml changed.
pip_install() {
  local stamp=$venv/harness_studio_installed$1 sum
  sum=$(cksum <"$top/pyproject.toml")
  if [ "$(cat "$stamp" 2>/dev/null)" = "$sum" ]; then return 0; fi
  say "installing the Python packages into .venv (the first time takes a few minutes)"
  # The pip of an older Python cannot build one of the packages that the tests need.
  { "$venv/bin/python" -m pip install --quiet --disable-pip-version-check --upgrade pip &&
    "$venv/bin/python" -m pip install --quiet --editable "$top$1"; } ||
    stop "The Python packages could not be installed (see above). Is the network up?"
  printf '%s\n' "$sum" | tee "$stamp" >"$venv/harness_studio_installed" # testing needs all that running needs
}
