"""Advice on the sizes of every sample: every wire is answered, what is proposed brings nothing new, no fuse goes alone.

What is to be changed in each was seen first, then judged by hand: the fuse of 30 A on the pickup's work lamp goes back
to what its wire bears, feeds and returns of the first sample's stop lamps are a size too thin, all else may stay.
"""

from pathlib import Path

import pytest

from harness_studio.checks.adviser import chosen
from harness_studio.checks.proposals import new_findings, size
from harness_studio.checks.runner import check, standing
from harness_studio.checks.scope import scope_of
from harness_studio.standards.figures import NotJudged
from harness_studio.storage.project_file import read_project
from tests.conftest import ROOT

PROJECTS = sorted((ROOT / "sample_projects").glob("*.yaml"))
CHANGED = {
    "estuary_pickup": {"F25"},
    "first_harness": {"W10", "W11", "W21", "W27"},
    "track_buggy": set(),
    "trailer_wiring": set(),
}


@pytest.mark.parametrize("path", PROJECTS, ids=lambda path: path.stem)
def test_sizes_of_a_sample(path: Path) -> None:
    harness = read_project(path).harness
    scope = scope_of(harness)
    done = size(scope, chosen(harness))
    assert [row.wire for row in done.proposal.wires] == list(harness.wires)
    for row in done.proposal.wires:
        assert row.problem or (row.smallest and row.why and row.smaller), row
    raised = {f.fuse for f in done.proposal.fuses if (f.proposed_a or 0.0) > (f.present_a or 0.0)}
    changed = {r.wire for r in done.proposal.wires if r.proposed} | {
        f.fuse for f in done.proposal.fuses if f.proposed_a is not None
    }
    assert changed == CHANGED[path.stem]
    if done.proposal.edit is None:
        assert not changed
        return
    after = harness.snapshot()
    done.proposal.edit.apply(after)
    then = scope_of(after)
    assert new_findings(standing(check(scope, fold=False)), standing(check(then, fold=False))) == []
    for fuse in raised:
        for wire in then.protection.relying_on(fuse):
            may = then.least[wire].may
            assert not isinstance(may, NotJudged)
            assert after.parts[fuse].ratings.rated_a <= may.figure.value
