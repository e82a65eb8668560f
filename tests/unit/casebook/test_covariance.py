"""Covariances by products of matrices: against what each uncertain thing does, written out and squared."""

import numpy as np
import pytest

from harness_studio.casebook.candidates import cells_of, table_of
from harness_studio.casebook.changes import GRID_OHM
from harness_studio.casebook.covariance import Changed, covariances_under, held_back, things_of
from harness_studio.casebook.known import Known
from harness_studio.casebook.lumped import lumped
from harness_studio.casebook.observed import observed
from harness_studio.casebook.posterior import weigh
from harness_studio.casebook.predict import volts_under
from harness_studio.casebook.segments import rows_under, segments_of
from harness_studio.casebook.suspects import suspects
from harness_studio.casebook.variants import before_of
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case, Reading
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.vehicle import vehicle

MODES = ("key_on", "braking")
HARNESS = vehicle(3, 12)


def case() -> Case:
    real = {m: solve(expand(HARNESS, m, Overrides().with_joint("GP1", 0.08))) for m in MODES}
    tips = (("key_on", "GP1"), ("braking", "F1.out"), ("braking", "GP2"), ("key_on", "W3@F1.1"))
    names = real["key_on"].network.index
    readings = [
        Reading("volts", mode=m, plus=p, minus="GB1.31", value=real[m].volt(p) or 0.0, symptom_present="yes")
        for m, p in tips
        if p in names
    ]
    wire = next(a for a, r in real["braking"].wires() if abs(r.amperes) > 1.0)
    more = Reading("amperes", mode="braking", at=wire, value=1.5, symptom_present="yes")
    return Case("c", readings=(*readings, more))


@pytest.fixture(scope="module")
def known() -> Known:
    return Known(HARNESS)


def test_covariances_are_the_squares_of_what_each_thing_does(known: Known) -> None:
    weighed, _ = weigh(known, case(), observed(HARNESS, case()), lambda: False, lambda part: None, screen=0.0)
    listed = [(one.mode, weighed.probes[n]) for n, one in enumerate(weighed.observed.measured)]
    assert {m for m, _ in listed} == set(MODES)
    pieces = segments_of(known, weighed.modes, listed)
    some = np.arange(0, len(weighed.groups), 2)
    group, step = (n.ravel() for n in np.meshgrid(some, np.arange(len(GRID_OHM))))
    changed, rows = [], np.zeros((len(group), len(listed), pieces["braking"].size))
    for work in weighed.works:
        site, mode = work.of_group[group], work.state.mode
        volts = volts_under(work.at, known.solved[mode], site, step)
        before = before_of(work.state, [weighed.groups[n] for n in group.tolist()])
        changed.append(Changed(work.at.sites, site, step, volts, before))
        rows[:, pieces[mode].readings] = rows_under(pieces[mode], work.at.sites, site, step, volts.T, before)
    things = [things_of(pieces[w.state.mode]) for w in weighed.works]
    wanted = rows @ rows.transpose(0, 2, 1)
    found = covariances_under(things, changed)
    size = np.sqrt(np.einsum("crr->cr", wanted))
    assert np.abs(found - wanted).max(initial=0.0, where=size.max(axis=1)[:, None, None] < 30.0) < 1e-9
    alone = np.clip(np.nan_to_num(rows), -30.0, 30.0)
    most = np.abs(alone @ alone.transpose(0, 2, 1) - held_back(things, changed))
    assert most.max() < 1e-9 * max(1.0, float(size.max()))


def test_lumped_spreads_are_those_of_all_points_written_out(known: Known) -> None:
    found = suspects(HARNESS, case(), known=known)
    table = table_of(HARNESS, found, cells_of(found), "braking")
    mine = lumped(known, "braking")
    written = (mine.things @ table.state.reach_of(mine.points).T).T
    wanted = written @ written.T
    assert mine.squares == pytest.approx(np.diag(wanted), rel=1e-9, abs=1e-12)
    assert mine.with_point(3) == pytest.approx(wanted[3], rel=1e-9, abs=1e-12)
    first, second = np.arange(5), np.arange(5, 10)
    assert mine.of_pairs(first, second) == pytest.approx(wanted[first, second], rel=1e-9, abs=1e-12)
