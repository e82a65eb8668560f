"""Metal of a body is a suspect like a joint; a contact that was measured may have changed since."""

import numpy as np
import pytest

from harness_studio.casebook.known import Known
from harness_studio.casebook.spread import CONTACT
from harness_studio.casebook.suspects import suspects
from harness_studio.electrics.solve import solve
from harness_studio.model.cases import Case
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from tests.support.builders import shared_stud
from tests.support.worked_cases import read_off


def test_a_body_whose_metal_is_bad_is_named() -> None:
    """Volts from the stud to its place and from both places to the post tell studs from the metal between them."""
    harness = shared_stud(3)
    bad = solve(expand(harness, None, Overrides().with_joint("shell.rear", 0.3)))
    pairs = (
        ("GP1", "shell.rear"),
        *((place, "GB1.31") for place in ("shell.rear", "shell.front", "shell.own1")),
    )
    taken = read_off(bad, *pairs)
    found = suspects(harness, Case("c", readings=taken))
    first = found.ranked()[0]
    assert found.groups[first].members == ("shell.rear",)
    assert found.probability[first] > 0.9
    assert found.fine_ohm[int(found.weight[first].argmax())] == pytest.approx(0.3, rel=0.2)


def test_a_measured_contact_spreads_as_others_about_what_was_measured() -> None:
    harness = shared_stud(3, mohm=45.0)
    known = Known(harness)
    network, what = known.state(None).network, known.spread(None)
    stud, other = network.joints["GP1"], network.joints["GP0"]
    assert what.deviation[[stud, other]] == pytest.approx(np.full(2, CONTACT))
    assert network.branches.resistance_ohm[stud] == pytest.approx(0.045)
