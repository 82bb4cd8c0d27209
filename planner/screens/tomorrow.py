"""Tomorrow: what costs most, and the next practice to the minute."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import DataTable, Static

from planner.build.plan import Plan, Segment
from planner.clock import clock_text
from planner.desk.changes import Change, Changed, change_plan, keep_out, last, pin, swap, unpin
from planner.desk.needs import assess_needs
from planner.desk.practice import Built, Wishes, build_plan
from planner.desk.printing import PrintedFile, plan_as_text, print_plan, titles
from planner.desk.versions import Overtaken
from planner.need.estimate import Needs
from planner.paper.page_rows import everyone
from planner.problem import Refusal
from planner.screens.actions import Action
from planner.screens.by_hand import HAND_ACTIONS, ByHand
from planner.screens.dialogs import ReadDialog, TypeDialog
from planner.screens.widgets.bars import needs_bars
from planner.screens.widgets.choose import ChooseDialog
from planner.store import queries
from planner.store.values import GameInfo

_ANSWERS = frozenset({"answered", "sorted-lines", "watched"})
"""What makes film say more than it did when the plan was built."""


@dataclass(frozen=True, slots=True)
class Known:
    """What the place shows."""

    needs: Needs
    plan: Plan | None
    game: GameInfo | None
    pinned: frozenset[str]
    locked: frozenset[int]
    by_hand: bool
    stale: bool
    waiting: int = 0
    """Narrated sightings that wait for yes or no."""


class TomorrowPlace(ByHand):
    """Needs on the left, the timed plan on the right, the selected segment below."""

    place = "tomorrow"
    CSS_PATH = "tomorrow.tcss"
    ACTIONS: ClassVar[tuple[Action, ...]] = (
        Action("tomorrow.build", "b", "build", "Build the plan anew", shown=True),
        Action("tomorrow.swap", "s", "swap", "Swap the drill for another", shown=True),
        Action("tomorrow.print", "p", "print", "Print it (PDF)", shown=True),
        Action(
            "tomorrow.minutes", "m", "minutes", "Minutes: what if it were longer or shorter", True, "minutes"
        ),
        Action("tomorrow.longer", "plus,equals_sign", "resize(1)", "Make the drill a minute longer"),
        Action("tomorrow.shorter", "minus", "resize(-1)", "Make the drill a minute shorter"),
        Action("tomorrow.pin", "i", "pin", "Pin the drill, or let it go again"),
        Action("tomorrow.out", "x", "keep_out", "Keep the drill out"),
        Action("tomorrow.date", "d", "date", "Plan for another day"),
        Action("tomorrow.left", "l", "left_out", "What was left out, and what it would cost"),
        *HAND_ACTIONS,
    )

    def __init__(self) -> None:
        super().__init__()
        self.known: Known | None = None
        self.date: dt.date | None = None

    def body(self) -> ComposeResult:
        """Lay out the three parts."""
        yield Static("Looking at the film …", id="headline", markup=False)
        with Horizontal(id="halves"):
            with VerticalScroll(id="needs-side"):
                yield Static("", id="needs", markup=False)
            with Vertical(id="plan-side"):
                table: DataTable[Text] = DataTable(id="plan", cursor_type="row", zebra_stripes=False)
                yield table
        yield Static("", id="detail", markup=False)

    def on_mount(self) -> None:
        """Prepare the table; its rows come later."""
        table = self.query_one("#plan", DataTable)
        table.add_column("Clock", key="clock", width=5)
        table.add_column("Min", key="min", width=3)
        table.add_column("What", key="what")
        table.focus()

    def _look(self) -> Known | None:
        if not self.desk.has_team():
            return None
        needs = assess_needs(self.desk)
        with self.desk.reading() as session:
            plan = (
                queries.plan_on(session, self.date)
                if self.date
                else queries.next_plan(session, self.desk.today)
            )
            game = queries.next_game(session, self.desk.today)
            films = queries.intakes(session)
            info = queries.find_practice(session, plan.date, plan.start) if plan else None
            entries = queries.journal(session, 200)
        built = max((e.stamp for e in entries if e.verb == "plan" and not e.undone), default=None)
        stale = plan is not None and built is not None and any(one.stamp > built for one in films)
        answered = [e.stamp for e in entries if e.verb in _ANSWERS and not e.undone]
        stale = stale or (plan is not None and built is not None and any(one > built for one in answered))
        pins = frozenset(row[0] for row in info.wishes.get("pins", ())) if info else frozenset()
        wishes = info.wishes if info else {}
        locked = frozenset(row["start"] for row in wishes.get("locks", ()))
        waiting = sum(one.waiting for one in films)
        return Known(needs, plan, game, pins, locked, bool(wishes.get("by_hand")), stale, waiting)

    def _show(self, known: Known | None) -> None:
        self.known = known
        if known is None:
            self.query_one("#headline", Static).update("There is no team here yet.")
            self.stop_app.welcome()
            return
        names = titles(self.desk)
        bars = needs_bars(known.needs, names, self._needs_width())
        hint = f"{known.waiting} narrated wait (2, p)\n" if known.waiting else ""
        self.query_one("#needs", Static).update(Text.assemble((hint, "bold"), bars))
        self.query_one("#headline", Static).update(self._headline(known))
        table = self.query_one("#plan", DataTable)
        row = table.cursor_row if self.wanted_row is None else self.wanted_row
        self.wanted_row = None
        table.clear()
        for number, one in enumerate(known.plan.segments if known.plan else ()):
            mark = "● " if self._drill(one) in known.pinned else ""
            mark = "▪ " + mark if one.start in known.locked else mark
            style = "bold" if one.kind in {"drill", "warm-up"} else "dim"
            table.add_row(
                Text(clock_text(one.start), style=style),
                Text(str(one.minutes), style=style, justify="right"),
                Text(mark + one.title, style=style, no_wrap=True, overflow="ellipsis"),
                key=str(number),
            )
        if known.plan:
            table.move_cursor(row=min(max(row, 0), len(known.plan.segments) - 1))
        self._show_detail()

    def _needs_width(self) -> int:
        return 25 if self.app.size.width < 100 else 39

    def _headline(self, known: Known) -> str:
        game = ""
        if known.game:
            days = (known.game.date - self.desk.today).days
            game = f"   Game in {days} d v {known.game.opponent}"
        if known.plan is None:
            return f"No plan ahead. Press b to build tomorrow's practice.{game}"
        plan = known.plan
        end = clock_text(plan.start + plan.minutes)
        proof = "proven best" if plan.proven else "may be improved"
        if known.by_hand:
            proof = _beside(plan)
        if self.by_hand or known.by_hand:
            proof = f"{'BY HAND' if self.by_hand else 'by hand'}: {proof}"
        stale = "   ! film is newer than this plan: b builds anew" if known.stale else ""
        day = f"{plan.date:%a} {plan.date.day} {plan.date:%b}"
        return (
            f"{day} {clock_text(plan.start)}–{end}, {plan.minutes} min, load {plan.load:.0f},"
            f" {proof}{game}{stale}"
        )

    @on(DataTable.RowHighlighted)
    def _show_detail(self) -> None:
        """Show the selected segment's reason, groups and cues."""
        segment = self.selected()
        detail = self.query_one("#detail", Static)
        if segment is None:
            detail.update("")
            return
        lines = [f"{segment.title}: {segment.why}" if segment.why else segment.title]
        card = self.desk.library.by_id.get(self._drill(segment) or "")
        if card is not None:
            lines.append("Say: " + "   ".join(f"“{one}”" for one in card.cues[:3]))
        groups = [
            f"half {one.half}: {' '.join(one.players)}" for one in segment.stations if one.group != "all"
        ]
        lines += groups or self._together(segment)
        detail.update("\n".join(lines))

    def _together(self, segment: Segment) -> list[str]:
        if not segment.stations or self.known is None or self.known.plan is None:
            return []
        there = segment.stations[0].players
        later = [one for one in everyone(self.known.plan) if one not in there]
        return [f"Everyone but {' '.join(later)}." if later else "Everyone together."]

    def selected(self) -> Segment | None:
        """Return the segment under the cursor."""
        plan = self.known.plan if self.known else None
        row = self.query_one("#plan", DataTable).cursor_row
        return plan.segments[row] if plan and 0 <= row < len(plan.segments) else None

    @staticmethod
    def _drill(segment: Segment | None) -> str | None:
        if segment is None or segment.kind != "drill" or not segment.stations:
            return None
        return segment.stations[0].drill

    def as_text(self) -> str:
        """Return the plan as plain text."""
        plan = self.known.plan if self.known else None
        return plan_as_text(self.desk, plan) if plan else ""

    # ---- what keys do ------------------------------------------------------------------------------

    def action_build(self) -> None:
        """Build the shown plan anew with its own wishes, or tomorrow's."""
        plan = self.known.plan if self.known else None
        self.query_one("#headline", Static).update("Building …")

        def job() -> Built | Overtaken:
            try:
                if plan is None:
                    return build_plan(
                        self.desk, Wishes(date=self.date or self.desk.today + dt.timedelta(days=1))
                    )
                return change_plan(self.desk, plan, lambda wishes: wishes).built
            except Overtaken as overtaken:
                return overtaken

        def told(built: Built | Overtaken) -> None:
            if isinstance(built, Overtaken):
                self._overtaken(built)
                return
            self.notify(f"Built in {built.plan.seconds:.1f} s. u undoes it.")
            self.refill()

        self.in_background(job, told, "build")

    def _change(self, change: Change, words: str) -> None:
        plan = self.known.plan if self.known else None
        if plan is None:
            self.notify("There is no plan to change; b builds one.")
            return
        self.query_one("#headline", Static).update("Building …")

        def job() -> Changed | Overtaken:
            try:
                return change_plan(self.desk, plan, change)
            except Overtaken as overtaken:
                return overtaken

        def told(changed: Changed | Overtaken) -> None:
            if isinstance(changed, Overtaken):
                self._overtaken(changed)
                return
            cost = f"costs {changed.lost:.2f}" if changed.lost > 0.005 else "costs next to nothing"
            self.notify(f"{words}: {cost} points per 100. u undoes it.")
            self.refill()

        self.in_background(job, told, "build")

    def _overtaken(self, overtaken: Overtaken) -> None:
        """Show the plan that stands now, and say who changed it and where the coach's own is kept."""
        self.refill()
        self.refused(str(overtaken))

    def action_swap(self) -> None:
        """Offer the drills that fit in the selected one's place, with what each costs."""
        drill = self._drill(self.selected())
        plan = self.known.plan if self.known else None
        if drill is None or plan is None:
            self.notify("Choose a drill first: the arrow keys move.")
            return
        fits = f"in place of {drill} "
        by_hand = self.by_hand
        rows = [(one.drill, one.why) for one in plan.left_out if one.why.startswith(fits)]
        rows += [
            (one.drill, one.why)
            for one in plan.left_out
            if one.why.startswith("in place of") and not one.why.startswith(fits)
        ]
        known = self.desk.library.by_id
        options = [(one, f"{known[one].title}\n  {why}") for one, why in rows if one in known]
        if not options:
            self.notify("Nothing else fits here; x keeps this drill out and builds anew.")
            return

        def chosen(into: str | None) -> None:
            if into is not None and by_hand:
                self.swap_by_hand(into)
            elif into is not None:
                self._change(swap(drill, into), f"{into} for {drill}")

        self.app.push_screen(ChooseDialog(f"Instead of {drill}", options), chosen)

    def action_resize(self, by: int) -> None:
        """Make the selected drill longer or shorter; the rest is planned round it."""
        if self.by_hand:
            self.resize_by_hand(by)
            return
        segment = self.selected()
        drill = self._drill(segment)
        if drill is None or segment is None:
            self.notify("Choose a drill first: the arrow keys move.")
            return
        minutes = segment.minutes + by
        self._change(pin(drill, minutes), f"{drill} for {minutes} min")

    def action_pin(self) -> None:
        """Pin the selected drill, or let it go."""
        drill = self._drill(self.selected())
        if drill is None or self.known is None:
            self.notify("Choose a drill first: the arrow keys move.")
        elif drill in self.known.pinned:
            self._change(unpin(drill), f"{drill} let go")
        else:
            self._change(pin(drill), f"{drill} pinned")

    def action_keep_out(self) -> None:
        """Keep the selected drill out."""
        if self.by_hand:
            self.remove_by_hand()
            return
        drill = self._drill(self.selected())
        if drill is None:
            self.notify("Choose a drill first: the arrow keys move.")
        else:
            self._change(keep_out(drill), f"{drill} kept out")

    def action_minutes(self) -> None:
        """Ask how long practice is to be and build it so."""

        def typed(text: str | None) -> None:
            if text is None:
                return
            if not text.strip().isdigit():
                self.refused(f"'{text}' is no whole number of minutes.")
                return
            self._change(last(int(text)), f"{text.strip()} minutes")

        plan = self.known.plan if self.known else None
        self.app.push_screen(TypeDialog("How many minutes?", str(plan.minutes) if plan else "90"), typed)

    def action_date(self) -> None:
        """Ask for another day."""

        def typed(text: str | None) -> None:
            if text is None:
                return
            from planner.clock import parse_date

            try:
                self.date = parse_date(text, self.desk.today)
            except Refusal as refusal:
                self.refused(str(refusal))
                return
            self.refill()

        self.app.push_screen(TypeDialog("Which day?", "tomorrow", "2026-11-26, tomorrow, next tue"), typed)

    def action_left_out(self) -> None:
        """Show every drill that is not in the plan, and why."""
        plan = self.known.plan if self.known else None
        lines = [f"{one.drill}: {one.why}" for one in plan.left_out] if plan else []
        self.app.push_screen(ReadDialog("Left out", "\n".join(lines) or "No plan yet."))

    def action_print(self) -> None:
        """Print the plan as PDF beside the data."""
        plan = self.known.plan if self.known else None
        if plan is None:
            self.notify("There is no plan to print; b builds one.")
            return

        def told(printed: PrintedFile) -> None:
            notes = "\n".join(printed.notes)
            self.app.push_screen(ReadDialog("Printed", f"{printed.path}\n\n{notes}".strip()))

        self.in_background(lambda: print_plan(self.desk, plan, overwrite=True), told, "print")


def _beside(plan: Plan) -> str:
    """Return how an edited plan stands beside the best one."""
    less = plan.bound - plan.objective
    return f"{abs(less):.2f} per 100 {'less' if less >= 0 else 'more'} than the best"
