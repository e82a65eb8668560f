"""What fields of things are called, and which entries of tables have fields of their own."""

from harness_studio.editing.change import field_edit
from harness_studio.editing.fields import fields_of, value_at
from harness_studio.editing.typed import show
from harness_studio.model.entities import Settings
from harness_studio.model.harness import Harness
from harness_studio.model.parts import make_part
from harness_studio.model.values import Limits, Override


def test_a_limit_of_its_own_is_called_by_what_it_limits() -> None:
    limits = Limits(override={"feed_drop_v": Override(0.95, "long loom"), "my_limit": Override(1.0, "test")})
    fields = fields_of(Settings(limits=limits))
    groups = {f.group for f in fields}
    assert "own limit: drop from the battery's post to a load, V" in groups
    assert "own limit my_limit" in groups
    assert ("limits", "override") not in {f.path for f in fields}


def test_each_position_of_a_switch_is_typed_by_itself() -> None:
    harness = Harness()
    harness.parts["S1"] = make_part(
        "S1", "switch", positions={"off": (), "on": (("1", "2"), ("3", "4", "5"))}
    )
    fields = {f.path: f for f in fields_of(harness.parts["S1"])}
    on, off = fields["ratings", "positions", "on"], fields["ratings", "positions", "off"]
    assert (on.title, off.title) == ("position on", "position off")
    assert show(on.form, value_at(harness.parts["S1"], on.path)) == "1 with 2, 3 with 4 with 5"
    field_edit(harness, [("parts", "S1")], off, "1 with 3, 2+4").apply(harness)
    assert harness.parts["S1"].ratings.positions == {
        "off": (("1", "3"), ("2", "4")),
        "on": (("1", "2"), ("3", "4", "5")),
    }
