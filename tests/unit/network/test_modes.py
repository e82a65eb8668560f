"""Modes: what is taken from `like`, what holds where nothing is said, and what is not there."""

import pytest

from harness_studio.base.errors import AddressError
from harness_studio.model.entities import Mode
from harness_studio.model.harness import Harness
from harness_studio.network.expand import expand
from harness_studio.network.modes import default_mode, resolve
from harness_studio.network.network import Overrides
from tests.support.sketch import Sketch


def with_modes() -> Harness:
    s = Sketch()
    s.zone("bay", ambient_c=60.0)
    s.switch("S1", released=(), pressed=(("30", "54"),))
    s.part("M2", "motor")
    s.part("B1", "sender", ohm={"empty": 240.0, "half": 100.0})
    s.mode(
        "cruise", engine="running", set={"S1": "released"}, loads={"M2": "turning"}, ambient_c={"bay": 85.0}
    )
    s.mode("braking", like="cruise", set={"S1": "pressed"}, senders={"B1": "half"}, ambient_c={"bay": 95.0})
    s.mode("hot_soak", like="braking", engine="off")
    return s.done()


def test_what_is_not_said_comes_from_like() -> None:
    found = resolve(with_modes(), "hot_soak")
    assert found.engine == "off"
    assert dict(found.positions) == {"S1": "pressed"}
    assert dict(found.loads) == {"M2": "turning"}
    assert dict(found.senders) == {"B1": "half"}
    assert dict(found.ambient_c) == {"bay": 95.0}


def test_the_mode_it_is_like_stays_as_it_is() -> None:
    assert dict(resolve(with_modes(), "cruise").positions) == {"S1": "released"}


def test_the_first_mode_of_the_file_is_the_default() -> None:
    assert default_mode(with_modes()) == "cruise"
    assert default_mode(Sketch().done()) is None


def test_without_a_mode_switches_stand_in_their_first_position_and_the_engine_is_off() -> None:
    network = expand(with_modes())
    assert (network.mode.id, network.mode.engine) == (None, "off")
    assert "S1.30:54" not in network.joints
    assert "S1.30:54" in expand(with_modes(), "braking").joints


def test_overrides_go_before_the_mode() -> None:
    overrides = Overrides(
        positions=(("S1", "pressed"),), loads=(("M2", "off"),), senders=(("B1", "empty"),), engine="idling"
    )
    found = resolve(with_modes(), "cruise", overrides)
    assert (found.engine, found.positions["S1"], found.loads["M2"], found.senders["B1"]) == (
        "idling",
        "pressed",
        "off",
        "empty",
    )


def test_a_switch_can_be_pressed_without_a_mode() -> None:
    assert "S1.30:54" in expand(with_modes(), None, Overrides(positions=(("S1", "pressed"),))).joints


def test_an_unknown_mode_names_the_nearest() -> None:
    with pytest.raises(AddressError, match="there is no mode 'bracking'; nearest is 'braking'"):
        expand(with_modes(), "bracking")


def test_an_unknown_mode_far_from_all_lists_them() -> None:
    with pytest.raises(AddressError, match="there are cruise, braking, hot_soak"):
        expand(with_modes(), "zzz")


def test_a_position_that_the_switch_lacks() -> None:
    s = Sketch()
    s.switch("S1", released=(), pressed=(("30", "54"),))
    s.mode("odd", set={"S1": "half way"})
    with pytest.raises(AddressError, match="sets S1 to 'half way'; its positions are released, pressed"):
        expand(s.done(), "odd")


def test_a_part_that_is_no_switch_cannot_be_set() -> None:
    s = Sketch()
    s.part("E1", "lamp")
    s.mode("odd", set={"E1": "on"})
    with pytest.raises(AddressError, match="sets E1, which is no switch"):
        expand(s.done(), "odd")


def test_modes_that_are_like_one_another_in_a_circle() -> None:
    harness = with_modes()
    harness.modes["cruise"] = Mode("cruise", like="hot_soak")
    with pytest.raises(AddressError, match="in a circle"):
        expand(harness, "braking")


def test_a_group_of_three_terminals_is_joined_one_to_the_next() -> None:
    s = Sketch()
    s.switch("S1", "ignition_switch", on=(("30", "15", "75"),))
    joints = [j for j in expand(s.done()).joints if j.startswith("S1.")]
    assert joints == ["S1.30:15", "S1.15:30", "S1.15:75", "S1.75:15"]
