"""Laws and readings replaced by constants: for each, a named fact of the trade must no longer hold.

If a gauge's needle, a lamp's light, a relay's state or a flasher's rate did not come from the solved volts of its own
mode, these tests of tests would show it.
"""

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest

from harness_studio.electrics import reading_values, readings, sweep_rows
from harness_studio.electrics.laws import catalogue, curves, discrete
from harness_studio.electrics.laws.pieces import pair
from harness_studio.electrics.laws.poles import TwoPole
from harness_studio.electrics.reading_values import Values
from harness_studio.electrics.stamps import resistor
from tests.published import test_lamp_rerating as rerating
from tests.regression import test_gauges as gauges
from tests.regression import test_trade_facts_gauges as dash
from tests.regression import test_trade_facts_grounds as grounds
from tests.regression import test_trade_facts_lights as lights

Mutant = Callable[[pytest.MonkeyPatch], None]


def law(kind: str, replacement: Any) -> Mutant:
    return lambda patch: patch.setitem(catalogue.LAWS, kind, replacement)  # type: ignore[arg-type]


def a_resistor(ohm: float) -> Any:
    return lambda element, state, pieces: pieces.stamps.append(resistor(element.address, *pair(element), ohm))


def between(first: str, second: str, ohm: float) -> Any:
    return lambda element, state, pieces: pieces.stamps.append(
        resistor(element.address, element.terminals[first], element.terminals[second], ohm)
    )


def a_current(amperes: float) -> Any:
    def constant(element: Any, state: str | None, pieces: Any) -> None:
        parameters = (amperes, 1.0)
        pieces.poles.append(TwoPole(element.address, *pair(element), curves.constant_current, parameters))

    return constant


def reading(what: str, constant: float) -> Mutant:
    """Let every reading of a kind be a constant."""

    def apply(patch: pytest.MonkeyPatch) -> None:
        true = reading_values.element_values

        def false(*given: Any) -> Iterator[Values]:
            for found in true(*given):
                same = np.full_like(found.values, constant)
                yield found if found.what != what else Values(found.id, found.what, found.unit, same)

        for module in (readings, sweep_rows):
            patch.setattr(module, "element_values", false)
        plain = reading_values.plain_values

        def false_plain(*given: Any) -> Iterator[tuple[str, str, float]]:
            for name, unit, value in plain(*given):
                yield name, unit, constant if name == what else value

        patch.setattr(readings, "plain_values", false_plain)

    return apply


def first_seen(patch: pytest.MonkeyPatch) -> None:
    """Let every reading keep the value it had in the first mode that was asked for."""
    true, seen = reading_values.element_values, dict[tuple[str, str], Any]()

    def false(*given: Any) -> Iterator[Values]:
        for found in true(*given):
            kept = seen.setdefault((found.id, found.what), found.values)
            yield Values(found.id, found.what, found.unit, kept)

    patch.setattr(readings, "element_values", false)
    plain, met = reading_values.plain_values, dict[tuple[str, str], float]()

    def false_plain(element: Any, over: float) -> Iterator[tuple[str, str, float]]:
        for name, unit, value in plain(element, over):
            yield name, unit, met.setdefault((element.address, name), value)

    patch.setattr(readings, "plain_values", false_plain)


def rate(patch: pytest.MonkeyPatch) -> None:
    def constant(part: str, ratings: Any, amperes: Any) -> Values:
        return Values(part, "rate", "/min", np.full_like(amperes, 85.0))

    patch.setattr(readings, "flasher_rate", constant)


def instruments(patch: pytest.MonkeyPatch) -> None:
    def constant(part: str, scale: Any, name: str, value: Any, unit: str) -> Values:
        return Values(part, "needle", "of scale", np.full_like(value, 0.5))

    for module in (readings, reading_values):
        patch.setattr(module, "by_scale", constant)


def judge(kind: str, holds: Any) -> Mutant:
    return lambda patch: patch.setitem(discrete.JUDGES, kind, holds)  # type: ignore[arg-type]


def always_pulled_in(patch: pytest.MonkeyPatch) -> None:
    patch.setitem(discrete.CHOICES, "relay", ("pulled in", "released"))
    patch.setitem(discrete.JUDGES, "relay", lambda element, state: ())  # type: ignore[arg-type]


MUTANTS: dict[str, tuple[Mutant, Callable[[], None]]] = {
    "a lamp is a resistor": (
        law("lamp", a_resistor(2.618)),
        lambda: rerating.test_current_and_power_follow_the_printed_exponents(9.0, 12.0, 55.0),
    ),
    "a lamp takes its rated current": (
        law("lamp", a_current(55.0 / 12.0)),
        lambda: rerating.test_current_and_power_follow_the_printed_exponents(9.0, 12.0, 55.0),
    ),
    "light is constant": (reading("light", 100.0), lights.test_blower_and_panel_lamp_on_a_poor_return),
    "light is constant, at printed points": (
        reading("light", 100.0),
        lambda: rerating.test_printed_light_over_volts(10.5, 510),
    ),
    "a lamp never glows backwards": (
        reading("light", 0.0),
        lights.test_a_two_filament_lamp_with_an_open_return_lights_the_wrong_filament,
    ),
    "a gauge is a resistor": (
        law("gauge", a_resistor(90.0)),
        lambda: gauges.test_what_a_two_coil_gauge_sees(1.0, 0.0, 80.0),
    ),
    "needles are constant": (
        reading("needle", 0.5),
        lambda: dash.test_a_gauge_whose_own_ground_rises("240-33"),
    ),
    "needles of bimetal gauges are constant": (
        reading("needle", 0.5),
        dash.test_a_stabiliser_with_a_poor_ground_makes_all_its_gauges_read_high,
    ),
    "needles of voltmeters and ammeters are constant": (instruments, gauges.test_voltmeter_and_ammeter),
    "a stabiliser is a wire": (
        law("stabiliser", between("15", "out", 0.1)),
        lambda: gauges.test_a_stabiliser_holds_volts_above_its_own_ground(0.5),
    ),
    "what a unit measures is constant": (
        reading("measured", 90.0),
        dash.test_the_error_changes_sign_between_engine_off_and_running,
    ),
    "relays never move": (
        judge("relay", lambda element, state: ()),
        grounds.test_a_relay_whose_coil_shares_a_poor_ground_does_not_pull_in,
    ),
    "relays are always pulled in": (
        always_pulled_in,
        grounds.test_a_relay_whose_coil_shares_a_poor_ground_does_not_pull_in,
    ),
    "no relay chatters": (
        judge("relay", lambda element, state: ()),
        grounds.test_a_relay_fed_through_its_own_break_contact_chatters,
    ),
    "a thermal flasher has one rate": (rate, lambda: lights.test_flashers_with_a_poor_ground("thermal", 1200.0)),
    "an electronic flasher has one rate": (
        rate,
        lambda: lights.test_flashers_with_a_poor_ground("electronic", 3000.0),
    ),
    "readings are those of the first mode": (first_seen, lights.test_blower_and_panel_lamp_on_a_poor_return),
    "needles are those of the first mode": (
        first_seen,
        lambda: dash.test_a_gauge_whose_own_ground_rises("coolant NTC"),
    ),
    "a starter takes milliamperes": (
        law("starter", between("30", "31", 1000.0)),
        grounds.test_a_missing_engine_strap_sends_starter_current_through_stray_bonds,
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", MUTANTS)
def test_a_fact_no_longer_holds(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    mutate, fact = MUTANTS[name]
    fact()
    mutate(monkeypatch)
    with pytest.raises(AssertionError):
        fact()
