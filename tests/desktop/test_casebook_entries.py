"""Everything a case holds is entered by mouse and keys, is one undoable step, and comes back from the file."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QLabel,
    QLineEdit,
    QListView,
    QPushButton,
    QSpinBox,
    QWidget,
)

from harness_studio.model.cases import Mend, Provocation, Reading, Sighting
from harness_studio.model.edits import change
from harness_studio.storage.project_file import read_project
from tests.desktop.casebook_hand import (
    begin,
    keep_sighting,
    page_of,
    push,
    tick,
    touch_point,
    touch_thing,
    write,
)
from tests.support.pointing import press


def only_case(window):
    (case,) = window.session.harness.tables["cases"].values()
    return case


@pytest.fixture
def page(qtbot, pickup):
    return begin(qtbot, pickup, "gauge falls when braking")


def test_a_new_case_is_typed_and_undone_step_by_step(qtbot, pickup, page):
    seen = page.case.seen
    assert only_case(pickup).complaint == "gauge falls when braking"
    write(qtbot, seen.state, "warm, tank half full")
    press(pickup, Qt.Key.Key_Tab)
    write(qtbot, seen.date, "2026-03-02")
    press(pickup, Qt.Key.Key_Tab)
    write(qtbot, seen.odometer, "82 610 km")
    press(pickup, Qt.Key.Key_Tab)
    case = only_case(pickup)
    assert (case.state, case.date, case.odometer_km) == ("warm, tank half full", "2026-03-02", 82610.0)
    for _ in range(3):
        press(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert only_case(pickup).state is None
    assert only_case(pickup).complaint == "gauge falls when braking"


def test_a_day_that_is_none_is_told_in_one_line(qtbot, pickup, page):
    write(qtbot, page.case.seen.date, "yesterday")
    press(pickup, Qt.Key.Key_Tab)
    assert "'yesterday' is not a day" in pickup.bar.text
    assert only_case(pickup).date != "yesterday"


def test_a_sighting_is_a_click_a_word_and_keep(qtbot, pickup, page):
    keep_sighting(qtbot, pickup, page, "P1", "down")
    assert only_case(pickup).sightings == (Sighting("P1", "down", None, "braking"),)
    assert pickup.session.history[-1] == "keep a sighting in case_1"
    form = page.case.seen.sighting
    assert form.isVisible()  # ready for the next one
    touch_thing(qtbot, pickup, "M2")
    push(qtbot, form.seen.buttons["to an end"])
    form.before.setCurrentText("Key on, pump at rest")
    push(qtbot, form.strength.buttons["strong"])
    form.times.setValue(3)
    form.of.setValue(4)
    qtbot.keyClicks(form.note, "loud")
    qtbot.keyClick(form.note, Qt.Key.Key_Return)
    assert only_case(pickup).sightings[1] == Sighting(
        "M2", "to an end", "key_on", "braking", "strong", (3, 4), "loud"
    )
    assert page.case.seen.sightings.lines[1].isVisible()


def test_a_sighting_by_keyboard_alone(qtbot, pickup, page):
    seen = page.case.seen
    seen._add_sighting.setFocus()
    press(pickup, Qt.Key.Key_Space)
    line = seen.sighting.thing.lineEdit()
    assert line.hasFocus()
    qtbot.keyClicks(line, "E5")
    completer = seen.sighting.thing.completer()
    assert completer.popup().isVisible()
    assert completer.currentCompletion().startswith("E5 rear lamp left")
    qtbot.keyClick(completer.popup(), Qt.Key.Key_Down)
    qtbot.keyClick(completer.popup(), Qt.Key.Key_Return)
    assert seen.sighting.thing.value == "E5/stop"
    press(pickup, Qt.Key.Key_Tab)
    assert seen.sighting.seen.buttons["up"].hasFocus()
    press(pickup, Qt.Key.Key_Right)  # arrows within the words
    press(pickup, Qt.Key.Key_Space)
    assert seen.sighting.seen.value == "down"
    press(pickup, Qt.Key.Key_Return)
    assert only_case(pickup).sightings == (Sighting("E5/stop", "down", None, "braking"),)
    press(pickup, Qt.Key.Key_Escape)
    assert seen.sighting.isHidden()
    assert seen._add_sighting.hasFocus()


def test_what_is_missing_is_told_in_the_form_and_nothing_kept(qtbot, pickup, page):
    form = page.case.seen.sighting
    push(qtbot, page.case.seen._add_sighting)
    push(qtbot, form.keep_button)
    assert "click the thing" in form.complaint.text()
    touch_thing(qtbot, pickup, "GB1")
    assert "nothing that a person could see" in form.complaint.text()
    touch_thing(qtbot, pickup, "P1")
    push(qtbot, form.keep_button)
    assert "press what P1 did" in form.complaint.text()
    assert only_case(pickup).sightings == ()
    assert pickup.session.selection == frozenset()  # the clicks were the form's


def test_a_thing_is_typed_by_its_title_and_told_where_several_have_it(qtbot, pickup, page):
    form = page.case.seen.sighting
    push(qtbot, page.case.seen._add_sighting)
    push(qtbot, form.seen.buttons["down"])
    write(qtbot, form.thing.lineEdit(), "rear lamp")
    push(qtbot, form.keep_button)
    assert form.complaint.text().startswith("'rear lamp' may be E5 rear lamp left")
    assert form.complaint.visibleRegion().boundingRect().height() == form.complaint.height()
    write(qtbot, form.thing.lineEdit(), "fuel gauge")
    push(qtbot, form.keep_button)
    assert [s.on for s in only_case(pickup).sightings] == ["P1"]


def test_a_thing_that_is_found_by_its_name_is_taken_by_the_form(qtbot, pickup, page):
    form = page.case.seen.sighting
    push(qtbot, page.case.seen._add_sighting)
    press(pickup, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(pickup.search.line, "P1")
    qtbot.keyClick(pickup.search.line, Qt.Key.Key_Return)
    assert form.isVisible()
    assert form.thing.value == "P1"


def test_a_line_is_changed_and_taken_out(qtbot, pickup, page):
    seen = page.case.seen
    keep_sighting(qtbot, pickup, page, "P1", "down")
    push(qtbot, seen.sighting.done_button)
    change, out = seen.sightings.lines[0].findChildren(type(seen._add_sighting))
    push(qtbot, change)
    assert seen.sighting.thing.value == "P1"
    push(qtbot, seen.sighting.seen.buttons["flickers"])
    push(qtbot, seen.sighting.keep_button)
    assert only_case(pickup).sightings == (Sighting("P1", "flickers", None, "braking"),)
    assert seen.sighting.isHidden()
    change, out = seen.sightings.lines[0].findChildren(type(seen._add_sighting))
    push(qtbot, out)
    assert only_case(pickup).sightings == ()
    press(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert len(only_case(pickup).sightings) == 1


def test_a_provocation_and_what_is_known_of_joints(qtbot, pickup, page):
    seen = page.case.seen
    push(qtbot, seen._add_provocation)
    push(qtbot, seen.provocation.means.buttons["wiggle"])
    touch_thing(qtbot, pickup, "GP2")
    assert seen.provocation.at.value == "GP2"
    write(qtbot, seen.provocation.did, "needle jumps")
    qtbot.keyClick(seen.provocation.did, Qt.Key.Key_Return)
    assert only_case(pickup).provocations == (Provocation("wiggle", "GP2", None, "needle jumps"),)
    for fact, what in (("disturbed", "GP2"), ("found_good", "GP1")):
        push(qtbot, seen.add_fact)
        touch_thing(qtbot, pickup, what)
        push(qtbot, seen.fact.buttons[fact])
    assert (only_case(pickup).disturbed, only_case(pickup).found_good) == (("GP2",), ("GP1",))
    push(qtbot, seen.add_fact)
    touch_thing(qtbot, pickup, "GP2")
    push(qtbot, seen.fact.buttons["previous owner"])
    assert pickup.session.harness.joints["GP2"].made_by == "previous owner"
    assert pickup.session.harness.joints["GP2"].mohm == 45  # what else is recorded stays
    titles = [line.findChildren(QLabel)[0].text() for line in seen.facts.lines]
    assert titles == ["GP2: disturbed lately", "GP1: found good", "GP2: made by previous owner"]
    push(qtbot, seen.facts.lines[2].findChildren(QPushButton)[0])
    assert pickup.session.harness.joints["GP2"].made_by is None


def test_a_reading_is_two_clicks_a_number_and_enter(qtbot, pickup, page):
    case = page.case
    push(qtbot, case.names.buttons["readings"])
    push(qtbot, case.readings.add)
    form = case.readings.form
    touch_point(qtbot, pickup, "GP2")
    assert dict(pickup.diagram.state.tips) == {"+": form.plus.value}
    touch_point(qtbot, pickup, "GP1")
    assert dict(pickup.diagram.state.tips) == {"+": form.plus.value, "−": form.minus.value}
    assert form.value.hasFocus()
    qtbot.keyClicks(form.value, "180 mV")
    push(qtbot, form.symptom.buttons["yes"])
    tick(qtbot, form.current)
    write(qtbot, form.date, "2026-03-02")
    qtbot.keyClick(form.date, Qt.Key.Key_Return)
    (reading,) = only_case(pickup).readings
    assert reading == Reading(
        "volts", "braking", reading.plus, reading.minus, value=0.18, current_confirmed=True,
        symptom_present="yes", date="2026-03-02",
    )  # fmt: skip
    assert reading.plus in ("GP2", "W31@GP2")
    assert pickup.diagram.state.tips == ()


def test_least_and_greatest_amperes_and_a_fuse(qtbot, pickup, page):
    case = page.case
    push(qtbot, case.names.buttons["readings"])
    form = case.readings.form
    push(qtbot, case.readings.add)
    push(qtbot, form.kind.buttons["amperes"])
    form.at.set_value("W24")
    tick(qtbot, form.range)
    qtbot.keyClicks(form.least, "5,5")
    qtbot.keyClicks(form.greatest, "7 A")
    qtbot.keyClicks(form.over, "10")
    write(qtbot, form.accuracy, "100 mA")
    qtbot.keyClick(form.accuracy, Qt.Key.Key_Return)
    first = only_case(pickup).readings[0]
    assert (first.kind, first.at, first.plus, first.value) == ("amperes", "W24", None, None)
    assert (first.least, first.greatest, first.over_s, first.accuracy) == (5.5, 7.0, 10.0, 0.1)
    push(qtbot, case.readings.add)
    push(qtbot, form.kind.buttons["fuse_mv"])
    touch_thing(qtbot, pickup, "F4")
    write(qtbot, form.value, "6")
    qtbot.keyClick(form.value, Qt.Key.Key_Return)
    second = only_case(pickup).readings[1]
    assert (second.kind, second.at, second.value) == ("fuse_mv", "F4", 6.0)


def test_a_reading_without_its_value_is_kept_for_later_and_a_wrong_one_is_told(qtbot, pickup, page):
    case = page.case
    push(qtbot, case.names.buttons["readings"])
    push(qtbot, case.readings.add)
    form = case.readings.form
    write(qtbot, form.value, "12 W")
    push(qtbot, form.keep_button)
    assert "'12 W' is not in V" in form.complaint.text()
    assert only_case(pickup).readings == ()
    write(qtbot, form.value, " ")
    push(qtbot, form.keep_button)
    assert only_case(pickup).readings[0].value is None
    assert case.readings.kept.lines[0].isVisible()


def test_a_mend_back_and_closed(qtbot, pickup, page):
    case = page.case
    push(qtbot, case.names.buttons["mend"])
    push(qtbot, case.mend.add)
    qtbot.keyClicks(case.mend.form.did, "stud cleaned to bright metal")
    touch_thing(qtbot, pickup, "GP2")
    write(qtbot, case.mend.form.date, "2026-03-03")
    qtbot.keyClick(case.mend.form.date, Qt.Key.Key_Return)
    assert only_case(pickup).mends == (Mend("stud cleaned to bright metal", ("GP2",), "2026-03-03", "us"),)
    push(qtbot, case.mend.back.buttons["yes"])
    tick(qtbot, case.mend.closed)
    assert only_case(pickup).fault_made_to_come_back is True
    assert only_case(pickup).closed
    push(qtbot, case.back)
    assert "closed" in page.cases.list.model().index(0, 0).data(Qt.ItemDataRole.AccessibleTextRole)


def test_the_file_keeps_it_all(qtbot, pickup, page, project):
    keep_sighting(qtbot, pickup, page, "P1", "glows when off")
    press(pickup, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    assert read_project(project).harness.tables["cases"]["case_1"] == only_case(pickup)


def test_a_case_that_is_undone_while_open_leaves_the_list(qtbot, pickup, page):
    for _ in range(2):
        press(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert pickup.session.harness.tables["cases"] == {}
    assert page.cases.isVisible()
    assert pickup.session.casework.case_id is None


def test_clicks_on_the_diagram_leave_an_open_case_open(qtbot, pickup, page):
    touch_thing(qtbot, pickup, "P1")
    assert pickup.session.selection == frozenset({"P1"})
    assert page_of(pickup).isVisible()
    push(qtbot, page.case.back)
    touch_thing(qtbot, pickup, "M2")
    assert not page.isVisible()  # with no case open the page of details comes


def test_a_pair_of_the_meter_is_kept_in_the_open_case(qtbot, pickup, page):
    pickup.drawer.open("meter")
    meter = pickup.drawer.meter
    assert not meter.keep.isEnabled()
    touch_point(qtbot, pickup, "GP2")
    touch_point(qtbot, pickup, "GP1")
    push(qtbot, meter.keep)
    form = page.case.readings.form
    assert form.isVisible()
    assert form.value.hasFocus()
    assert (form.plus.value, form.minus.value) == tuple(meter.fields[s].text() for s in "+−")
    qtbot.keyClicks(form.value, "0.2")
    qtbot.keyClick(form.value, Qt.Key.Key_Return)
    assert only_case(pickup).readings[0].value == 0.2
    assert only_case(pickup).readings[0].mode == "braking"


def test_what_would_prove_a_joint_waits_for_the_case_it_belongs_to(qtbot, pickup, page):
    push(qtbot, page.case.back)
    pickup.drawer.open("ground_map")
    touch_thing(qtbot, pickup, "GP2")
    push(qtbot, pickup.drawer.ground_map.proof.keep)
    assert page.isVisible()
    assert page.cases.pending.text() == "Open the case that GP2 to GB1.31 belongs to."
    row = page.cases.list.visualRect(page.cases.list.model().index(0, 0)).center()
    qtbot.mouseClick(page.cases.list.viewport(), Qt.MouseButton.LeftButton, pos=row)
    form = page.case.readings.form
    assert (form.plus.value, form.minus.value) == ("GP2", "GB1.31")
    assert "clean, limit" in form.note.text()


def test_a_case_is_taken_out_and_comes_back_by_undo(qtbot, pickup, page):
    write(qtbot, page.case.seen.note, "waits for the stud")
    press(pickup, Qt.Key.Key_Tab)
    assert only_case(pickup).note == "waits for the stud"
    push(qtbot, page.case.seen.remove)
    assert pickup.session.harness.tables["cases"] == {}
    assert page.cases.isVisible()
    pickup.diagram.setFocus()
    press(pickup, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert only_case(pickup).note == "waits for the stud"


@pytest.mark.parametrize("name", ["seen", "suspects", "readings", "mend"])
def test_everything_has_a_name_and_the_tab_key_reaches_it(qtbot, pickup, page, name):
    case = page.case
    push(qtbot, case.names.buttons[name])
    for start in (case.seen._add_sighting, case.seen._add_provocation, case.readings.add, case.mend.add):
        if start.isVisible():
            push(qtbot, start)
    kinds = (QAbstractButton, QComboBox, QLineEdit, QListView, QSpinBox)
    shown = [
        w for w in case.findChildren(QWidget) if isinstance(w, kinds) and w.isVisible() and w.isEnabled()
    ]
    assert len(shown) > 4
    for widget in shown:
        if widget.objectName() == "qt_spinbox_lineedit":
            continue
        said = widget.accessibleName() or (widget.text() if isinstance(widget, QAbstractButton) else "")
        assert said, f"a {type(widget).__name__} without a name"
    wanted = {w for w in shown if w.focusPolicy() & Qt.FocusPolicy.TabFocus and w.focusProxy() is None}
    reached = set()
    case.back.setFocus()
    for _ in range(120):
        press(pickup, Qt.Key.Key_Tab)
        held = pickup.focusWidget()
        reached.add(held)
        if held is case.back:
            break
    missed = [w.accessibleName() or w.objectName() for w in wanted - reached if not isinstance(w, QSpinBox)]
    assert missed == []


def test_a_long_complaint_is_read_whole_and_its_line_breaks_stay(qtbot, pickup, page):
    complaint, state = page.case.seen.complaint, page.case.seen.state
    short = complaint.height()
    write(
        qtbot,
        complaint,
        "with the trailer on the gauge falls whenever the brakes are on, and comes back after it",
    )
    assert complaint.height() > short
    assert complaint.verticalScrollBar().maximum() == 0
    press(pickup, Qt.Key.Key_Return)
    assert only_case(pickup).complaint.endswith("comes back after it")
    pickup.diagram.setFocus()
    steps = len(pickup.session.history)
    pickup.session.apply(
        change(pickup.session.harness, "cases", only_case(pickup).id, state="warm\nhalf full")
    )
    assert state.text() == "warm\nhalf full"
    state.setFocus()
    pickup.diagram.setFocus()
    assert only_case(pickup).state == "warm\nhalf full"
    assert len(pickup.session.history) == steps + 1
