"""Ampacity by both methods: steps, fallbacks, and what is not judged."""

import numpy as np
import pytest

from harness_studio.electrics.heat import ampacity, wire
from harness_studio.electrics.heat.ampacity import Ampacity
from harness_studio.electrics.heat.cable import Around, Cable
from harness_studio.standards.figures import Figure, NotJudged

WIRE = Cable(2.5, "FLRY")


def judged(found: Ampacity | NotJudged) -> Ampacity:
    assert isinstance(found, Ampacity), found
    return found


def refused(found: Ampacity | Figure | NotJudged) -> str:
    assert isinstance(found, NotJudged), found
    return found.why


@pytest.mark.parametrize("ambient_c", [-20.0, 20.0, 80.0])
@pytest.mark.parametrize(
    "cable", [WIRE, Cable(0.35, "TXL"), Cable(50, "FLY"), Cable(16, "XLPE", "aluminium")]
)
def test_at_its_ampacity_a_wire_is_as_hot_as_it_may_be(cable: Cable, ambient_c: float) -> None:
    free = ampacity.free_air(cable, ambient_c)
    if ambient_c >= (cable.limit_c or 0):
        assert "not below the insulation's limit" in refused(free)
        return
    assert isinstance(free, Figure)
    assert cable.limit_c is not None
    values = (
        free.value, cable.resistance.value, cable.alpha_per_k, cable.conductor.value_mm, cable.outer.value_mm,
        ambient_c, cable.limit_c,
    )  # fmt: skip
    temperature_c, _ = wire.steady_temperature_c(*(np.array([v]) for v in values))
    assert temperature_c[0] == pytest.approx(cable.limit_c, abs=0.02)


def test_every_step_is_a_figure_and_the_answer_their_product() -> None:
    found = judged(ampacity.ampacity(WIRE, Around(40, 8, 0.6, 3048)))
    assert [s.method for s in found.steps] == ["heat balance", "published curve", "published curve"]
    assert found.figure.value == pytest.approx(np.prod([s.value for s in found.steps]))
    assert all(s.source and s.table and s.sureness for s in found.steps)
    assert "Churchill" in found.figure.source
    assert "MIL-W-5088L" in found.figure.source
    assert found.limit_c == 100


def test_an_answer_is_as_sure_as_its_insulation_class() -> None:
    assert judged(ampacity.ampacity(WIRE, Around())).figure.sureness == "memory"
    assert judged(ampacity.ampacity(Cable(2.5, "TXL"), Around())).figure.sureness == "computed"


def test_a_wire_alone_at_sea_level_has_one_step() -> None:
    assert len(judged(ampacity.ampacity(WIRE, Around())).steps) == 1


def test_beyond_the_curve_the_handbook_serves_and_says_why() -> None:
    found = judged(ampacity.ampacity(Cable(2.5, "TXL"), Around(60, 30, 0.2)))
    assert found.figure.method == "handbook table"
    assert found.figure.table == "AC 43.13-1B table 11-9"
    assert found.figure.value == 10
    assert "not judged by the curve" in found.figure.note


def test_the_next_table_serves_where_the_bundle_is_harsher_than_the_first_tables() -> None:
    found = judged(ampacity.ampacity(Cable(2.5, "TXL"), Around(30, 30, 0.8)))
    assert found.figure.table == "33 CFR 183.425 table 5"
    assert found.figure.value == pytest.approx(40 * 0.4)


def test_beyond_every_table_both_reasons_are_given() -> None:
    why = refused(ampacity.ampacity(Cable(0.35, "TXL"), Around(30, 30, 0.8)))
    assert "not judged by the curve" in why
    assert "begins at AWG 18" in why


def test_the_handbook_can_be_chosen_with_its_table() -> None:
    alone = judged(ampacity.ampacity(Cable(2.5, "TXL"), Around(30), "handbook table"))
    assert (alone.figure.table, alone.figure.value) == ("33 CFR 183.425 table 5", 40)
    harsh = judged(ampacity.ampacity(Cable(2.5, "TXL"), Around(30), "handbook table", "ac_43_13_1b_11_9"))
    assert harsh.figure.value == 10
    guide = judged(ampacity.ampacity(WIRE, Around(30), "handbook table", "iso_6722"))
    assert guide.figure.value == 32


def test_a_table_for_high_altitude_is_not_thinned_again() -> None:
    high = Around(30, altitude_m=6096)
    assert judged(ampacity.by_handbook(Cable(2.5, "TXL"), high, "ac_43_13_1b_11_9")).figure.value == 10
    assert judged(ampacity.by_handbook(WIRE, high, "iso_6722")).figure.value == pytest.approx(32 * 0.91)


@pytest.mark.parametrize("method", ampacity.METHODS)
@pytest.mark.parametrize(
    ("cable", "said"),
    [
        (Cable(2.5, None), "insulation is not said"),
        (Cable(2.5, "cloth"), "'cloth' is not known"),
        (Cable(0.0, "TXL"), "size is not known"),
    ],
)
def test_a_wire_that_is_not_known_is_not_judged(method: ampacity.Method, cable: Cable, said: str) -> None:
    assert said in refused(ampacity.ampacity(cable, Around(), method))


def test_the_handbooks_speak_of_copper() -> None:
    assert "aluminium" in refused(ampacity.by_handbook(Cable(16, "XLPE", "aluminium"), Around()))


@pytest.mark.parametrize("altitude_m", [18_300.0, 30_000.0])
def test_where_the_altitude_is_not_known_no_method_judges(altitude_m: float) -> None:
    around = Around(altitude_m=altitude_m)
    assert "altitude curve" in refused(ampacity.ampacity(WIRE, around))
    assert "altitude curve" in refused(ampacity.by_handbook(WIRE, around, "iso_6722"))


def test_thin_air_by_its_pressure_agrees_with_the_curve() -> None:
    # 20,000 ft is 46,563 Pa in the standard atmosphere (from memory); the curve says 0.91.
    values = [np.array([v]) for v in (0.0076, 0.00393, 2.2, 3.0, 20.0, 105.0)]
    thin = wire.free_air_a(*values, pressure_pa=46_563.0)[0] / wire.free_air_a(*values)[0]
    assert thin == pytest.approx(0.91, abs=0.05)


def test_load_of_capacity() -> None:
    assert ampacity.load_of_capacity([5.0, -5.0], [20.0, 30.0]) == pytest.approx(0.2)
    with pytest.raises(ValueError, match="no share"):
        ampacity.load_of_capacity([1.0], [0.0])
