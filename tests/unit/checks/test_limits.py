"""Limit sets: complete, each limit with its source, overrides with their reason."""

import pytest

from harness_studio.checks import how
from harness_studio.checks.limits import SETS, Strange, in_force, limit_set, load
from harness_studio.model.values import Limits, Override
from harness_studio.standards.provenance import SURENESS
from harness_studio.storage.meanings import meaning


@pytest.mark.parametrize("name", SETS)
def test_every_set_has_every_limit_with_its_source(name: str) -> None:
    found, first = limit_set(name), limit_set(SETS[0])
    assert list(found.limits) == list(first.limits)
    for limit in found.limits.values():
        assert limit.source
        assert limit.sureness in SURENESS
        assert limit.what
        assert limit.unit
        assert limit.reason is None
    assert found.title
    assert found.about


@pytest.mark.parametrize("name", SETS[1:])
def test_a_set_changes_only_what_the_first_one_has(name: str) -> None:
    assert set(load(name)["limits"]) <= set(load(SETS[0])["limits"])


# Figures read in the reference tables, each written here a second time.
PRINTED = [
    ("road_workshop", "wire_drop_v", 0.2),  # workshop practice, two trade articles
    ("road_workshop", "contact_drop_v", 0.3),
    ("road_workshop", "return_drop_v", 0.1),
    ("road_workshop", "rise_sensor_ground_v", 0.05),  # from memory
    ("road_workshop", "starter_path_drop_v", 0.7),
    ("road_workshop", "fuse_share", 0.8),  # 1 / 1.25
    ("road_workshop", "rings_per_stud", 4),
    ("road_workshop", "body_return_a", None),
    ("aviation_circular", "path_drop_v", 0.5),  # AC 43.13-1B table 11-6, 14 V
    ("aviation_circular", "ground_path_mohm", 5),
    ("aviation_circular", "altitude_m", 6096),  # 20,000 ft
    ("small_craft", "path_drop_percent", 10),
    ("small_craft", "path_critical_percent", 3),
    ("sensitive_electronics", "fuse_share", 0.65),  # ECSS-Q-ST-30-11C 6.17
]


@pytest.mark.parametrize(("name", "limit", "value"), PRINTED)
def test_a_limit_is_the_printed_one(name: str, limit: str, value: float | None) -> None:
    assert limit_set(name)[limit].value == value


def test_twice_the_volts_allow_twice_the_drop_where_the_circular_says_so() -> None:
    # AC 43.13-1B table 11-6: 0.5 V in a 14 V system, 1 V in a 28 V one.
    assert limit_set("aviation_circular", 24.0)["wire_drop_v"].value == 1.0
    assert limit_set("aviation_circular", 24.0)["rings_per_stud"].value == 4


def test_an_override_keeps_its_reason_and_what_stood_there() -> None:
    own = {"rise_sensor_ground_v": Override(0.08, "long return to the bed")}
    found = in_force(Limits("road_workshop", override=own), 12.0)
    limit = found["rise_sensor_ground_v"]
    assert (limit.value, limit.reason, limit.unit) == (0.08, "long return to the bed", "V")
    assert limit.source.startswith("set by this project: long return to the bed (instead of 0.05 V: ")
    assert found.overridden == (limit,)
    assert limit_set("road_workshop")["rise_sensor_ground_v"].value == 0.05


def test_what_is_not_known_is_kept_with_its_nearest() -> None:
    found = in_force(Limits("small_crafts", override={"wire_drop": Override(0.1, "x")}), 12.0)
    assert found.strange == (
        Strange("limit set", "small_crafts", "small_craft"),
        Strange("limit", "wire_drop", "wire_drop_v"),
    )
    assert found.name == "road_workshop"
    assert found.overridden == ()


def test_a_set_that_is_not_there_is_named_with_the_nearest() -> None:
    with pytest.raises(ValueError, match="no limit set 'small_crafts'; did you mean small_craft"):
        limit_set("small_crafts")


def test_a_limit_that_is_off_has_no_value_to_judge_by() -> None:
    with pytest.raises(ValueError, match="the limit body_return_a is off"):
        limit_set("road_workshop").value("body_return_a")


def test_the_projects_own_way_to_find_ampacity_goes_before_that_of_the_set() -> None:
    found = in_force(Limits("small_craft", "heat_balance"), 12.0)
    assert (found.method, found.table, found.own_way) == ("heat balance", None, "heat_balance")
    assert in_force(Limits("small_craft"), 12.0).own_way is None


def test_a_way_that_is_not_there_leaves_that_of_the_set() -> None:
    found = in_force(Limits("small_craft", "heat_balanse"), 12.0)
    assert (found.method, found.table, found.own_way) == ("handbook table", "cfr_33_183_425", None)
    assert found.strange == (Strange("way to find ampacity", "heat_balanse", "heat_balance"),)


@pytest.mark.parametrize("name", how.names())
def test_every_way_is_named_as_it_is_read_and_the_reference_tells_it(name: str) -> None:
    found = how.named(name)
    assert found is not None
    assert how.name_of(found) == name
    assert how.named(name.replace("_", "-").upper()) == found
    assert name in meaning(Limits, "ampacity")
