"""Whether a window can be opened, and which system package is wanted if not."""

from __future__ import annotations

import ctypes
import os
import re
import sys

from harness_studio.base.errors import HarnessError

PACKAGES = {
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb.so.1": "libxcb1",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-cursor.so.0": "libxcb-cursor0",
}
"""Library file that Qt loads → Debian and Ubuntu package that holds it."""

ALWAYS = ("libGL.so.1", "libEGL.so.1", "libglib-2.0.so.0", "libdbus-1.so.3", "libfontconfig.so.1")
ON_X11 = (
    "libxkbcommon-x11.so.0", "libxcb-icccm.so.4", "libxcb-image.so.0", "libxcb-keysyms.so.1",
    "libxcb-render-util.so.0", "libxcb-xkb.so.1", "libxcb-shape.so.0", "libxcb-cursor.so.0",
)  # fmt: skip

_SONAME = re.compile(r"\b(lib[\w+.-]+?\.so(?:\.\d+)*)")


class NoWindow(HarnessError):
    """A window should open and cannot, for want of something on this machine."""


def why_no_screen() -> str | None:
    """Return why there is no screen to open a window on, or None if there is one.

    Asks the X server itself, since Qt ends the program if it cannot reach it. Other systems always have a screen, and
    a QT_QPA_PLATFORM other than X11 or Wayland is taken at its word.
    """
    platform = os.environ.get("QT_QPA_PLATFORM", "").split(":")[0].split(";")[0]
    if sys.platform in ("win32", "darwin") or (platform and platform not in ("xcb", "wayland")):
        return None
    display = os.environ.get("DISPLAY")
    if os.environ.get("WAYLAND_DISPLAY") and platform != "xcb":
        return None
    if not display:
        return "neither DISPLAY nor WAYLAND_DISPLAY is set"
    if _answers(display):
        return None
    return f"the screen that DISPLAY names, {display}, does not answer"


def _answers(display: str) -> bool:
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return True  # a library is missing, which is another message
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connect.argtypes = [ctypes.c_char_p, ctypes.c_void_p]
    xcb.xcb_connection_has_error.argtypes = [ctypes.c_void_p]
    xcb.xcb_disconnect.argtypes = [ctypes.c_void_p]
    connection = xcb.xcb_connect(os.fsencode(display), None)
    try:
        return not xcb.xcb_connection_has_error(connection)
    finally:
        xcb.xcb_disconnect(connection)


def check_libraries() -> None:
    """Check that the system libraries that Qt loads are there: without one of X11's Qt would end the program.

    Raises
    ------
    NoWindow
        With every one that is missing, and the packages to install.
    """
    if sys.platform != "linux":
        return
    on_x11 = not os.environ.get("QT_QPA_PLATFORM") and not os.environ.get("WAYLAND_DISPLAY")
    wanted = ALWAYS + (ON_X11 if on_x11 or os.environ.get("QT_QPA_PLATFORM") == "xcb" else ())
    missing = [name for name in wanted if not _loads(name)]
    if missing:
        raise NoWindow(wanted_packages(missing))


def _loads(name: str) -> bool:
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


def explained(error: ImportError) -> NoWindow:
    """Return what an import of Qt that failed means for the user."""
    found = _SONAME.search(str(error))
    if found:
        return NoWindow(wanted_packages([found[1]]))
    return NoWindow(
        f"no window can be opened: {error}; the Python packages of this installation are incomplete, install it again"
    )


def wanted_packages(missing: list[str]) -> str:
    """Return one line that says which libraries are missing and how to install them."""
    packages = sorted({PACKAGES[name] for name in missing if name in PACKAGES})
    install = f"on Debian and Ubuntu: sudo apt-get install {' '.join(packages)}" if packages else ""
    unknown = [name for name in missing if name not in PACKAGES]
    if unknown:
        install += ("; " if install else "") + f"install the package that holds {', '.join(unknown)}"
    libraries = "library is" if len(missing) == 1 else "libraries are"
    return f"no window can be opened, the system {libraries} missing: {', '.join(missing)}; {install}"
