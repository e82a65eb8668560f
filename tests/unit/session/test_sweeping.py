"""A whole sweep beside the window: progress, stopping, and what is overtaken."""

from harness_studio.session.progress import Progress
from harness_studio.session.scheduler import Synchronous
from harness_studio.session.session import Session
from harness_studio.session.sweeping import Sweeping
from tests.support.vehicle import vehicle
from tests.unit.session.fakes import Clock


def test_it_tells_how_far_it_is_and_what_it_found() -> None:
    session = Session.of(vehicle(1, 20), Synchronous())
    session.set_mode("running_lamps")
    scheduler = Clock()
    told: list[Progress | None] = []
    sweeping = Sweeping(scheduler, lambda: told.append(sweeping.progress))
    sweeping.start(session, [0.05, 0.2])
    assert told[0] is not None
    assert told[0].part == 0.0
    scheduler.finish_one()
    assert sweeping.progress is None
    assert sweeping.found is not None
    assert sweeping.found.rows
    assert {row.added_ohm for row in sweeping.found.rows} == {0.05, 0.2}
    assert told[-1] is None


def test_what_was_stopped_or_overtaken_is_not_told() -> None:
    session = Session.of(vehicle(1, 20), Synchronous())
    session.set_mode("running_lamps")
    scheduler = Clock()
    sweeping = Sweeping(scheduler, lambda: None)
    sweeping.start(session, [0.05])
    sweeping.stop()
    scheduler.finish_one()
    assert sweeping.found is None
    sweeping.start(session, [0.05])
    sweeping.start(session, [0.2])
    scheduler.finish_one()
    scheduler.finish_one()
    assert sweeping.found is not None
    assert sweeping.found.added_ohm == (0.2,)
