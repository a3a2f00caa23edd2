"""The session with all its panes, as the screen or a test sees it: what is told above them, and acts on the whole.

Drawing is screen/. Rule: nothing here knows a terminal or the wall clock.
"""

from pathlib import Path
from typing import Final

from simplant.panel.arrange import NAMES
from simplant.panel.course import Course
from simplant.panel.pace import Pace
from simplant.panel.pane import Pane
from simplant.panel.pane_alarms import AlarmsPane
from simplant.panel.pane_desk import DeskPane
from simplant.panel.pane_faults import FaultsPane
from simplant.panel.pane_log import LogPane
from simplant.panel.pane_plan import PlanPane
from simplant.panel.pane_points import PointsPane
from simplant.panel.pane_rules import RulesPane
from simplant.panel.pane_steps import StepsPane
from simplant.panel.session import Session
from simplant.rig.machine import MAIN
from simplant.rig.rig import Rig


class View:
    """A session to look at.

    Args:
        session: the session.
        folder: where it is saved if nobody says otherwise.
    """

    def __init__(self, session: Session, folder: Path = Path("runs")) -> None:
        self.session: Final = session
        self.pace: Final = Pace()
        self.folder: Final = folder
        self._rig: Rig = session.rig
        self.course = self._course()
        self.alarms: Final = AlarmsPane(session, self.course)
        self.log: Final = LogPane(session, self.course)
        self.panes: Final[tuple[Pane, ...]] = (
            DeskPane(session), PlanPane(session), self.alarms, PointsPane(session), StepsPane(session),
            RulesPane(session), FaultsPane(session), self.log,
        )  # fmt: skip
        self._told_broken = False
        self._saved = session.doings.count

    @property
    def unsaved(self) -> bool:
        """Something was done that no file holds."""
        return self.session.doings.count != self._saved

    def _course(self) -> Course:
        texts = self.session.machine.alarm_texts
        return Course(self.session.rig.recorder.rows, texts, self.session.main_period)

    def follow(self) -> None:
        """Look at what is new; a run begun anew is followed from its beginning."""
        if self._rig is not self.session.rig:
            self._rig, self._told_broken = self.session.rig, False
            self.course = self.alarms.course = self.log.course = self._course()
        self.course.follow()

    def state(self, width: int) -> str:
        """Give one line that says where the run is."""
        session, rig = self.session, self.session.rig
        steps = ", ".join(session.steps())
        mode = "no power" if session.is_cut() else rig.main.mode.value
        counts = [
            (self.course.unseen, "new alarm"),
            (len(session.faults_on()), "fault"),
            (len(rig.main.forced), "forced"),
        ]
        told = [f"{n} {what}{'s' if n > 1 and what != 'forced' else ''}" for n, what in counts if n]
        pace = self.pace.told() if session.broken is None else "ended"
        parts = [session.machine.name, f"{session.at / 1e9:.3f} s", pace, mode, steps, *told]
        text = " │ ".join(part for part in parts if part)
        return text if len(text) <= width else text[: max(0, width - 1)] + "…"

    @staticmethod
    def hints(width: int) -> str:
        """Give the keys one wants first, as many as fit."""
        text = "  ".join(("? keys", "q leave", "p stand", "s scan", "n step", "+ - pace", "w save", "x free all"))
        panes = " ".join(f"{n} {name}" for n, name in enumerate(NAMES, start=1))
        return f"{panes}  {text}"[:width] if width > 100 else f"{panes}  ? keys"[:width]

    def news(self) -> str:
        """Give what ended the run, once."""
        if self.session.broken is None or self._told_broken:
            return ""
        self._told_broken = True
        self.pace.running = False
        return f"the run cannot go on: {self.session.broken}\n\nw saves it up to here, r begins anew"

    def acknowledge(self) -> str:
        """Acknowledge all alarms."""
        count = self.course.unseen
        self.course.acknowledge()
        return f"{count} acknowledged" if count else "no alarm is new"

    def scan(self) -> str:
        """Stand still, and go on by one scan."""
        self.pace.running = False
        self.session.scan()
        return f"one scan, to {self.session.at / 1e9:.3f} s"

    def step(self) -> str:
        """Stand still, and go on until a step changes."""
        self.pace.running = False
        if not self.session.steps():
            return "this program has no steps"
        changed = self.session.step()
        at = f"{self.session.at / 1e9:.3f} s"
        return f"a step changed; now at {at}" if changed else f"no step changed for a minute; now at {at}"

    def power(self, *, cold: bool) -> str:
        """Cut the power of the main controller, or give it back."""
        cut = self.session.is_cut()
        self.session.power(cold=cold)
        return f"power of {MAIN} is back: {'cold' if cold else 'warm'} restart" if cut else f"power of {MAIN} is cut"

    def free(self) -> str:
        """Let all points go, end all faults."""
        forced = list(self.session.rig.main.forced)
        for tag in forced:
            self.session.force(tag, None)
        on = {str(fault) for fault in self.session.faults_on() if not fault.other}
        for entry in self.session.machine.catalogue:
            if str(entry) in on:
                self.session.fault(entry, on=False)
        return f"{len(forced)} points let go, {len(on)} faults ended"

    def anew(self, *, sure: bool) -> str:
        """Begin the run anew."""
        if sure:
            self.session.begin_anew()
            self._saved = self.session.doings.count
        return "begun anew" if sure else "goes on"

    def next_file(self) -> Path:
        """Give a file that is not there yet."""
        number = 1
        while (path := self.folder / f"{self.session.machine.name}-by_hand-{number}.toml").exists():
            number += 1
        return path

    def save(self, path: Path) -> str:
        """Save the session as a scenario with its trace; the default folder is made if need be."""
        if path.parent == self.folder:
            self.folder.mkdir(exist_ok=True)
        self.session.save(path)
        self._saved = self.session.doings.count
        return f"saved: simplant replay {path.as_posix()}"
