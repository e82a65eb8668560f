"""The details page as an editor: typed with real keys, refused in one line, one step for each field."""

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from harness_studio.desktop.details.editors import Choice, Line, Ticks
from harness_studio.desktop.window import Window
from harness_studio.model.edits import Put
from harness_studio.model.values import Limits, Override
from tests.support.pointing import click, press

ENTER = Qt.Key.Key_Return


def line(window: Window, *path: str) -> QLineEdit:
    window.drawer.details.show_all_fields(True)
    found = window.drawer.details.row(*path)
    assert isinstance(found, Line)
    return found


def type_into(qtbot: QtBot, window: Window, text: str, *path: str, end: Qt.Key = ENTER) -> None:
    field = line(window, *path)
    field.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(field, Qt.Key.Key_Delete)
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, end)


def test_a_field_is_typed_as_people_write_it_and_is_one_step(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.select({"W40"})
    type_into(qtbot, pickup, "14 AWG", "size")
    type_into(qtbot, pickup, '40"', "length_mm")
    type_into(qtbot, pickup, "brown with white", "colour")
    wire = pickup.session.harness.wires["W40"]
    assert (wire.awg, wire.area_mm2, wire.length_mm, wire.colour) == ("14", None, 1016.0, "BN/WH")
    assert pickup.session.history == ("size of W40: 14 AWG", "length of W40: 1016 mm")
    pickup.session.undo()
    assert pickup.session.harness.wires["W40"].length_mm == 800
    assert line(pickup, "length_mm").text() == "800 mm"


def test_ratings_of_the_kind_are_fields_too(qtbot: QtBot, pickup: Window) -> None:
    click(pickup, "M2")
    type_into(qtbot, pickup, "6,8 A", "ratings", "rated_a")
    assert pickup.session.harness.parts["M2"].ratings.rated_a == 6.8
    pickup.session.select({"E5"})
    type_into(qtbot, pickup, "21 W", "ratings", "elements", "stop", "rated_w")
    assert pickup.session.harness.parts["E5"].ratings.elements["stop"].rated_w == 21


def test_what_is_refused_says_why_in_one_line_and_keeps_the_text(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.select({"W40"})
    type_into(qtbot, pickup, "about so long", "length_mm")
    page = pickup.drawer.details
    assert line(pickup, "length_mm").text() == "about so long"
    assert page.refusal("length_mm") == "'about so long' is not a length: write 420, 42 cm, 1.2 m or 16 in"
    assert pickup.session.history == ()
    pickup.session.select({"M2"})
    pickup.session.select({"W40"})
    assert line(pickup, "length_mm").text() == "about so long"
    assert page.refusal("length_mm")
    field = line(pickup, "length_mm")
    field.setFocus()
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert (field.text(), page.refusal("length_mm")) == ("800 mm", "")


def test_a_point_that_is_not_there_is_refused_beside_the_field(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.select({"W40"})
    type_into(qtbot, pickup, "GP22", "ends", "1")
    assert "'GP22' is not in this harness" in pickup.drawer.details.refusal("ends", "1")
    type_into(qtbot, pickup, "behind the seat", "ends", "1")
    assert pickup.session.harness.wires["W40"].ends[1].what == "words"


def test_the_page_stays_while_somebody_types(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.select({"W40"})
    field = line(pickup, "note")
    field.setFocus()
    qtbot.keyClicks(field, "half a sen")
    pickup.drawer.details.show_session(pickup.session)
    pickup._on_results(None)
    assert field.text() == "half a sen"
    assert field.hasFocus()
    assert pickup.drawer.details.row("note") is field
    qtbot.keyClicks(field, "tence")
    qtbot.keyClick(field, Qt.Key.Key_Tab)
    assert pickup.session.harness.wires["W40"].note == "half a sentence"


def test_as_found_stands_beside_designed_and_goes_when_emptied(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.select({"W40"})
    designed, found = line(pickup, "colour"), line(pickup, "as_found", "colour")
    assert (designed.text(), found.text()) == ("BN/WH", "BK")
    assert abs(designed.mapTo(pickup, designed.rect().center()).y()
               - found.mapTo(pickup, found.rect().center()).y()) <= 2  # fmt: skip
    type_into(qtbot, pickup, "", "as_found", "colour")
    assert pickup.session.harness.wires["W40"].as_found is None
    type_into(qtbot, pickup, "31-7", "as_found", "marked")
    found_now = pickup.session.harness.wires["W40"].as_found
    assert found_now is not None
    assert found_now.marked == "31-7"


def test_several_things_show_what_they_share_and_change_together(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.select({"W26", "W27", "W31"})
    size, colour = line(pickup, "size"), line(pickup, "colour")
    assert (size.text(), size.placeholderText()) == ("", "several")
    assert colour.text() == "BN"
    qtbot.keyClick(size, ENTER)
    assert pickup.session.history == ()
    type_into(qtbot, pickup, "1,5 mm²", "size")
    assert pickup.session.history == ("size of 3 wires: 1.5 mm²",)
    assert {pickup.session.harness.wires[w].area_mm2 for w in ("W26", "W27", "W31")} == {1.5}
    pickup.session.undo()
    assert pickup.session.harness.wires["W26"].area_mm2 == 1.0


def test_status_is_chosen_and_steps_are_ticked_by_keys(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.select({"W22", "W21"})
    pickup.drawer.details.show_all_fields(True)
    status = pickup.drawer.details.row("status")
    assert isinstance(status, Choice)
    status.setFocus()
    qtbot.keyClick(status, Qt.Key.Key_Down)
    qtbot.keyClick(status, Qt.Key.Key_Down)
    assert pickup.session.harness.wires["W22"].status == "measured"
    ticks = pickup.drawer.details.row("done")
    assert isinstance(ticks, Ticks)
    assert ticks.boxes["cut"].checkState() == Qt.CheckState.Checked
    assert ticks.boxes["crimped"].checkState() == Qt.CheckState.PartiallyChecked
    ticks.boxes["pulled"].setFocus()
    qtbot.keyClick(ticks.boxes["pulled"], Qt.Key.Key_Space)
    assert pickup.session.harness.wires["W21"].done == ("cut", "crimped", "pulled")
    assert pickup.session.harness.wires["W22"].done == ("cut", "pulled")
    assert pickup.session.history[-1] == "pulled of 2 wires: yes"


def test_the_chosen_joint_has_its_fields(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.choose("GP2/W40")
    pickup.drawer.open("details")
    type_into(qtbot, pickup, "0,18 ohm", "mohm")
    assert pickup.session.harness.joints["GP2/W40"].mohm == 180
    type_into(qtbot, pickup, "", "mohm")
    assert "GP2/W40" not in pickup.session.harness.joints


def test_nothing_selected_shows_the_harness_itself(qtbot: QtBot, pickup: Window) -> None:
    type_into(qtbot, pickup, "Rear end, second try", "title")
    assert pickup.session.harness.settings.title == "Rear end, second try"
    assert pickup.windowTitle().startswith("Rear end, second try")


def test_every_field_can_be_reached_and_has_a_name(pickup: Window) -> None:
    for thing in ("W40", "M2", "X7", "GP2", "SP3", "shell", "P1"):
        pickup.session.select({thing})
        pickup.drawer.details.show_all_fields(True)
        for form in pickup.drawer.details.forms:
            for row in form.rows.values():
                assert row.field.meaning
                boxes: list[QWidget] = (
                    list(row.editor.boxes.values()) if isinstance(row.editor, Ticks) else [row.editor]
                )
                for box in boxes:
                    assert box.accessibleName()
                    assert box.focusPolicy() & Qt.FocusPolicy.TabFocus


def test_undo_goes_to_the_harness_unless_something_is_being_typed(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.select({"W40"})
    type_into(qtbot, pickup, "900", "length_mm")
    field = line(pickup, "length_mm")
    qtbot.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert pickup.session.harness.wires["W40"].length_mm == 800
    assert field.text() == "800 mm"
    qtbot.keyClicks(field, "x")
    qtbot.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert field.text() == "800 mm"
    assert pickup.session.can_redo


def test_another_kind_keeps_what_both_kinds_have(qtbot: QtBot, pickup: Window) -> None:
    pickup.session.select({"M2"})
    kind = pickup.drawer.details.row("kind")
    assert isinstance(kind, Choice)
    kind.setCurrentIndex(kind.findData("converter"))
    kind.activated.emit(kind.currentIndex())
    part = pickup.session.harness.parts["M2"]
    assert (part.kind, part.ratings.rated_v) == ("converter", 13.5)
    kind = pickup.drawer.details.row("kind")
    assert isinstance(kind, Choice)
    kind.setCurrentIndex(kind.findData("resistor"))
    kind.activated.emit(kind.currentIndex())
    assert "M2 has no terminal '15'" in pickup.drawer.details.refusal("kind")
    assert pickup.session.harness.parts["M2"].kind == "converter"


def test_what_stands_in_fields_of_its_own_is_not_shown_as_the_file_writes_it(pickup: Window) -> None:
    limits = Limits(override={"feed_drop_v": Override(0.95, "nine metres of loom")})
    pickup.session.apply(Put("settings", replace(pickup.session.harness.settings, limits=limits)))
    pickup.session.select(())
    shown = {
        path
        for form in pickup.drawer.details.forms
        for path, row in form.rows.items()
        if row.editor.isVisible()
    }
    assert ("limits", "override", "feed_drop_v", "value") in shown
    assert ("limits", "override") not in shown


def test_an_empty_place_says_how_it_is_written_and_a_joint_has_a_heading(
    qtbot: QtBot, pickup: Window
) -> None:
    pickup.session.choose("GP2")
    pickup.session.select({"GP2"})
    details = pickup.drawer.details
    pickup.drawer.open("details")
    place = details.row("place")
    place.clear()
    qtbot.keyClick(place, Qt.Key.Key_Return)
    assert place.placeholderText() == "body.place, like frame.rear"
    titles = [label.text() for form in details.forms for label in form.findChildren(QLabel)]
    assert titles.count("the joint itself") == 1


def test_a_key_leads_to_the_fields_of_what_is_selected_from_any_page(pickup: Window) -> None:
    pickup.drawer.open("lists")
    click(pickup, "M2")
    assert not pickup.drawer.details.isVisible()
    press(pickup, Qt.Key.Key_Return, Qt.KeyboardModifier.AltModifier)
    assert pickup.drawer.details.isVisible()
    assert pickup.drawer.details.heading.toPlainText().startswith("M2")
    assert pickup.drawer.details.row("kind").hasFocus()
