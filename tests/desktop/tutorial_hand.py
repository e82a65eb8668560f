"""The hand that walks the tutorial through a window: each step with the mouse and the keys that its chapter names."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QTextCursor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from harness_studio.desktop.finder import Finder
from harness_studio.desktop.findings.page import FindingsPage
from harness_studio.desktop.lists.page import ListsPage
from harness_studio.desktop.printing.page import SheetsPage
from harness_studio.desktop.window import Window
from tests.desktop.casebook_hand import (
    answered,
    page_of,
    push,
    tick,
    touch_point,
    touch_thing,
    write,
)  # fmt: skip
from tests.desktop.conftest import Answers
from tests.desktop.lists_hand import click_cell, opened, typed
from tests.support.drawing_hands import point, pull, put, take
from tests.support.pointing import click, press

CONTROL, SHIFT, ALT = (
    Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.AltModifier,
)  # fmt: skip
LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
LONG_MS = 60_000

PARTS = (
    ("battery, 60", -60, 0), ("fuse, 10", -14, -30), ("switch, on", 30, -30), ("fuel gauge", 30, 24),
    ("in-line 1 x 2", 80, 6), ("lamp, 21", 120, -40), ("lamp, 21", 156, -40), ("tank sender", 130, 24),
    ("shell", 120, 80), ("ground m8", 96, 80), ("ground m6", 144, 80),
)  # fmt: skip
"""What is typed into the stock, and where it is put, in mm."""
WIRES = (
    ("GB1.30", "F1.in"), ("F1.out", "S1.1"), ("S1.2", "X1.1"), ("X2.1", "E1.1"), ("E2.1", "E1.1"),
    ("F1.out", "P1.15"), ("P1.S", "X1.2"), ("X2.2", "B1.1"), ("E1.31", "GP2"), ("E2.31", "GP2"),
    ("B1.31", "GP2"), ("P1.31", "GP1"), ("GB1.31", "GP1"),
)  # fmt: skip
"""From where to where a wire is dragged."""
NAMES = ("battery", "lamps and gauge", "work lamps", "fuel gauge", "lamp left", "lamp right", "tank sender")
CIRCUITS = ("Fuel gauge", "Work lamps", "Work lamps", "Fuel gauge")
"""From P1 on."""
GROUNDS = ("under the dash", "rear left corner")
COLOURS = ("RD", "RD", "YE", "YE", "YE", "RD", "VT", "VT", "BN", "BN", "BN", "BN", "BK")
LENGTHS_MM = (400, 1200, 900, 2400, 1300, 1200, 800, 2000, 500, 900, 600, 700, 500)

BARE_METAL = ("shell.gp2", "GB1.31")
"""The tips of the reading beside the rear stud, as the chapter tells it."""


@dataclass
class Walk:
    """A window that is walked through, what the user answers, and the folder for the user's files."""

    qtbot: QtBot
    window: Window
    answers: Answers
    home: Path

    def key(self, key: Qt.Key, modifiers: Qt.KeyboardModifier = NONE) -> None:
        """Press a key on whatever has the keys."""
        press(self.window, key, modifiers)

    def solved(self) -> None:
        """Wait until the results are those of the harness as it is."""
        session = self.window.session
        self.qtbot.waitUntil(
            lambda: session.solution is not None and not session.computed.stale, timeout=LONG_MS
        )


# 1 to 3: parts, wires, names ---------------------------------------------------------------------------------------


def put_parts(walk: Walk) -> None:
    """A new harness; everything is taken from the stock and put on the paper."""
    walk.qtbot.mouseClick(walk.window.start_page.buttons["new"], LEFT)
    for _ in range(4):
        QTest.keyClick(walk.window.diagram, Qt.Key.Key_Minus, CONTROL)
    for words, x_mm, y_mm in PARTS:
        take(walk.window, words)
        put(walk.window, x_mm, y_mm)
    walk.key(Qt.Key.Key_Escape)
    walk.answers.save = walk.home / "mine.yaml"
    walk.key(Qt.Key.Key_S, CONTROL)


def lay_wires(walk: Walk) -> None:
    """Each wire is dragged from point to point."""
    for start, end in WIRES:
        pull(walk.window, point(walk.window, start), point(walk.window, end))
    walk.key(Qt.Key.Key_S, CONTROL)


def name_things(walk: Walk) -> None:
    """Titles, colours, sizes and lengths are typed down the columns of the lists; the harness gets its name."""
    window = walk.window
    walk.key(Qt.Key.Key_Period, CONTROL)
    push(walk.qtbot, window.drawer.tabs.groups["Read"])
    title = window.drawer.details.row("title")
    assert isinstance(title, QLineEdit)
    write(walk.qtbot, title, "Ferry van")
    walk.qtbot.keyClick(title, Qt.Key.Key_Return)
    page = opened(window)
    column = page.things.rows.ids
    _type_down(page, column, "colour", COLOURS)
    _type_down(page, column, "length", [f"{length} mm" for length in LENGTHS_MM])
    click_cell(page, "W1", "size")
    walk.key(Qt.Key.Key_A, CONTROL)
    typed(page, "1 mm²", modifiers=CONTROL)
    _type_down(page, ["W1"], "size", ["2.5 mm²"])
    _type_down(page, ["W13"], "size", ["10 mm²"])
    push(walk.qtbot, page.kinds["parts"])
    _type_down(page, page.things.rows.ids, "title", NAMES)
    _type_down(page, ["P1"], "circuit", CIRCUITS)
    push(walk.qtbot, page.kinds["grounds"])
    _type_down(page, page.things.rows.ids, "title", GROUNDS)
    walk.key(Qt.Key.Key_S, CONTROL)


def _type_down(page: ListsPage, rows: Sequence[str], column: str, texts: Sequence[str]) -> None:
    """Click the first cell, then type: Enter goes on to the row below."""
    click_cell(page, rows[0], column)
    for text in texts:
        typed(page, text)


# 4: modes and checks -----------------------------------------------------------------------------------------------


def keep_modes(walk: Walk) -> None:
    """Lamps on and lamps off, with the tank half full, are kept as modes."""
    strip = walk.window.strip
    push(walk.qtbot, strip.button("switch", "S1", "on"))
    push(walk.qtbot, strip.button("sender", "B1", "half"))
    _name_mode(walk, "Lamps on")
    push(walk.qtbot, strip.button("switch", "S1", "off"))
    _name_mode(walk, "Lamps off")
    push(walk.qtbot, strip.buttons["lamps_on"])
    walk.solved()


def _name_mode(walk: Walk, name: str) -> None:
    walk.key(Qt.Key.Key_K)
    finder = next(f for f in walk.window.stack.findChildren(Finder) if f.isVisible())
    walk.qtbot.keyClicks(finder.line, name)
    walk.qtbot.keyClick(finder.line, Qt.Key.Key_Return)


def findings(walk: Walk) -> set[str]:
    """Open the findings, wait until they are those of the harness as it is, and return their keys with the grade."""
    walk.key(Qt.Key.Key_F, CONTROL | SHIFT)
    body = _findings(walk.window).body
    walk.qtbot.waitUntil(lambda: bool(body.list.rows), timeout=LONG_MS)
    walk.qtbot.waitUntil(
        lambda: not body.said.text().endswith("…") and "checking" not in walk.window.foot.findings.text(),
        timeout=LONG_MS,
    )
    return {f"{row.kind} {row.finding.key}" for row in body.list.rows if row.finding is not None}


def _findings(window: Window) -> FindingsPage:
    page = window.drawer.findChild(FindingsPage)
    assert isinstance(page, FindingsPage)
    return page


def mend_findings(walk: Walk) -> None:
    """The insulation is told, the battery's lead made shorter, and the rest accepted with a reason."""
    window = walk.window
    page = opened(window)
    push(walk.qtbot, page.kinds["wires"])
    click_cell(page, "W1", "insulation")
    walk.key(Qt.Key.Key_A, CONTROL)
    typed(page, "TXL", modifiers=CONTROL)
    _type_down(page, ["W1"], "length", ["250 mm"])
    findings(walk)
    body = _findings(window).body
    index = body.list.index_of("mixed_returns/GP2")
    body.list.scrollTo(index)
    walk.qtbot.mouseClick(body.list.viewport(), LEFT, pos=body.list.visualRect(index).center())
    write(walk.qtbot, body.card.reason, "as it was found; to be parted later")
    walk.qtbot.keyClick(body.card.reason, Qt.Key.Key_Return)
    walk.key(Qt.Key.Key_S, CONTROL)


# 5 and 6: a click on the ground, a pinout --------------------------------------------------------------------------


def choose_ground(walk: Walk) -> None:
    """The rear stud is clicked: who shares it."""
    walk.key(Qt.Key.Key_Period, CONTROL)
    click(walk.window, "GP2")
    walk.solved()


def dial_ground(walk: Walk, milliohms: str) -> None:
    """The dial is called by its key, and milliohms are typed."""
    walk.key(Qt.Key.Key_D)
    dial = walk.window.diagram.dial
    for letter in milliohms:
        walk.qtbot.keyClicks(QApplication.focusWidget(), letter)
    walk.qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    walk.qtbot.waitUntil(
        lambda: dial._wanted is None and not walk.window.session.computed.stale, timeout=LONG_MS
    )


def print_pinout(walk: Walk) -> Path:
    """Only the pinouts are ticked and written to a file."""
    walk.key(Qt.Key.Key_P, CONTROL)
    page = walk.window.findChild(SheetsPage)
    assert isinstance(page, SheetsPage)
    push(walk.qtbot, page.none)
    rows = [page.list.item(r).data(Qt.ItemDataRole.UserRole) for r in range(page.list.count())]
    item = page.list.item(rows.index("pinout"))
    page.list.scrollToItem(item)
    page.list.setCurrentItem(item)
    page.list.setFocus()
    walk.key(Qt.Key.Key_Space)
    walk.answers.save = walk.home / "pinout.pdf"
    walk.key(Qt.Key.Key_P, CONTROL | ALT)
    walk.qtbot.waitUntil(
        lambda: page.buttons["file"].isEnabled() and "written" in page.said.text(), timeout=LONG_MS
    )
    return walk.answers.save


# 7 to 9: a case ----------------------------------------------------------------------------------------------------


def follow_link(walk: Walk, target: str) -> None:
    """Click a link of the guide's chapter that is open."""
    from harness_studio.desktop.guide.reader import Reader

    reader = walk.window.findChild(Reader)
    assert isinstance(reader, Reader)
    block = reader.text.document().begin()
    while block.isValid():
        for piece in block:
            if piece.fragment().charFormat().anchorHref() == target:
                cursor = QTextCursor(reader.text.document())
                cursor.setPosition(piece.fragment().position() + 1)
                reader.text.setTextCursor(cursor)
                reader.text.ensureCursorVisible()
                walk.qtbot.mouseClick(reader.text.viewport(), LEFT, pos=reader.text.cursorRect().center())
                return
        block = block.next()
    raise AssertionError(f"{target} is no link of the chapter")


def write_sightings(walk: Walk, look: Callable[[], None]) -> None:
    """The case is opened, and what was seen is clicked and pressed."""
    walk.key(Qt.Key.Key_C)
    page = page_of(walk.window)
    row = page.cases.list.visualRect(page.cases.list.model().index(0, 0)).center()
    walk.qtbot.mouseClick(page.cases.list.viewport(), LEFT, pos=row)
    look()
    for thing in ("E1", "E2", "P1"):
        form = page.case.seen.sighting
        if form.isHidden():
            push(walk.qtbot, page.case.seen._add_sighting)
        touch_thing(walk.qtbot, walk.window, thing)
        look()
        push(walk.qtbot, form.seen.buttons["down"])
        if thing == "P1":
            form.before.setFocus()
            walk.qtbot.keyClick(form.before, Qt.Key.Key_End)
            assert form.before.currentText() == "Lamps off"
        push(walk.qtbot, form.keep_button)
    push(walk.qtbot, page.case.seen.sighting.done_button)
    answered(walk.qtbot, walk.window)


def first_reading(walk: Walk, volts: str, look: Callable[[], None]) -> list[tuple[str, str]]:
    """The proposed reading of the bare metal is taken; return the tips of all that were proposed, plus and minus."""
    page = page_of(walk.window)
    push(walk.qtbot, page.case.names.buttons["suspects"])
    look()
    cards = page.case.suspects.cards
    proposed = [(c.proposal.plus, c.proposal.minus) for c in cards]
    card = cards[proposed.index(BARE_METAL)]
    push(walk.qtbot, card.button)
    form = page.case.readings.form
    assert (form.plus.value, form.minus.value) == BARE_METAL  # the card's tips came into the form
    walk.qtbot.keyClicks(form.value, volts)
    tick(walk.qtbot, form.current)
    walk.qtbot.keyClick(form.value, Qt.Key.Key_Return)
    answered(walk.qtbot, walk.window)
    return proposed


def second_reading(walk: Walk, volts: str, look: Callable[[], None]) -> None:
    """The + tip is put on the stud itself, the − tip on the post."""
    page = page_of(walk.window)
    push(walk.qtbot, page.case.names.buttons["readings"])
    look()
    push(walk.qtbot, page.case.readings.add)
    form = page.case.readings.form
    look()
    touch_point(walk.qtbot, walk.window, "GP2")
    touch_point(walk.qtbot, walk.window, "GB1.31")
    walk.qtbot.keyClicks(form.value, volts)
    tick(walk.qtbot, form.current)
    walk.qtbot.keyClick(form.value, Qt.Key.Key_Return)
    answered(walk.qtbot, walk.window)
    push(walk.qtbot, page.case.names.buttons["suspects"])


def mend(walk: Walk, did: str) -> None:
    """The clear group is mended."""
    page = page_of(walk.window)
    push(walk.qtbot, page.case.suspects.mend_button)
    walk.qtbot.keyClicks(page.case.mend.form.did, did)
    walk.qtbot.keyClick(page.case.mend.form.did, Qt.Key.Key_Return)


def same_pairs_again(walk: Walk, values: Sequence[str]) -> None:
    """The pairs are taken again, and the case is closed."""
    page = page_of(walk.window)
    for volts in values:
        push(walk.qtbot, page.case.mend.again)
        form = page.case.readings.form
        walk.qtbot.keyClicks(form.value, volts)
        tick(walk.qtbot, form.current)
        walk.qtbot.keyClick(form.value, Qt.Key.Key_Return)
        answered(walk.qtbot, walk.window)
    tick(walk.qtbot, page.case.mend.closed)


def save_as(walk: Walk, name: str) -> Path:
    """The harness is saved under a name."""
    walk.answers.save = walk.home / name
    walk.key(Qt.Key.Key_S, CONTROL | SHIFT)
    return walk.home / name
