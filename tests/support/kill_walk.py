"""Kills a program that edits and saves, at any moment, and looks at what is left.

    .venv/bin/python -m tests.support.kill_walk --runs 200

Each run forks a child that opens a project in a session with a recovery copy, as the window does, edits it in bursts
and saves now and then. It writes down each edit and each save before and after it is made. The parent kills it with
SIGKILL. Afterwards must hold:

* the file, and the version before it, are whole, and the file is the last one saved or the one being saved;
* what the file lacks stands in the recovery copy, but for the edits of the last seconds. While the disk has not yet
  taken what was given to it nobody can promise more: age counts up to where a save or a copy began that was not done.
"""

from __future__ import annotations

import argparse
import itertools
import math
import os
import random
import signal
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from harness_studio.model.edits import Put, Together, change
from harness_studio.model.entities import Splice
from harness_studio.session.recovery import WITHIN_MS, Recovery, bring_back
from harness_studio.session.session import Session
from harness_studio.storage import recovery as copies
from harness_studio.storage.lock import Holder, lock_path, take
from harness_studio.storage.project_file import read_project

WITHIN_S = 3.0
"""How old an edit may be at most that no copy holds: the promise."""
DONE = {"saving": "saved", "copying": "copied"}
"""What the child writes down when it gives something to the disk, and when that is done."""
BALLAST = "".join(f"  Z{n}: {{title: Zone {n}, ambient_c: 30}}\n" for n in range(400))
"""Makes a save last long enough to be hit."""
START = f"harness_studio: 1\ntitle: walk 0\nzones:\n{BALLAST}"


class Threads:
    """A scheduler of plain threads: later things happen in the child's own loop, long ones beside it."""

    def __init__(self, told: Callable[[str], None]) -> None:
        self._told = told
        self._due: list[tuple[float, int, Callable[[], None]]] = []
        self._arrived: list[Callable[[], None]] = []
        self._number = itertools.count()

    def later(self, ms: int, do: Callable[[], None]) -> Callable[[], None]:
        entry = (time.monotonic() + ms / 1000, next(self._number), do)
        self._due.append(entry)
        return lambda: self._due.remove(entry) if entry in self._due else None

    def run(self, work: Callable[[], Any], done: Callable[[Any], None]) -> None:
        def job() -> None:
            self._told("copying")
            result = work()
            self._told("copied")
            self._arrived.append(lambda: done(result))

        threading.Thread(target=job, daemon=True).start()

    def turn(self) -> None:
        """Do what is due."""
        while self._arrived:
            self._arrived.pop(0)()
        for entry in sorted(self._due):
            if entry[0] <= time.monotonic() and entry in self._due:
                self._due.remove(entry)
                entry[2]()


def child(file: Path, diary: Path, seed: int, within_ms: int) -> None:
    """Edit and save until killed."""
    rng = random.Random(seed)
    saves = rng.choice([0.0, 0.02, 0.3])  # without saves all of the work is the copy's
    session = Session.open(file, _Still())
    session.project.hold()
    problems: list[str] = []
    with diary.open("a", encoding="utf-8", buffering=1) as log:
        made = 0

        def tell(what: str) -> None:
            log.write(f"{what} {made} {time.time()}\n")

        scheduler = Threads(tell)
        Recovery(session, scheduler, problems.append, within_ms=within_ms)
        for number in itertools.count(1):
            if rng.random() < saves:
                tell("saving")
                session.save()
                tell("saved")
            words = f"walk {number}"
            edits = (
                Put("splices", Splice(f"SP{number}")),
                *change(session.harness, "settings", "", title=words).edits,
            )
            session.apply(Together(edits, words))
            made = number
            tell("edit")
            assert not problems, problems
            end = time.monotonic() + rng.choice([0.0, 0.0, 0.01, 0.1])
            while True:
                scheduler.turn()
                if time.monotonic() >= end:
                    break
                time.sleep(0.002)


class _Still:
    """A scheduler that never comes to it: no solving here."""

    def later(self, ms: int, do: Callable[[], None]) -> Callable[[], None]:
        return lambda: None

    def run(self, work: Callable[[], Any], done: Callable[[Any], None]) -> None:
        return


@dataclass(frozen=True)
class Outcome:
    """What one kill left. `problems` is empty if all is well."""

    edits: int
    in_file: int
    recovered: int
    lost_s: float
    while_saving: bool
    problems: tuple[str, ...]


def one(folder: Path, seed: int, within_ms: int, longest_s: float) -> Outcome:
    """Start a child, kill it, judge what is left. Recovery copies go where XDG_STATE_HOME says."""
    return several(folder, [seed], within_ms, longest_s, WITHIN_S)[0]


def several(
    folder: Path, seeds: Sequence[int], within_ms: int, longest_s: float, most_lost_s: float
) -> list[Outcome]:
    """Start children beside each other, kill each at its moment, and judge what is left."""
    start = time.monotonic()
    children = [(seed, *_started(folder, seed, within_ms)) for seed in seeds]
    moments = {seed: start + random.Random(~seed).uniform(0.05, longest_s) for seed in seeds}
    outcomes = []
    for seed, pid, file, diary in sorted(children, key=lambda one: moments[one[0]]):
        time.sleep(max(0.0, moments[seed] - time.monotonic()))
        killed = time.time()
        os.kill(pid, signal.SIGKILL)
        _, status = os.waitpid(pid, 0)
        problems = [] if os.WIFSIGNALED(status) else ["the child ended by itself"]
        outcomes.append(judge(file, diary, killed, most_lost_s, problems))
    return outcomes


def _started(folder: Path, seed: int, within_ms: int) -> tuple[int, Path, Path]:
    """Start a child; return its process, its project and its diary."""
    file, diary = folder / f"walk{seed}.yaml", folder / f"walk{seed}.txt"
    file.write_text(START, encoding="utf-8")
    diary.write_text("", encoding="utf-8")
    pid = os.fork()
    if pid == 0:
        try:
            child(file, diary, seed, within_ms)
        except BaseException:
            import traceback

            traceback.print_exc()
        finally:
            os._exit(1)
    return pid, file, diary


def judge(file: Path, diary: Path, killed: float, most_lost_s: float, problems: list[str]) -> Outcome:
    """Compare what is on disk with what the child wrote down."""
    saving, saved, times = 0, 0, {0: 0.0}
    under_way: dict[str, float] = {}
    for line in diary.read_text(encoding="utf-8").split("\n")[:-1]:
        what, number, at = line.split()
        if what == "edit":
            times[int(number)] = float(at)
        elif what in DONE:
            under_way[what] = float(at)
        else:
            under_way.pop(next(begun for begun, done in DONE.items() if done == what), None)
        saving = int(number) if what == "saving" else saving
        saved = int(number) if what == "saved" else saved
    edits = max(times)
    in_file = _number(file, problems)
    if in_file not in (saved, saving):
        problems.append(f"the file holds edit {in_file}; {saved} was saved, {saving} was being saved")
    before = file.with_name(file.name + ".bak")
    if before.exists():
        _number(before, problems)
    recovered = in_file
    for copy in copies.abandoned():
        if copy.about.file == str(file.resolve()):
            harness = bring_back(copy).harness
            number = int(harness.settings.title.split()[1])
            if list(harness.splices) != [f"SP{n}" for n in range(1, number + 1)]:
                problems.append(f"the copy of edit {number} does not hold the edits before it")
            recovered = max(recovered, number)
            copies.discard(copy)
    # An edit that the child made and was killed before it wrote down may be in the copy.
    missing = [at for number, at in times.items() if number > recovered]
    lost_s = max(0.0, min(killed, *under_way.values(), math.inf) - min(missing)) if missing else 0.0
    if lost_s > most_lost_s:
        problems.append(f"an edit of {lost_s:.1f} s before is lost")
    lock = take(lock_path(file))
    if isinstance(lock, Holder):
        problems.append(f"the file is still held by {lock}")
    else:
        lock.release()
    return Outcome(edits, in_file, recovered, lost_s, saving != saved, tuple(problems))


def _number(file: Path, problems: list[str]) -> int:
    try:
        harness = read_project(file).harness
    except Exception as error:
        problems.append(f"{file.name}: {error}")
        return -1
    number = int(harness.settings.title.split()[1])
    if list(harness.splices) != [f"SP{n}" for n in range(1, number + 1)]:
        problems.append(f"{file.name} does not hold edits 1 to {number}")
    return number


def main() -> int:
    """Walk, and print what was found."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--runs", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--longest-s", type=float, default=4.0)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        os.environ["XDG_STATE_HOME"] = name
        outcomes = []
        for run in range(given.runs):
            outcome = one(Path(name), given.seed + run, WITHIN_MS, given.longest_s)
            outcomes.append(outcome)
            for problem in outcome.problems:
                print(f"run {given.seed + run}: {problem}")
    oldest = max(o.lost_s for o in outcomes)
    ill = sum(bool(o.problems) for o in outcomes)
    kinds = Counter("while saving" if o.while_saving else "between saves" for o in outcomes)
    print(
        f"{len(outcomes)} kills ({', '.join(f'{n} {kind}' for kind, n in sorted(kinds.items()))}), {ill} with"
        f" a problem; {sum(o.edits for o in outcomes)} edits, the oldest one lost {oldest:.2f} s before"
    )
    return 1 if ill else 0


if __name__ == "__main__":
    sys.exit(main())
