"""Bringing a second harness in, and planning what becomes of wires and cavities; each is one step."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, cast

from harness_studio.base.errors import EditError, HarnessError
from harness_studio.desktop.ask import PROJECTS
from harness_studio.desktop.commands import Command
from harness_studio.desktop.rooms import Room
from harness_studio.model.second_harness import PLANS, Need, Plan, bring_in, need_pins, plan_wires

from .page import DonorPage

if TYPE_CHECKING:
    from harness_studio.desktop.window import Window
    from harness_studio.model.edits import Edit
    from harness_studio.model.harness import Harness

PAGE = "donor"
KINDS = "Harnesses (*.yaml *.yml *.kbl);;" + PROJECTS.rpartition(";;")[2]


class Donor:
    """Does what the page asks for."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self.page = DonorPage(window)
        self.page.file_wanted.connect(self.choose)
        self.page.bring.connect(self.bring)
        self.page.planned.connect(self.plan)
        self.page.needed.connect(self.need)
        self.page.picked.connect(window.show_thing)
        self._other: Harness | None = None

    def open(self) -> None:
        """Open the page."""
        self._window.drawer.call_up(PAGE)
        self.page.choose.setFocus()

    def choose(self) -> None:
        """Ask for the file of the second harness."""
        self.open()
        path = self._window.files.ask.file_to_open("Bring a second harness in", KINDS)
        if path is None:
            return
        try:
            if path.suffix.lower() == ".kbl":
                from harness_studio.intake.kbl import read_kbl

                self._other = read_kbl(path, path.name, "all").harness
            else:
                from harness_studio.storage.project_file import read_project

                self._other = read_project(path).harness
        except (HarnessError, OSError) as error:
            self._window.tell(str(error))
            return
        self.page.ask_prefix(path.name)

    def bring(self, prefix: str, name: str) -> None:
        """Bring in the harness that was read."""
        other = self._other
        if other is None:
            return
        if self._try(lambda: bring_in(self._window.session.harness, other, prefix, name)):
            self._other = None
            self.page.form.hide()
            lost = any(p.photo is not None for p in other.pages.values()) or other.tables["photos"]
            self.page.say(
                f"{len(other.wires)} wires brought in. Photos stay with their own project."
                if lost
                else f"{len(other.wires)} wires brought in. Ctrl+Page Down shows their pages; undo takes all of it out."
            )

    def plan(self, plan: str) -> None:
        """Plan what becomes of the selected wires."""
        session = self._window.session
        wanted = cast(Plan, plan) if plan else None
        self._try(lambda: plan_wires(session.harness, session.selection, wanted))

    def need(self, need: str) -> None:
        """Say whether the chosen cavities are needed."""
        wanted = cast(Need, need) if need else None
        self._try(lambda: need_pins(self._window.session.harness, self.page.chosen_pins(), wanted))

    def _try(self, make: Callable[[], Edit]) -> bool:
        try:
            self._window.session.apply(make())
        except EditError as error:
            self._window.tell(str(error))
            return False
        return True


class _Planning:
    """Plans one thing for the selected wires."""

    def __init__(self, donor: Donor, plan: str) -> None:
        self._donor = donor
        self._plan = plan

    def __call__(self) -> None:
        self._donor.plan(self._plan)


def open_room(window: Window) -> Room:
    """Return the room of two harnesses."""
    donor = Donor(window)

    def wires() -> bool:
        return any(i in window.session.harness.wires for i in window.session.selection)

    menu = "Record/d"
    return Room(
        {PAGE: donor.page},
        [
            Command("donor", "Two harnesses…", menu, donor.open, ("Alt+Shift+D",)),
            Command("donor_bring", "Bring a second harness in…", menu, donor.choose, ("Alt+Shift+B",)),
            *(
                Command(f"plan_{plan}", f"Plan the selected wires: {plan}", menu, _Planning(donor, plan),
                        (f"Alt+Shift+{number}",), able=wires)
                for number, plan in enumerate(PLANS, 1)
            ),
            Command("plan_none", "Plan nothing for the selected wires", menu, _Planning(donor, ""), ("Alt+Shift+0",),
                    able=wires),
        ],
    )  # fmt: skip
