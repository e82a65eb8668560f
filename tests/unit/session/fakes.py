"""A clock that is turned by hand, an engine that counts, and a harness small enough to see through."""

from collections.abc import Callable
from typing import Any, TypeVar

from harness_studio.base.errors import AddressError, SolveError
from harness_studio.model.entities import Body, Ground, Mode, Splice, Wire
from harness_studio.model.harness import Harness
from harness_studio.model.values import End
from harness_studio.session.results import Key

T = TypeVar("T")


class Clock:
    """A scheduler whose time passes, and whose work ends, only when the test says so."""

    def __init__(self) -> None:
        self.now_ms = 0
        self._waiting: list[tuple[int, int, Callable[[], None]]] = []
        self._working: list[Callable[[], None]] = []
        self._count = 0

    def later(self, ms: int, do: Callable[[], None]) -> Callable[[], None]:
        self._count += 1
        entry = (self.now_ms + ms, self._count, do)
        self._waiting.append(entry)
        return lambda: self._waiting.remove(entry) if entry in self._waiting else None

    def run(self, work: Callable[[], T], done: Callable[[T], None]) -> None:
        self._working.append(lambda: done(work()))

    @property
    def working(self) -> int:
        return len(self._working)

    def pass_ms(self, ms: int) -> None:
        end = self.now_ms + ms
        while due := sorted(e for e in self._waiting if e[0] <= end):
            self.now_ms = due[0][0]
            self._waiting.remove(due[0])
            due[0][2]()
        self.now_ms = end

    def finish_one(self) -> None:
        self._working.pop(0)()


class CountingEngine:
    """'Solves' to the number of wires and the mode; knows joints that are grounds."""

    def __init__(self) -> None:
        self.solved: list[Key] = []
        self.shared: list[str] = []
        self.fails: Exception | None = None

    def load(self) -> None:
        pass

    def outlook(self, harness: Harness, network: Any, joint: str) -> tuple[Any, ...]:
        return ()

    def read(self, harness: Harness, key: Key, solution: Any) -> tuple[Any, Any]:
        return {}, {}

    def clean(self, harness: Harness, key: Key, solution: Any) -> Any:
        return solution

    def solve(self, harness: Harness, key: Key) -> tuple[Any, Any]:
        self.solved.append(key)
        if self.fails:
            raise self.fails
        return harness, f"{len(harness.wires)} wires, {key.mode}"

    def shares(self, network: Any, solution: Any, joint: str) -> Any:
        self.shared.append(joint)
        if joint not in network.grounds:
            raise AddressError(f"'{joint}' is no joint")
        return f"shares of {joint} with {solution}"


def no_solution() -> SolveError:
    return SolveError("F4: no convergence after 40 iterations", element="F4", iteration=40)


def two_wires() -> Harness:
    """Return two wires from a splice and from the tape to a ground on a body."""
    harness = Harness()
    harness.bodies["shell"] = Body("shell", places_mohm={"bed": 0.5})
    harness.splices["SP1"] = Splice("SP1")
    harness.grounds["GP1"] = Ground("GP1", place="shell.bed", stack=(("W1",),))
    harness.wires["W1"] = Wire("W1", (End("point", "SP1"), End("point", "GP1")))
    harness.wires["W2"] = Wire("W2", (End("unknown"), End("point", "SP1")))
    harness.modes["on"] = Mode("on")
    harness.modes["off"] = Mode("off")
    return harness
