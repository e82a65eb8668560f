"""From sightings to the joint in the window. The truth is a full solution with that joint dialled."""

from threading import Event

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractScrollArea, QLabel

from harness_studio.diagram.tips import place_of_point
from harness_studio.electrics.solve import solve
from harness_studio.model import case_edits
from harness_studio.model.cases import Reading
from harness_studio.model.edits import put
from harness_studio.model.entities import Page
from harness_studio.network.expand import expand
from harness_studio.network.network import Overrides
from harness_studio.session.casework import Progress
from tests.desktop.casebook_hand import LEFT, answered, begin, keep_sighting, push, settle, touch_thing, write
from tests.support.pointing import pixel, press, wheel

TRUTH = ("GP2", 0.120)


def truth_volts(harness, mode, plus, minus):
    found = solve(expand(harness, mode, Overrides().with_joint(*TRUTH)))
    return found.volt(plus) - found.volt(minus)


@pytest.fixture
def page(qtbot, pickup):
    """Return the page of a case that began before anything was recorded at a joint, with two sightings."""
    made = begin(qtbot, pickup, "gauge falls when braking")
    write(qtbot, made.case.seen.date, "2026-01-10")
    press(pickup, Qt.Key.Key_Tab)
    for thing in ("P1", "M2"):
        keep_sighting(qtbot, pickup, made, thing, "down")
    push(qtbot, made.case.seen.sighting.done_button)
    answered(qtbot, pickup)
    return made


def measure(qtbot, window, page, card):
    """Take the reading that a card proposes, on a vehicle with the true fault."""
    proposal = card.proposal
    push(qtbot, card.button)
    form = page.case.readings.form
    assert form.value.hasFocus()
    assert (form.plus.value, form.minus.value, form.mode.value) == (
        proposal.plus, proposal.minus, proposal.mode,
    )  # fmt: skip
    volts = truth_volts(window.session.harness, proposal.mode, proposal.plus, proposal.minus)
    qtbot.keyClicks(form.value, f"{volts:.4f}")
    qtbot.keyClick(form.value, Qt.Key.Key_Return)
    assert page.case.page == "suspects"
    answered(qtbot, window)


def test_the_columns_stand_before_any_number(qtbot, pickup, page):
    columns = page.case.seen.columns
    assert columns.isVisible()
    assert "F1" in columns.feed.text()
    assert columns.about.text().startswith("P1, M2 share")
    columns.returns.linkActivated.emit("GP2")
    assert pickup.session.selection == frozenset({"GP2"})
    assert page.isVisible()


@pytest.fixture
def let(qtbot, pickup, page, monkeypatch):
    """Enter a reading and wait for the suspects; what to read next is held back until this event is set."""
    from harness_studio.casebook import next_reading

    let, really = Event(), next_reading.next_steps

    def slow(*given):
        assert let.wait(30.0)
        return really(*given)

    monkeypatch.setattr(next_reading, "next_steps", slow)
    enter_reading(pickup)
    push(qtbot, page.case.names.buttons["suspects"])
    work = pickup.session.casework
    qtbot.waitUntil(lambda: work.answer.pending and not work.stale, timeout=30_000)
    return let


def test_suspects_are_shown_while_the_next_reading_is_still_worked_out(qtbot, pickup, page, let):
    suspects = page.case.suspects
    assert suspects.list.model().rowCount() >= 3
    assert heading(suspects) == "Measure next: still being worked out"
    assert suspects.cards == []
    assert suspects.stage.isVisible()
    assert suspects.cancel.isVisible()
    suspects.list.setCurrentIndex(suspects.list.model().index(1, 0))
    let.set()
    answered(qtbot, pickup)
    assert heading(suspects) == "Measure next"
    assert suspects.cards
    assert suspects.list.currentIndex().row() == 1
    assert not suspects.stage.isVisible()


def test_stopped_before_the_next_reading_the_suspects_stay(qtbot, pickup, page, let):
    suspects = page.case.suspects
    push(qtbot, suspects.cancel)
    assert suspects.list.model().rowCount() >= 3
    assert heading(suspects) == "Measure next: not worked out"
    assert suspects.stage.text() == "Stopped: the suspects are weighed, the next reading is not worked out."
    let.set()
    push(qtbot, suspects.again)
    answered(qtbot, pickup)
    assert heading(suspects) == "Measure next"
    assert suspects.cards


def enter_reading(window) -> None:
    """Enter a reading that tells little."""
    harness = window.session.harness
    volts = truth_volts(harness, "braking", "GB1.30", "GB1.31")
    reading = Reading(
        "volts", mode="braking", plus="GB1.30", minus="GB1.31", value=volts, symptom_present="yes"
    )
    window.session.apply(case_edits.add_entry(harness, window.session.casework.case_id, "readings", reading))


def heading(suspects) -> str:
    """Return what stands above the readings to take next."""
    return suspects._next_head.text()


def test_proposed_readings_lead_to_the_true_joint(qtbot, pickup, page):
    push(qtbot, page.case.names.buttons["suspects"])
    suspects = page.case.suspects
    assert suspects.list.model().rowCount() >= 3
    assert suspects.verdict.isHidden()
    for _ in range(4):
        if suspects.verdict.isVisible() or not suspects.cards:
            break
        measure(qtbot, pickup, page, suspects.cards[0])
    assert suspects.verdict.text().startswith("One group is clear: GP2. Mend it")
    first = suspects.list.model().index(0, 0)
    assert first.data().startswith("GP2")
    low, high = pickup.session.casework.answer.suspects[0].range_ohm
    recorded = 0.0002  # about a clean stud; the added resistance is what counts
    assert low * 0.7 <= TRUTH[1] - recorded <= high * 1.4
    assert "explains" in suspects.detail.text


def test_suspects_are_marked_on_the_diagram_by_rank_and_a_press_shows_them(qtbot, pickup, page):
    push(qtbot, page.case.names.buttons["suspects"])
    ranks = pickup.diagram.state.ranks
    answer = pickup.session.casework.answer
    assert [r.rank for r in ranks] == list(range(1, len(answer.suspects) + 1))
    assert [r.word for r in ranks] == [s.word for s in answer.suspects]
    listed = page.case.suspects.list
    spot = listed.visualRect(listed.model().index(1, 0)).center()
    qtbot.mouseClick(listed.viewport(), LEFT, pos=spot)
    assert pickup.session.selection
    assert page.isVisible()
    members = " ".join(a for a, _ in answer.suspects[1].members)
    assert all(thing in members for thing in pickup.session.selection)
    pickup.drawer.open("details")
    assert pickup.diagram.state.ranks == ()


def test_a_card_shows_its_tips_under_the_pointer_and_under_the_keys(qtbot, pickup, page):
    push(qtbot, page.case.names.buttons["suspects"])
    card = page.case.suspects.cards[1]
    area = page.case._areas["suspects"]
    settle()
    area.ensureWidgetVisible(card)
    settle()
    QTest.mouseMove(card, QPoint(card.width() // 2, 6))
    qtbot.waitUntil(
        lambda: dict(pickup.diagram.state.tips) == {"+": card.proposal.plus, "−": card.proposal.minus}
    )  # fmt: skip
    QTest.mouseMove(pickup.diagram, QPoint(30, 30))
    qtbot.waitUntil(lambda: pickup.diagram.state.tips == ())
    card.button.setFocus(Qt.FocusReason.TabFocusReason)
    assert dict(pickup.diagram.state.tips) == {"+": card.proposal.plus, "−": card.proposal.minus}
    page.case.suspects.list.setFocus()
    assert pickup.diagram.state.tips == ()


def test_show_where_brings_a_tip_into_view_from_another_page(qtbot, pickup, page):
    session = pickup.session
    session.apply(put("pages", Page("empty", title="Another"), words="a page"))
    pickup.diagram.show_page("empty")
    push(qtbot, page.case.names.buttons["suspects"])
    card = page.case.suspects.cards[0]
    push(qtbot, card.show_button)
    assert pickup.diagram.page_id != "empty"
    tip = next(p for p in (card.proposal.plus, card.proposal.minus) if not p.startswith("GB1"))
    place = place_of_point(pickup.diagram.scene, tip)
    spot = pixel(pickup.diagram, place)
    assert pickup.diagram.rect().contains(spot)
    assert page.isVisible()


def test_expected_values_of_a_card_are_by_rank_and_none_fits_last(qtbot, pickup, page):
    push(qtbot, page.case.names.buttons["suspects"])
    card = page.case.suspects.cards[0]
    names = [name for name, _ in card.cells]
    assert names[0].startswith("if 1 · ")
    owner = card.proposal.plus.rpartition("@")[2].partition(".")[0]
    assert card.on.text().startswith(pickup.session.harness.title_of(owner))
    assert names[-1] == "if none fits"
    clean = solve(expand(pickup.session.harness, card.proposal.mode, clean=True))
    wanted = clean.volt(card.proposal.plus) - clean.volt(card.proposal.minus)
    assert card.proposal.if_none_fits == pytest.approx(wanted, abs=0.02)


def test_per_cent_on_demand(qtbot, pickup, page):
    from harness_studio.desktop.casebook.group_rows import SURE

    push(qtbot, page.case.names.buttons["suspects"])
    suspects = page.case.suspects
    first = suspects.list.model().index(0, 0)
    assert first.data(SURE) in ("likely", "possible", "unlikely")
    suspects.list.setCurrentIndex(suspects.list.model().index(1, 0))
    push(qtbot, suspects.per_cent)
    assert suspects.list.model().index(0, 0).data(SURE).endswith("%")
    assert suspects.list.currentIndex().row() == 1
    assert suspects.none_fits.text().endswith("%")


def test_stop_and_go_on(qtbot, pickup, page):
    push(qtbot, page.case.names.buttons["seen"])
    keep_sighting(qtbot, pickup, page, "E5", "stays")
    push(qtbot, page.case.names.buttons["suspects"])
    suspects = page.case.suspects
    assert suspects.bar.isVisible()
    push(qtbot, suspects.cancel)
    assert suspects.again.isVisible()
    assert suspects.again.hasFocus()
    assert pickup.session.casework.stale
    push(qtbot, suspects.again)
    answered(qtbot, pickup)
    assert not suspects.again.isVisible()
    assert not suspects.bar.isVisible()


def test_an_absent_symptom_and_a_point_that_is_gone_are_told(qtbot, pickup, page):
    push(qtbot, page.case.names.buttons["readings"])
    readings = page.case.readings
    for plus, symptom in (("GP2", "no"), ("GP77", "yes")):
        push(qtbot, readings.add)
        readings.form.plus.set_value(plus)
        readings.form.minus.set_value("GB1.31")
        push(qtbot, readings.form.symptom.buttons[symptom])
        write(qtbot, readings.form.value, "0.2")
        qtbot.keyClick(readings.form.value, Qt.Key.Key_Return)
    answered(qtbot, pickup)
    first, second = (" ".join(t.text() for t in line.findChildren(QLabel)) for line in readings.kept.lines)
    assert "left out: the symptom was absent" in first
    assert "left out: there is no point 'GP77' any more" in second


def test_same_pairs_again_after_the_mend(qtbot, pickup, page):
    harness = pickup.session.harness
    push(qtbot, page.case.names.buttons["readings"])
    form = page.case.readings.form
    push(qtbot, page.case.readings.add)
    form.plus.set_value("GP2")
    form.minus.set_value("GB1.31")
    write(qtbot, form.value, f"{truth_volts(harness, 'braking', 'GP2', 'GB1.31'):.4f}")
    qtbot.keyClick(form.value, Qt.Key.Key_Return)
    answered(qtbot, pickup)
    push(qtbot, page.case.names.buttons["suspects"])
    push(qtbot, page.case.suspects.mend_button)
    mend = page.case.mend
    assert mend.form.on.text() == "GP2"
    qtbot.keyClicks(mend.form.did, "cleaned")
    qtbot.keyClick(mend.form.did, Qt.Key.Key_Return)
    push(qtbot, mend.again)
    assert (form.plus.value, form.minus.value, form.mode.value) == ("GP2", "GB1.31", "braking")
    before = pickup.session.casework.answer
    clean = solve(expand(harness, "braking", clean=True))
    qtbot.keyClicks(form.value, f"{clean.volt('GP2') - clean.volt('GB1.31'):.4f}")
    qtbot.keyClick(form.value, Qt.Key.Key_Return)
    assert page.case.page == "mend"
    assert mend.again.isHidden()
    qtbot.waitUntil(lambda: mend.table.standings == ["as a clean one"], timeout=10_000)
    (pair,) = pickup.session.casework.after.pairs
    assert pair.before_ohm == pytest.approx(TRUTH[1], rel=0.02)
    assert pair.after_ohm == pytest.approx(0.0, abs=0.001)
    assert "too much at GP2, now" in " ".join(label.text() for label in mend.table.findChildren(QLabel))
    assert mend.verdict.text().startswith("Clean after the mend")
    assert [s.said.split(": ")[0][-6:].strip(", ") for s in mend.plot.chart.spots] == ["before", "after"]
    assert pickup.session.casework.answer is before  # what was read after the mend enters no sum
    view = mend.plot.chart.findChild(QAbstractScrollArea).viewport()
    assert not wheel(
        view, QPointF(view.width() / 2, 20), -1
    )  # the wheel over the plot is left to the page around it


def test_two_mends_at_once_are_a_false_lead(qtbot, pickup, page):
    push(qtbot, page.case.names.buttons["mend"])
    mend = page.case.mend
    for did in ("GP2 cleaned", "second ground wire added to the pump"):
        push(qtbot, mend.add)
        qtbot.keyClicks(mend.form.did, did)
        qtbot.keyClick(mend.form.did, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: mend.leads.isVisible(), timeout=10_000)
    assert "masks the joint" in mend.leads.text()
    assert "which one mended it is not known" in mend.leads.text()


def test_another_harness_ends_the_case(qtbot, pickup, page, project):
    assert pickup.files.open(project)
    assert pickup.session.casework.case_id is None
    assert pickup.diagram.state.ranks == ()
    assert page.cases.isVisible()


def test_in_a_window_of_its_own_it_takes_clicks_and_marks_the_diagram(qtbot, pickup, page):
    pickup.drawer.tear_off("casebook")
    assert page.window() is not pickup
    pickup.drawer.open("details")
    assert pickup.diagram.state.ranks
    keep_sighting(qtbot, pickup, page, "E6", "stays")
    (case,) = pickup.session.harness.tables["cases"].values()
    assert case.sightings[-1].on == "E6/stop"
    push(qtbot, page.case.seen.sighting.done_button)
    touch_thing(qtbot, pickup, "M2")  # with no form open the click is the diagram's again
    assert pickup.session.selection == frozenset({"M2"})
    pickup.drawer.tear_off("casebook")
    assert page.window() is pickup


def test_a_provocation_is_proposed_and_entered_where_the_fault_comes_and_goes(qtbot, pickup, page):
    push(qtbot, page.case.names.buttons["seen"])
    keep_sighting(qtbot, pickup, page, "E5", "flickers")
    push(qtbot, page.case.names.buttons["readings"])
    form = page.case.readings.form
    push(qtbot, page.case.readings.add)
    form.plus.set_value("GP2")
    form.minus.set_value("GB1.31")
    push(qtbot, form.symptom.buttons["yes"])
    write(qtbot, form.value, f"{truth_volts(pickup.session.harness, 'braking', 'GP2', 'GB1.31'):.4f}")
    qtbot.keyClick(form.value, Qt.Key.Key_Return)
    answered(qtbot, pickup)
    push(qtbot, page.case.names.buttons["suspects"])
    (card,) = page.case.suspects.provoke_cards
    assert card.words.text().startswith("Wiggle GP2, and watch P1 fuel gauge")
    push(qtbot, card.button)
    entry = page.case.seen.provocation
    assert (entry.means.value, entry.at.value) == ("wiggle", "GP2")
    qtbot.keyClicks(entry.did, "needle jumps")
    qtbot.keyClick(entry.did, Qt.Key.Key_Return)
    (case,) = pickup.session.harness.tables["cases"].values()
    assert case.provocations[0].did == "needle jumps"


def test_a_mode_that_was_renamed_and_readings_that_contradict_are_told_and_kept(qtbot, pickup, page):
    session = pickup.session
    readings = (
        Reading("volts", "gone", "GP2", "GB1.31", value=0.2),
        Reading("volts", "braking", "GP2", "GB1.31", value=0.1, symptom_present="yes"),
        Reading("volts", "braking", "GP2", "GB1.31", value=0.9, symptom_present="yes"),
        Reading("volts", "braking", "GP2", "GB1.31", value=0.2, accuracy=0.0),
    )
    session.apply(case_edits.set_case(session.harness, "case_1", readings=readings))
    push(qtbot, page.case.names.buttons["readings"])
    answered(qtbot, pickup)
    said = " ".join(label.text() for label in page.case.readings.kept.findChildren(QLabel))
    assert "left out: there is no mode 'gone' any more" in said
    assert "left out: no meter has an accuracy of zero" in said
    assert "reading 2 and reading 3 contradict each other" in page.case.readings.notes.text()
    assert len(page.case.readings.kept.lines) == 4
    assert "gone (no such mode any more)" in " ".join(
        label.text() for label in page.case.readings.kept.findChildren(QLabel)
    )


def test_while_it_computes_only_the_casebook_is_told_how_far_it_is(qtbot, pickup, page, monkeypatch):
    told = []
    monkeypatch.setattr(pickup.drawer, "show_session", lambda *_: told.append("drawer"))
    work = pickup.session.casework
    pickup._on_casework(work.answer)
    told.clear()
    for _ in range(5):
        pickup._on_casework(work.answer)  # the same answer: it is only further on
    assert told == []
    pickup._on_casework(None)
    assert told == ["drawer"]
    push(qtbot, page.case.names.buttons["suspects"])
    work.progress = Progress("Which reading tells most", 0.85)
    pickup.session._notices.tell("casework", work.answer)
    assert page.case.suspects.bar.value() == 85
    assert page.case.suspects.stage.text() == "Which reading tells most …"
    work.progress = None
