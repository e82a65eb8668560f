"""Steady wire temperatures: the balance itself, its ends, and its behaviour in bulk."""

import numpy as np
import pytest

from harness_studio.electrics.heat import air, wire

COPPER = 0.00393
MIDDLING = {  # 2.5 mm² at 20 A in 20 °C
    "amperes": 20.0,
    "ohm_per_m_20c": 0.0076,
    "alpha_per_k": COPPER,
    "conductor_mm": 2.2,
    "outer_mm": 3.0,
    "ambient_c": 20.0,
    "limit_c": 105.0,
}


def bundle(seed: int, count: int = 500) -> dict[str, np.ndarray]:
    """Return invented wires of usual sizes, from unloaded to glowing."""
    random = np.random.default_rng(seed)
    area_mm2 = random.choice([0.35, 0.5, 1.0, 2.5, 6.0, 16.0, 50.0], count)
    conductor_mm = 1.4 * np.sqrt(area_mm2)
    return {
        "amperes": area_mm2 * random.uniform(-30, 30, count),
        "ohm_per_m_20c": 0.0185 / area_mm2,
        "alpha_per_k": np.full(count, COPPER),
        "conductor_mm": conductor_mm,
        "outer_mm": conductor_mm + random.choice([0.0, 0.5, 1.2], count),
        "ambient_c": random.uniform(-40, 110, count),
        "limit_c": random.choice([70.0, 85.0, 125.0, 250.0], count),
    }


def one(**changed: float) -> tuple[float, bool]:
    """Return temperature and mask of the middling wire, with changes."""
    values = MIDDLING | changed
    temperature_c, runaway = wire.steady_temperature_c(*(np.array([v]) for v in values.values()))
    return float(temperature_c[0]), bool(runaway[0])


@pytest.mark.parametrize("seed", [1, 2])
def test_heat_made_is_heat_lost(seed: int) -> None:
    w = bundle(seed)
    temperature_c, runaway = wire.steady_temperature_c(**w)
    made = w["amperes"] ** 2 * w["ohm_per_m_20c"] * (1 + COPPER * (temperature_c - 20))
    surface_c = temperature_c - made * wire.insulation_k_m_per_w(w["conductor_mm"], w["outer_mm"])
    lost, slope = air.loss_w_per_m(surface_c - w["ambient_c"], w["ambient_c"], w["outer_mm"])
    off_k = np.abs(lost - made) / slope
    assert 50 < runaway.sum() < 450
    assert off_k[~runaway].max() < 0.01


def test_what_has_no_balance_below_the_cap_is_capped() -> None:
    # Joule heat stays above all that can leave the wire, at every temperature up to the cap.
    w = bundle(3)
    temperature_c, runaway = wire.steady_temperature_c(**w)
    hot = {name: column[runaway] for name, column in w.items()}
    assert (temperature_c[runaway] == hot["limit_c"] + 100).all()
    assert (temperature_c[~runaway] <= w["limit_c"][~runaway] + 100).all()
    inner = wire.insulation_k_m_per_w(hot["conductor_mm"], hot["outer_mm"])
    square = hot["amperes"] ** 2 * hot["ohm_per_m_20c"]
    for part in np.linspace(0.01, 0.999, 100):
        rise_k = part * (hot["limit_c"] + 100 - hot["ambient_c"])
        lost, _ = air.loss_w_per_m(rise_k, hot["ambient_c"], hot["outer_mm"])
        conductor_c = hot["ambient_c"] + rise_k + lost * inner
        made = square * (1 + COPPER * (conductor_c - 20))
        assert ((made > lost) | (conductor_c > hot["limit_c"] + 100)).all()


def test_more_current_never_cools() -> None:
    amperes = np.concatenate([np.linspace(0, 0.2, 200), np.linspace(0.2, 120, 2000)])
    w = {name: np.full(amperes.shape, value) for name, value in MIDDLING.items()}
    temperature_c, runaway = wire.steady_temperature_c(**(w | {"amperes": amperes}))
    assert temperature_c[0] == w["ambient_c"][0]
    assert (np.diff(temperature_c) >= 0).all()
    assert (np.diff(runaway.astype(int)) >= 0).all()
    assert runaway[-1]


def test_hotter_air_makes_a_hotter_wire() -> None:
    at = [one(ambient_c=c)[0] for c in (-40, 0, 20, 60, 100)]
    assert at == sorted(at)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_direction_does_not_matter(way: float) -> None:
    assert one(amperes=20.0 * way) == one()


def test_an_unloaded_wire_is_as_warm_as_the_air() -> None:
    assert one(amperes=0.0) == (20.0, False)
    assert one(amperes=1e-3) == (20.0, False)


def test_the_least_current_that_counts_makes_no_step() -> None:
    currents = np.geomspace(1e-3, 1.0, 400)
    temperatures = np.array([one(amperes=c)[0] for c in currents])
    near = temperatures < 20.05
    assert np.diff(temperatures[near]).max() < 0.01


@pytest.mark.parametrize("amperes", [200.0, 1e6, 1e200, np.inf, -np.inf])
@pytest.mark.parametrize("outer_mm", [2.2, 3.0])
def test_far_too_much_current_is_capped(amperes: float, outer_mm: float) -> None:
    assert one(amperes=amperes, outer_mm=outer_mm) == (205.0, True)


def test_air_above_the_cap_is_capped() -> None:
    assert one(ambient_c=300.0) == (205.0, True)
    assert one(ambient_c=300.0, amperes=0.0) == (205.0, True)


def test_not_a_number_stays_one() -> None:
    temperature_c, runaway = one(amperes=np.nan)
    assert np.isnan(temperature_c)
    assert not runaway


def test_no_wires() -> None:
    temperature_c, runaway = wire.steady_temperature_c(*(np.array([]) for _ in range(7)))
    assert temperature_c.shape == runaway.shape == (0,)


def test_its_input_stays_as_it_was() -> None:
    w = bundle(5)
    before = {name: column.copy() for name, column in w.items()}
    wire.steady_temperature_c(**w)
    assert all((w[name] == before[name]).all() for name in w)
