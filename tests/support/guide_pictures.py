"""Takes the pictures of the guide anew: python -m tests.support.guide_pictures [FOLDER].

A real window shows copies of the sample projects, in a home of its own; each picture is a PNG with a palette.
"""

import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

HOME = tempfile.TemporaryDirectory(prefix="guide_pictures")
for name in ("HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME"):
    os.environ[name] = HOME.name
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import numpy as np  # noqa: E402
from PySide6.QtCore import QCoreApplication, QEvent, QSettings, Qt, QThreadPool  # noqa: E402
from PySide6.QtGui import QImage  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from harness_studio.base import resources  # noqa: E402
from harness_studio.desktop.printing.preview import Preview  # noqa: E402
from harness_studio.desktop.window import Window  # noqa: E402
from harness_studio.drawing import fonts  # noqa: E402
from harness_studio.sheets import binding  # noqa: E402
from harness_studio.sheets.paper import paper  # noqa: E402

SAMPLES = Path(__file__).parents[2] / "sample_projects"
SIZE = (1280, 800)
MOST_BYTES = 200_000
PALETTE, EXACT = 256, 176
"""Colours of a picture: the most frequent ones as they are, for the others the middle of many."""


def main(folder: Path) -> None:
    """Take all pictures."""
    folder.mkdir(parents=True, exist_ok=True)
    for kind in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(kind, QSettings.Scope.UserScope, HOME.name)
    app = QApplication(sys.argv[:1])
    fonts.family()
    window = Window()
    window.resize(*SIZE)
    window.set_appearance("light")
    window.show()
    pickup = Path(shutil.copy(SAMPLES / "estuary_pickup.yaml", HOME.name))
    assert window.files.open(pickup)
    take = Taker(app, window, folder)
    take.until(lambda: window.session.solution is not None)
    for picture in (
        diagram,
        ground_map,
        dial,
        casebook,
        findings,
        lists,
        stock,
        bench,
        plots,
        dark,
        preview,
        pinout,
    ):
        picture(take)
    for picture in (ten_wires, ten_dial, ten_found, ten_mended):
        picture(take)
    window.take_down(left=True)
    window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    QThreadPool.globalInstance().waitForDone(5000)


class Taker:
    """A window, and the folder for its pictures."""

    def __init__(self, app: QApplication, window: Window, folder: Path) -> None:
        self._app, self.window, self._folder = app, window, folder

    def wait(self, seconds: float) -> None:
        """Let the window live for a while."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self._app.processEvents()
            time.sleep(0.01)

    def until(self, there: Callable[[], object], seconds: float = 90.0) -> None:
        """Wait for something, or give up."""
        end = time.monotonic() + seconds
        while not there():
            if time.monotonic() > end:
                raise TimeoutError("the window did not come to rest")
            self.wait(0.05)

    def open(self, page: str, diagram_page: str | None = None) -> None:
        """Open a page of the drawer beside the whole diagram."""
        window = self.window
        window.clear()
        window.drawer.show()
        window.drawer.open(page)
        if diagram_page is not None:
            window.diagram.show_page(diagram_page)
        self.wait(0.3)
        window.diagram.fit()

    def show_step(self, step: str) -> None:
        """Show a step of the tutorial, solved and checked."""
        window = self.window
        assert window.files.open_sample(SAMPLES / "tutorial" / f"{step}.yaml")
        self.until(lambda: window.session.solution is not None and not window.session.computed.stale)
        self.until(lambda: "checking" not in window.foot.findings.text())

    def page(self, page: str) -> Any:
        """Return a page of the drawer."""
        return self.window.drawer._pages[page]

    def keep(self, name: str) -> None:
        """Take the picture when everything on its way has arrived."""
        self.wait(1.0)
        self.until(lambda: self.window.diagram.busy is None)
        self.wait(0.3)
        self.write(name, self.window.grab().toImage())

    def write(self, name: str, image: QImage) -> None:
        """Write a picture with a palette."""
        small = image.convertToFormat(
            QImage.Format.Format_Indexed8, palette(image), Qt.ImageConversionFlag.ThresholdDither
        )
        path = self._folder / f"{name}.png"
        assert small.save(str(path), "PNG", 0), path
        print(f"{path.name}: {small.width()} x {small.height()}, {path.stat().st_size} bytes")
        assert path.stat().st_size < MOST_BYTES, f"{path.name} is larger than {MOST_BYTES} bytes"


def palette(image: QImage) -> list[int]:
    """Return at most 256 colours for a picture, as 0xFFRRGGBB."""
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.frombuffer(image.constBits(), np.uint32).reshape(image.height(), -1)[:, : image.width()]
    colours, counts = np.unique(pixels.ravel() | 0xFF000000, return_counts=True)
    order = np.argsort(-counts)
    found = [int(c) for c in colours[order[:EXACT]]]
    rest, weights = colours[order[EXACT:]], counts[order[EXACT:]].astype(float)
    parts = np.stack([(rest >> shift) & 0xFF for shift in (16, 8, 0)], axis=1)
    cells, inverse = np.unique(parts >> 5, axis=0, return_inverse=True)
    inverse = inverse.ravel()
    total = np.bincount(inverse, weights, minlength=len(cells))
    means = np.stack(
        [np.bincount(inverse, weights * p, minlength=len(cells)) / total for p in parts.T], axis=1
    )
    for red, green, blue in means[np.argsort(-total)[: PALETTE - len(found)]].round().astype(int):
        found.append(0xFF000000 | int(red) << 16 | int(green) << 8 | int(blue))
    return found


def diagram(take: Taker) -> None:
    """The whole vehicle, the battery selected."""
    take.open("details")
    take.window.session.select({"GB1"})
    take.keep("diagram")


def ground_map(take: Taker) -> None:
    """The stud at the left rear corner chosen."""
    take.open("ground_map")
    window = take.window
    window.session.set_mode("towing")
    window.session.choose("GP9")
    take.until(lambda: window.session.ground_map() is not None and window.session.forecast.shown)
    take.keep("ground_map")


def dial(take: Taker) -> None:
    """The dial of that stud turned to 200 mΩ, from near."""
    window = take.window
    window.show_thing("GP9")
    window.diagram.dial.turn(0.2)
    take.keep("dial")
    window.diagram.dial.put_back()
    take.wait(1.0)


def casebook(take: Taker) -> None:
    """The suspects of the open case of that stud."""
    take.open("casebook")
    window = take.window
    page = window.drawer._pages["casebook"]
    page.open_case("rear_stud")
    page.case.turn_to("suspects")
    casework = window.session.casework
    take.until(lambda: casework.answer is not None and not casework.busy and not casework.stale, 240.0)
    take.keep("casebook")
    page.leave()


def findings(take: Taker) -> None:
    """The findings of the same harness."""
    take.open("findings")
    page = take.window.drawer._pages["findings"]
    body = page.body
    take.until(lambda: any(line.finding is not None for line in body.list.rows), 240.0)
    body.point_out("ground_rise/GP9")
    take.keep("findings")


def lists(take: Taker) -> None:
    """The wires of one circuit, as a wide list."""
    take.open("lists")
    page = take.window.drawer._pages["lists"]
    page.wide.setChecked(True)
    page.open_table("wires")
    page.filter.setText("circuit = pump")
    take.keep("lists")
    page.wide.setChecked(False)


def stock(take: Taker) -> None:
    """The stock, searched."""
    take.open("stock")
    take.window.drawer._pages["stock"].line.setText("lamp")
    take.keep("stock")


def bench(take: Taker) -> None:
    """A connector on the bench."""
    take.open("bench")
    take.page("bench").take("X7")
    take.keep("bench")


def plots(take: Taker) -> None:
    """The voltage staircase of the fuel pump."""
    take.open("plots")
    window = take.window
    window.session.select({"M2"})
    window.commands.actions["plot_stairs"].trigger()
    page = take.page("plots")
    take.until(lambda: page.plot is not None and not page._making and not page._loading)
    take.keep("plots")


def dark(take: Taker) -> None:
    """The drops and the rise of the whole vehicle, on dark paper."""
    take.open("ground_map")
    window = take.window
    window.set_appearance("dark")
    window.session.choose("GP9")
    window.show_overlay("lost")
    take.until(lambda: window.session.ground_map() is not None and window.session.forecast.shown)
    take.keep("dark")
    window.show_overlay(None)
    window.set_appearance("light")
    window.clear()


def preview(take: Taker) -> None:
    """The preview of some sheets."""
    take.open("sheets")
    page = take.page("sheets")
    page.tick(False)
    for row in range(page.list.count()):
        if page.list.item(row).data(Qt.ItemDataRole.UserRole) in ("grounds", "fuses"):
            page.list.item(row).setCheckState(Qt.CheckState.Checked)
    take.window.commands.actions["sheets_preview"].trigger()
    take.until(
        lambda: take.window.findChild(Preview) is not None and take.window.findChild(Preview).isVisible()
    )
    shown = take.window.findChild(Preview)
    shown.resize(*SIZE)
    take.wait(1.5)
    take.write("preview", shown.grab().toImage())
    shown.close()


def ten_wires(take: Taker) -> None:
    """The tutorial: wires are laid."""
    take.show_step("2_wires")
    take.open("stock")
    take.keep("ten_wires")


def ten_dial(take: Taker) -> None:
    """The tutorial: the rear stud is dialled."""
    take.show_step("4_checked")
    take.open("ground_map")
    window = take.window
    window.session.choose("GP2")
    take.until(lambda: window.session.ground_map() is not None and window.session.forecast.shown)
    window.diagram.dial.turn(0.35)
    take.until(lambda: not window.session.computed.stale)
    take.keep("ten_dial")
    window.diagram.dial.put_back()
    take.wait(1.0)


def ten_found(take: Taker) -> None:
    """The tutorial: the stud is the clear group."""
    take.show_step("6_found")
    take.open("casebook")
    page = take.page("casebook")
    page.open_case("dim_lamps")
    page.case.turn_to("suspects")
    work = take.window.session.casework
    take.until(lambda: work.answer is not None and not work.busy and not work.stale)
    take.keep("ten_found")


def ten_mended(take: Taker) -> None:
    """The tutorial: before and after."""
    take.show_step("7_mended")
    take.open("casebook")
    page = take.page("casebook")
    page.open_case("dim_lamps")
    page.case.turn_to("mend")
    take.until(lambda: "as a clean one" in page.case.mend.table.standings)
    take.keep("ten_mended")
    page.leave()


def pinout(take: Taker) -> None:
    """One page of the pinouts, as it is printed."""
    import pypdfium2

    job = binding.job_of(
        take.window.session.harness.snapshot(), paper("A4", landscape=True), day="2026-11-25"
    )
    document = pypdfium2.PdfDocument(binding.document(job, ["pinout"]))
    drawn = np.ascontiguousarray(document[0].render(scale=1.5, rev_byteorder=True).to_numpy())
    height, width, depth = drawn.shape
    kind = QImage.Format.Format_RGB888 if depth == 3 else QImage.Format.Format_RGBX8888
    image = QImage(drawn.data, width, height, width * depth, kind).convertToFormat(QImage.Format.Format_RGB32)
    take.write("pinout", image)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(str(resources.path("guide"))) / "pictures")
