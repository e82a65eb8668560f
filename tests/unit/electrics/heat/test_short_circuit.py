"""A fuse's time band against what the wire withstands."""

import math

import pytest

from harness_studio.electrics.heat import short_circuit
from harness_studio.electrics.heat.cable import Cable
from harness_studio.electrics.heat.short_circuit import Clearing
from harness_studio.standards.figures import NotJudged


def clearing(found: Clearing | NotJudged) -> Clearing:
    assert isinstance(found, Clearing), found
    return found


def test_a_dead_short_that_is_cleared_in_time() -> None:
    # 10 A medium blade, 120 A: at most 0.025 s (I²t of its 600 % limit); 1 mm² XLPE bears (119.4 · 1 / 120)² = 0.99 s.
    found = clearing(short_circuit.clears_before_damage("blade_medium", 10, 120, Cable(1.0, "TXL")))
    assert found.clears.value == pytest.approx(0.1 * (60 / 120) ** 2)
    assert found.withstands.value == pytest.approx((226 * 1.0 / 120) ** 2 * math.log(484.5 / 359.5), rel=1e-9)
    assert found.ok
    assert found.margin == pytest.approx(found.withstands.value / found.clears.value)


def test_a_dead_short_that_is_not() -> None:
    # 40 A high-current blade, 80 A through 0.5 mm²: up to 50 s against half a second.
    found = clearing(short_circuit.clears_before_damage("blade_high_current", 40, 80, Cable(0.5, "TXL")))
    assert found.clears.value == pytest.approx(50)
    assert not found.ok
    assert found.margin < 0.05


def test_a_current_the_fuse_need_not_clear() -> None:
    thin = clearing(short_circuit.clears_before_damage("blade_medium", 20, 24, Cable(0.5, "TXL")))
    assert thin.clears.value == math.inf
    assert not thin.ok
    thick = clearing(short_circuit.clears_before_damage("blade_medium", 20, 24, Cable(6.0, "TXL")))
    assert thick.withstands.value == math.inf
    assert thick.ok
    assert thick.margin == math.inf


def test_every_figure_names_method_source_and_sureness() -> None:
    found = clearing(short_circuit.clears_before_damage("blade_medium", 10, 120, Cable(1.0, "TXL")))
    assert (found.withstands.method, found.withstands.table) == ("adiabatic law", "IEC 60949 adiabatic law")
    assert "ISO 8820-3" in found.clears.source
    assert found.clears.sureness == "memory"
    assert "I²t held" in found.clears.note


def test_a_wire_that_was_cool_bears_more() -> None:
    cable = Cable(1.0, "PVC 105")
    hot = clearing(short_circuit.clears_before_damage("blade_medium", 10, 120, cable))
    cool = clearing(short_circuit.clears_before_damage("blade_medium", 10, 120, cable, start_c=30.0))
    assert cool.withstands.value > 2 * hot.withstands.value


def test_beyond_five_seconds_the_lower_limit_and_the_heat_loss_count() -> None:
    found = clearing(short_circuit.clears_before_damage("blade_medium", 20, 50, Cable(2.5, "PVC 105")))
    assert found.withstands.method == "heat balance over time"
    assert found.withstands.value > 5
    assert "155 °C" in found.withstands.note
    assert found.withstands.sureness == "memory"


def test_the_adiabatic_law_is_not_stretched_beyond_five_seconds() -> None:
    # PTFE: no short-circuit figure, so that both limits are one, and the air is hot.
    limits = short_circuit.ShortLimits(90.0, 250.0, 95.0, "invented", "computed")
    found = short_circuit.withstand(Cable(2.5, "XLPE"), 100.0, limits, 60.0)
    assert found.value == 5
    assert "up to 5 s" in found.note


@pytest.mark.parametrize(
    ("style", "rated_a", "insulation", "said"),
    [
        (None, 10, "TXL", "style is not known"),
        ("breaker", 10, "TXL", "no time band"),
        ("blade_medium", 80, "TXL", "not for 80 A"),
        ("blade_medium", 10, None, "insulation is not said"),
        ("blade_medium", 10, "cloth", "'cloth' is not known"),
    ],
)
def test_what_is_not_judged(style: str | None, rated_a: float, insulation: str | None, said: str) -> None:
    cable = Cable(1.0, insulation)
    found = short_circuit.clears_before_damage(style, rated_a, 120, cable)
    assert isinstance(found, NotJudged)
    assert said in found.why
    scanned = short_circuit.weakest(style, rated_a, cable, 120)
    assert isinstance(scanned, NotJudged)
    assert said in scanned.why


@pytest.mark.parametrize(("style", "rated_a"), [("blade_medium", 20), ("blade_high_current", 40)])
@pytest.mark.parametrize("area_mm2", [0.5, 1.0, 2.5, 6.0])
def test_the_weakest_current_is_the_worst_of_all_of_them(style: str, rated_a: float, area_mm2: float) -> None:
    cable = Cable(area_mm2, "TXL")
    worst = clearing(short_circuit.weakest(style, rated_a, cable, 300))
    fine = [rated_a * 1.35 * (300 / (rated_a * 1.35)) ** (i / 400) for i in range(401)]
    margins = [clearing(short_circuit.clears_before_damage(style, rated_a, a, cable)).margin for a in fine]
    assert worst.margin == pytest.approx(min(margins), rel=0.15)
    assert worst.ok == (min(margins) >= 1)


def test_a_fuse_well_below_the_ampacity_protects_at_every_current() -> None:
    # 2.5 mm² TXL carries 45 A in 30 °C air: 30 A of medium blade protect it, 40 A of slow high-current blade do not.
    cable = Cable(2.5, "TXL")
    assert clearing(short_circuit.weakest("blade_medium", 30, cable, 500, 30)).ok
    assert not clearing(short_circuit.weakest("blade_high_current", 40, cable, 500, 30)).ok


def test_a_short_that_need_not_be_cleared_at_all() -> None:
    found = short_circuit.weakest("blade_medium", 30, Cable(2.5, "TXL"), 35)
    assert isinstance(found, NotJudged)
    assert "need not clear" in found.why


def test_an_unknown_style_is_refused() -> None:
    with pytest.raises(ValueError, match="no fuse style"):
        short_circuit.clears_before_damage("x", 10, 100, Cable(1.0, "TXL"))
