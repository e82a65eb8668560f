"""ngspice as a library in this process, by ctypes: many small runs, and times without the start of a program."""

import ctypes as c
import ctypes.util
from functools import cache
from typing import Any

import pytest

from .spice import Circuit

_SEND = c.CFUNCTYPE(c.c_int, c.c_char_p, c.c_int, c.c_void_p)
_EXIT = c.CFUNCTYPE(c.c_int, c.c_int, c.c_bool, c.c_bool, c.c_int, c.c_void_p)


class _Vector(c.Structure):
    _fields_ = [
        ("name", c.c_char_p),
        ("type", c.c_int),
        ("flags", c.c_short),
        ("real", c.POINTER(c.c_double)),
        ("complex", c.c_void_p),
        ("length", c.c_int),
    ]


class Library:
    """The one simulator that a process can have."""

    def __init__(self, path: str) -> None:
        self._lib: Any = c.CDLL(path)
        self.said: list[str] = []
        # Kept, so that they outlive the call.
        self._hear = _SEND(lambda text, _id, _user: self.said.append(text.decode(errors="replace")) or 0)
        self._progress = _SEND(lambda _text, _id, _user: 0)
        self._leave = _EXIT(lambda _status, _now, _quit, _id, _user: 0)
        self._lib.ngSpice_Init(self._hear, self._progress, self._leave, None, None, None, None)
        self._lib.ngGet_Vec_Info.restype = c.POINTER(_Vector)

    def load(self, circuit: Circuit) -> None:
        """Read a circuit."""
        lines = (c.c_char_p * (len(circuit.lines) + 1))(
            *[line.encode("ascii") for line in circuit.lines], None
        )
        self.said.clear()
        assert self._lib.ngSpice_Circ(lines) == 0, "\n".join(self.said[-20:])

    def command(self, text: str) -> None:
        """Give a command."""
        assert self._lib.ngSpice_Command(text.encode("ascii")) == 0, "\n".join(self.said[-20:])

    def drop(self) -> None:
        """Forget the circuit and its results."""
        self.command("destroy all")
        self.command("remcirc")

    def volts(self, circuit: Circuit) -> dict[str, float]:
        """Return the volts of each node after `op`."""
        found = {"0": 0.0}
        for node in circuit.nodes:
            if node and node != "0":
                vector = self._lib.ngGet_Vec_Info(node.encode("ascii"))
                assert vector, f"no answer for {node}:\n" + "\n".join(self.said[-20:])
                assert vector.contents.real, "ngspice found no operating point"
                found[node] = float(vector.contents.real[0])
        return found

    def run(self, circuit: Circuit) -> dict[str, float]:
        """Load a circuit, find its operating point, and forget it."""
        self.load(circuit)
        try:
            self.command("op")
            return self.volts(circuit)
        finally:
            self.drop()


@cache
def _library() -> Library | None:
    for name in ("libngspice.so.0", ctypes.util.find_library("ngspice")):
        if name:
            try:
                return Library(name)
            except OSError:
                continue
    return None


def library() -> Library:
    """Return the simulator in this process, or skip the test."""
    found = _library()
    if found is None:
        pytest.skip("libngspice is not installed")
    return found
