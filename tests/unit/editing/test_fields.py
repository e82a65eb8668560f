"""What fields of things are called."""

from harness_studio.editing.fields import fields_of
from harness_studio.model.entities import Settings
from harness_studio.model.values import Limits, Override


def test_a_limit_of_its_own_is_called_by_what_it_limits() -> None:
    limits = Limits(override={"feed_drop_v": Override(0.95, "long loom"), "my_limit": Override(1.0, "test")})
    groups = {f.group for f in fields_of(Settings(limits=limits))}
    assert "own limit: drop from the battery's post to a load" in groups
    assert "own limit my_limit" in groups
