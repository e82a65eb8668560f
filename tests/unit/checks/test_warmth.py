"""Temperatures of wires in sizes that are tried: together what each comes to alone, and each worked out once."""

import numpy as np
import pytest

from harness_studio.checks import warmth
from harness_studio.checks.warmth import Asked, Warmth
from harness_studio.electrics.heat import transient
from harness_studio.electrics.heat.cable import Cable
from harness_studio.electrics.heat.wire import steady_temperature_c

THIN, THICK = Cable(0.5, "TXL"), Cable(25.0, "PVC")


def alone(asked: Asked) -> float:
    cable = asked.cable
    numbers = (cable.resistance.value, cable.alpha_per_k, cable.conductor.value_mm, cable.outer.value_mm)
    one = [np.array([v]) for v in (asked.amperes, *numbers, asked.ambient_c, asked.limit_c)]
    steady, _ = steady_temperature_c(*one)
    if asked.for_s is None:
        return float(steady[0])
    takes_up = np.array([transient.heat_capacity_j_per_k_m(cable)])
    return float(transient.after_c(asked.for_s, one[0], steady, *one[1:6], takes_up)[0])


ASKED = [
    Asked(THIN, 8.0, 60.0, 125.0),
    Asked(THIN, 80.0, 60.0, 125.0),  # no safe temperature
    Asked(THICK, 90.0, 30.0, 80.0),
    Asked(THICK, 400.0, 30.0, 80.0, 10.0),
    Asked(THIN, 20.0, 60.0, 125.0, 30.0),
    Asked(THIN, 0.0, 60.0, 125.0),
]


def test_together_they_come_to_what_each_comes_to_alone() -> None:
    together = Warmth()
    together.prepare(ASKED)
    for asked in ASKED:
        assert together.of(asked) == pytest.approx(alone(asked), abs=0.01)
    assert together.of(ASKED[0]) > 60.0
    assert together.of(ASKED[1]) == 225.0


def test_each_is_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    asked_of: list[int] = []
    whole = warmth.steady_temperature_c

    def counted(amperes: np.ndarray, *more: np.ndarray) -> object:
        asked_of.append(len(amperes))
        return whole(amperes, *more)

    monkeypatch.setattr(warmth, "steady_temperature_c", counted)
    known = Warmth()
    known.prepare([*ASKED, ASKED[0]])
    known.prepare(ASKED[:2])
    assert known.of(ASKED[3]) == known.of(ASKED[3])
    assert asked_of == [len(ASKED)]
    known.of(Asked(THICK, 5.0, 30.0, 80.0))
    assert asked_of == [len(ASKED), 1]
