"""Tomorrow: the days until the game, what costs most, and the next practice to the minute."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import DataTable, Static

from planner.build.plan import Plan, Segment
from planner.clock import clock_text
from planner.desk.changes import COUNTS
from planner.desk.horizon import DaysAhead
from planner.desk.outlook import Grounds, Outlook, grounds, look_ahead
from planner.desk.printing import PrintedFile, plan_as_text, print_plan, titles
from planner.problem import Refusal
from planner.screens.actions import EVERYWHERE, Action, shown_key
from planner.screens.by_hand import HAND_ACTIONS
from planner.screens.by_wish import WISH_ACTIONS
from planner.screens.dialogs import ReadDialog, TypeDialog
from planner.screens.place import LOOK_CLOSER, KeyLine
from planner.screens.together import DAY_ACTIONS, Together
from planner.screens.widgets.bars import needs_bars
from planner.screens.widgets.days import days_strip
from planner.screens.widgets.timeline import SIDE, TALL, WHY_FROM, WIDE, Timeline, detail_text
from planner.text import plural

KEYS = {
    "plan": {"build": "build", "swap": "swap", "print": "print", "minutes": "minutes"},
    "proposed": {"accept": "accept", "day_before": "before", "day_after": "after", "stop": "let go"},
    "building": {"stop": "stop"},
}
"""Which actions stand in the key line when, and the word for each."""


class TomorrowPlace(Together):
    """The days on top, needs on the left, the timed plan on the right, the selected segment below."""

    place = "tomorrow"
    CSS_PATH = "tomorrow.tcss"
    ACTIONS: ClassVar[tuple[Action, ...]] = (
        Action("tomorrow.build", "b", "build", "Build the plan anew", shown=True),
        Action("tomorrow.swap", "s", "swap", "Swap the drill for another", shown=True),
        Action("tomorrow.print", "p", "print", "Print it (PDF)", shown=True),
        Action(
            "tomorrow.minutes", "m", "minutes", "Minutes: what if it were longer or shorter", True, "minutes"
        ),
        *WISH_ACTIONS,
        *DAY_ACTIONS,
        Action("tomorrow.date", "d", "date", "Plan for another day"),
        Action("tomorrow.rests", "r", "rests", "What the plan rests on: what to mind, what is a guess"),
        *HAND_ACTIONS,
    )

    def __init__(self) -> None:
        super().__init__()
        self.known: Outlook | None = None
        self.grounds: Grounds | None = None
        self._grounds_for: tuple[Path, tuple[int, ...], Plan | None] | None = None

    def body(self) -> ComposeResult:
        """Lay out the four parts."""
        yield Static("Opening the plan …", id="headline", markup=False)
        yield Static("", id="days", markup=False)
        with Horizontal(id="halves"):
            with VerticalScroll(id="needs-side", can_focus=False):
                yield Static("Looking at the film …", id="needs", markup=False)
            with Vertical(id="plan-side"):
                yield Timeline()
        yield Static("", id="detail", markup=False)

    def on_mount(self) -> None:
        """Let the arrow keys move in the plan."""
        self.query_one(Timeline).focus()

    def on_resize(self) -> None:
        """Use the room there is."""
        if self.known is not None:
            self._show_plan()
            self._show_needs()

    # ---- looking and showing -----------------------------------------------------------------------

    def _look(self) -> Outlook | None:
        _ = self.desk.library
        return look_ahead(self.desk, self.date, self.start)

    def _show(self, known: Outlook | None) -> None:
        """Show the plan at once; what it rests on follows."""
        self.known = known
        if known is None:
            self.query_one("#headline", Static).update("There is no team here yet.")
            self.query_one("#needs", Static).update("")
            self.stop_app.welcome()
            return
        self._show_plan()
        wanted = (self.desk.home, known.mark, known.plan)
        if wanted == self._grounds_for:
            self._show_needs()
            return
        before = self._grounds_for
        needs = self.grounds.needs if self.grounds and before and before[:2] == wanted[:2] else None
        self._grounds_for = wanted
        self.in_background(lambda: grounds(self.desk, known.plan, needs), self._show_grounds, LOOK_CLOSER)

    def _show_grounds(self, found: Grounds) -> None:
        self.grounds = found
        self._show_needs()
        self.show_stage()

    def _show_needs(self) -> None:
        if self.grounds is None or self.known is None:
            return
        wide, tall = self.app.size.width >= WIDE, self.app.size.height >= TALL
        bars = needs_bars(self.grounds.needs, titles(self.desk), SIDE - 5 if wide else 25, tight=not tall)
        waiting = self.known.waiting
        hint = f"{waiting} narrated wait (2, p)\n" if waiting else ""
        self.query_one("#needs", Static).update(Text.assemble((hint, "bold"), bars))

    def _show_plan(self) -> None:
        known = self.known
        if known is None:
            return
        row, self.wanted_row = self.wanted_row, None
        proposed = self.day in self.proposed
        table = self.query_one(Timeline)
        table.show(self.plan, () if proposed else known.pinned, () if proposed else known.locked, row)
        width = self.app.size.width - 2
        strip = days_strip(known.ahead, self.shown_day(), titles(self.desk), width, self.proposed)
        self.query_one("#days", Static).update(strip)
        self.show_stage()
        self._show_detail()

    def show_stage(self) -> None:
        """Show what is going on: the plan's figures, or how far its building is; and the keys for it."""
        building = self.stage == "building"
        self.query_one("#headline", Static).update(self.progress if building else self._headline())
        keys = KEYS["building" if building else "proposed" if self.day in self.proposed else "plan"]
        by_id = {one.id: one for one in (*self.ACTIONS, *EVERYWHERE)}
        shown = {**{f"tomorrow.{one}": word for one, word in keys.items()}, "app.help": "help"}
        words = [f"{shown_key(self.stop_app.key_of(by_id[one]))} {word}" for one, word in shown.items()]
        self.query_one(KeyLine).update("   ".join(words))

    def _headline(self) -> str:
        known, plan = self.known, self.plan
        if known is None:
            return "There is no team here yet."
        if plan is None:
            day = "tomorrow's practice" if self.date is None else f"that of {_day(self.date)}"
            return f"No plan here yet. b builds {day}, g plans all days until the game."
        end = clock_text(plan.start + plan.minutes)
        parts = [f"{_day(plan.date)} {clock_text(plan.start)}–{end}", f"{plan.minutes} min"]
        parts += [f"load {plan.load:.0f}", "proven best" if plan.proven else "may be improved"]
        if self.day in self.proposed:
            return f"PROPOSED: {', '.join(parts)}   a accepts this day"
        if known.by_hand:
            parts[-1] = _beside(plan)
        if self.by_hand or known.by_hand:
            parts[-1] = f"{'BY HAND' if self.by_hand else 'by hand'}: {parts[-1]}"
        stale = "   ! film is newer than this plan: b builds anew" if known.stale else ""
        minded = len(self._minded())
        return f"{', '.join(parts)}{f'   ! {minded} to mind: r' if minded else ''}{stale}"

    def _minded(self) -> list[str]:
        """Return what to mind about the plan that stands: warnings, load before the game, guesses."""
        plan, known = self.standing(), self.known
        if plan is None or known is None:
            return []
        lines = [f"! {one}" for one in plan.warnings]
        here = next(
            (one for one in known.ahead.days if (one.date, one.start) == (plan.date, plan.start)), None
        )
        if here and here.ceiling and known.ahead.game and plan.load > here.ceiling + 0.5:
            left = (known.ahead.game.date - plan.date).days
            lines.append(
                f"! A load of {plan.load:.0f} is more than the {here.ceiling:.0f} left {plural(left, 'day')}"
                " before a game (common practice, our numbers); g plans all days lighter towards it."
            )
        if self.grounds is not None and self._grounds_for and self._grounds_for[2] == plan:
            lines += [f"? {one}" for one in self.grounds.doubts]
        return lines

    def rests(self) -> list[str]:
        """Return what the plan rests on, in sentences."""
        plan = self.standing()
        if plan is None:
            return ["There is no plan; b builds one."]
        gap = (plan.bound - plan.objective) / plan.bound if plan.bound else 0.0
        proof = "no plan within these rules is worth more" if plan.proven else f"it may be off by {gap:.1%}"
        first = f"Worth {plan.objective:.2f} points per 100 possessions by the planning weights; {proof}."
        needs = self.grounds.needs if self.grounds else None
        calm = (
            "Nothing to mind, and no minutes hang on a guess."
            if needs and needs.games
            else "Nothing to mind."
        )
        return [first, *(self._minded() or [calm]), *(needs.notes if needs else ())]

    @on(DataTable.RowHighlighted)
    def _show_detail(self) -> None:
        """Show the selected segment's reason, groups and cues."""
        segment, plan = self.selected(), self.plan
        detail = self.query_one("#detail", Static)
        if segment is None or plan is None:
            detail.update("")
            return
        table_tells = self.app.size.width >= WHY_FROM and self.app.size.height >= TALL
        detail.update(detail_text(plan, segment, self.desk.library.by_id, why=not table_tells))

    @property
    def plan(self) -> Plan | None:
        """Return the plan that is shown: what is proposed for the day, else what stands."""
        return self.proposed.get(self.day) or self.standing()

    def standing(self) -> Plan | None:
        """Return the plan that stands for the day shown."""
        return self.known.plan if self.known else None

    @property
    def pinned(self) -> frozenset[str]:
        """Return the drills that are pinned."""
        return self.known.pinned if self.known else frozenset()

    @property
    def ahead(self) -> DaysAhead | None:
        """Return the days until the game, as far as they are known."""
        return self.known.ahead if self.known else None

    @property
    def day(self) -> dt.date:
        """Return the day that is shown."""
        plan = self.standing()
        return self.date or (plan.date if plan else self.desk.today + dt.timedelta(days=1))

    def shown_day(self) -> tuple[dt.date, int] | None:
        """Return date and start of the practice that is shown."""
        plan = self.plan
        if plan is not None:
            return plan.date, plan.start
        days = self.ahead.days if self.ahead else ()
        return next(((one.date, one.start) for one in days if one.date == self.day), None)

    def selected(self) -> Segment | None:
        """Return the segment under the cursor."""
        plan, row = self.plan, self.query_one(Timeline).cursor_row
        return plan.segments[row] if plan and 0 <= row < len(plan.segments) else None

    def as_text(self) -> str:
        """Return the plan as plain text."""
        return plan_as_text(self.desk, self.plan) if self.plan else ""

    # ---- what keys do ------------------------------------------------------------------------------

    def action_date(self) -> None:
        """Ask for another day."""

        def typed(text: str | None) -> None:
            if text is None:
                return
            from planner.clock import parse_date

            try:
                self.date, self.start = parse_date(text, self.desk.today), None
            except Refusal as refusal:
                self.refused(str(refusal))
                return
            self.refill()

        self.app.push_screen(TypeDialog("Which day?", "tomorrow", "2026-11-26, tomorrow, next tue"), typed)

    def action_print(self) -> None:
        """Print the plan as PDF beside the data, once it stands."""
        self.when_free(self._print, "The plan is being changed; it is printed as soon as it stands.")

    def _print(self) -> None:
        plan = self.standing()
        if not self.may_change():
            return
        if plan is None:
            self.notify("There is no plan to print; b builds one.")
            return

        def told(printed: PrintedFile) -> None:
            notes = "\n".join(printed.notes)
            self.app.push_screen(ReadDialog("Printed", f"{printed.path}\n\n{notes}".strip()))

        self.in_background(lambda: print_plan(self.desk, plan, overwrite=True), told, "print")


def _day(date: dt.date) -> str:
    return f"{date:%a} {date.day} {date:%b}"


def _beside(plan: Plan) -> str:
    """Return how an edited plan stands beside the best one."""
    less = plan.bound - plan.objective
    if abs(less) < COUNTS:
        return "as good as the best"
    return f"{abs(less):.2f} per 100 {'less' if less >= 0 else 'more'} than the best"
