"""Floor: the running practice. The clock, now and next, counting, and making up time."""

from __future__ import annotations

import asyncio
import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import DataTable, Static

from planner.build.plan import Plan
from planner.desk import floor as desk_floor
from planner.desk.floor import Confirmed
from planner.desk.floor_file import Running, now_of, running
from planner.desk.floor_rest import Replanned, replan, shorter
from planner.desk.floor_words import clock_words, in_words, late_words
from planner.paper.page import RATING_WORDS
from planner.problem import Refusal
from planner.screens.actions import EVERYWHERE, Action, shown_key
from planner.screens.dialogs import AskDialog, TypeDialog
from planner.screens.place import KeyLine, Place
from planner.screens.widgets.choose import ChooseDialog
from planner.screens.widgets.clock import BigClock
from planner.screens.widgets.clock_text import coming_text, done_rows, idle_text, now_lines, under_text
from planner.screens.widgets.entry import PreviewDialog
from planner.season import floor, floor_rest
from planner.season.floor import EventKind, Run, Stretch
from planner.store import queries
from planner.text import clean_line

SHOWN = {
    "-idle": ("floor.begin",),
    "-running": ("floor.next", "floor.stop", "floor.miss", "floor.pause"),
    "-over": ("floor.log", "floor.absent", "floor.rating", "floor.score"),
}
"""The place's three states, and which actions stand in the key line in each."""


SLIM = 72
"""Columns below which there is little room beside the clock."""


@dataclass(frozen=True, slots=True)
class Known:
    """What the place starts from: the practice that runs, else the plan that could."""

    state: Running | None
    plan: Plan | None
    resumable: bool


class FloorPlace(Place):
    """Idle before practice, a clock while it runs, a log to confirm when it is over."""

    place = "floor"
    CSS_PATH = "floor.tcss"
    ACTIONS: ClassVar[tuple[Action, ...]] = (
        Action("floor.begin", "w", "begin", "Whistle: begin the planned practice", short="begin"),
        Action("floor.next", "n,space", "happen('next')", "Next: go on to what comes", True, "next"),
        Action("floor.stop", "s", "happen('stop')", "Count a stop", True, "stop"),
        Action("floor.miss", "m", "happen('miss')", "Count a miss", True, "miss"),
        Action("floor.pause", "p", "happen('pause')", "Pause: stop the clock, or let it run", True, "pause"),
        Action(
            "floor.late",
            "o",
            "make_up",
            "Make up time: shorten the rest, drop a drill, plan anew",
            short="make up time",
        ),
        Action("floor.longer", "plus,equals_sign", "minute(1)", "A minute more (in the log: of the row)"),
        Action("floor.shorter", "minus", "minute(-1)", "A minute less"),
        Action("floor.back", "b", "happen('back')", "Back to what came before"),
        Action("floor.undo", "backspace", "undo", "Undo the last key of the running practice (so does u)"),
        Action("floor.end", "x", "end", "End practice now"),
        Action("floor.drop", "d", "drop", "Put the run aside without logging it"),
        Action("floor.log", "y", "log", "When over: log it as shown", short="log it"),
        Action("floor.absent", "a", "absent", "When over: who was absent", short="absent"),
        Action("floor.rating", "r", "rate", "When over: effort of the session, 0 to 10", short="effort"),
        Action("floor.score", "k", "score", "When over: stops and tries of the row", short="score"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.known: Known | None = None
        self.run: Run | None = None
        self.confirmed = Confirmed()
        self._keeping = asyncio.Lock()
        self._counted = "stops"

    def body(self) -> ComposeResult:
        """Lay out all three states; the screen's class says which is seen."""
        yield Static("", id="stand", markup=False)
        yield Static("", id="idle", markup=False)
        with Horizontal(id="practice"):
            with Vertical(id="clock-side"):
                yield BigClock(id="clock")
                yield Static("", id="under", markup=False)
            with VerticalScroll(id="now-side", can_focus=False):
                yield Static("", id="now", markup=False)
        with VerticalScroll(id="coming-side", can_focus=False):
            yield Static("", id="coming", markup=False)
        table: DataTable[Text] = DataTable(id="log", cursor_type="row", zebra_stripes=False)
        yield table
        yield Static("", id="confirm", markup=False)

    def on_mount(self) -> None:
        """Prepare the log's table and let the clock tick."""
        table = self.query_one("#log", DataTable)
        for key, title, width in (("min", "Min", 5), ("score", "Score", 9), ("what", "What", None)):
            table.add_column(title, key=key, width=width)
        self.set_class(True, "-idle")
        self.set_interval(1.0, self.tick)

    def on_resize(self) -> None:
        """Use the room there is."""
        self._show_run()

    # ---- looking and showing -----------------------------------------------------------------------

    def _look(self) -> Known | None:
        if not self.desk.has_team():
            return None
        state = running(self.desk)
        if state is not None:
            _ = self.desk.library
            return Known(state, None, False)
        with self.desk.reading() as session:
            plan = queries.next_plan(session, self.desk.today)
        return Known(None, plan, desk_floor.log_undone(self.desk))

    def _show(self, known: Known | None) -> None:
        if known is None:
            self.stop_app.welcome()
            return
        self.known = known
        self._show_run()

    def _show_run(self) -> None:
        """Show the state, whole; the tick alone changes the clock in between."""
        state = self.known.state if self.known else None
        self.run = state.run(now_of(self.desk)) if state else None
        over = self.run is not None and self.run.over
        seen = "-idle" if self.run is None else "-over" if over else "-running"
        for one in SHOWN:
            self.set_class(one == seen, one)
        self.query_one(KeyLine).update(self._keys(seen))
        if state is None or self.run is None:
            self._show_idle()
        elif over:
            self._show_over(state, self.run)
        else:
            self._show_running(state, self.run)

    def _keys(self, seen: str) -> str:
        """Return the key line of a state, with the user's own keys."""
        by_id = {one.id: one for one in (*self.ACTIONS, *EVERYWHERE)}
        shown = [by_id[one] for one in (*SHOWN[seen], "app.help")]
        return "   ".join(f"{shown_key(self.stop_app.key_of(one))} {one.label}" for one in shown)

    def _show_idle(self) -> None:
        known = self.known
        self.query_one("#stand", Static).update("No practice is running.")
        if known is not None:
            self.query_one("#idle", Static).update(idle_text(known.plan, self.desk.today, known.resumable))

    def _show_running(self, state: Running, run: Run) -> None:
        cards, slim = self.desk.library.by_id, self.app.size.width < SLIM
        card = cards.get(run.current.drill or "")
        self._counted = card.scoring.counts if card is not None and card.scoring else "stops"
        self.tick()
        self.query_one("#now", Static).update(Text("\n".join(now_lines(run, cards, slim=slim))))
        self.query_one("#coming", Static).update(coming_text(state, run, cards))

    def tick(self) -> None:
        """Show the time; of the rest only what reads differently now."""
        state = self.known.state if self.known else None
        if state is None or self.run is None or self.run.over:
            return
        self.run = run = state.run(now_of(self.desk))
        self.query_one("#clock", BigClock).show(clock_words(run.current.left))
        self._say("#under", under_text(state, run, self._counted))
        stand = in_words(state, run)[0]
        forgotten = floor.sensible_end(state.run(state.events[-1].at), run.moment)
        if forgotten is not None:
            stand = f"Left running? x ends it at {state.clock(forgotten)}, when it was due; n goes on."
        elif round(run.late / 60_000) > 0:
            stand += "  o makes up time"
        self._say("#stand", stand)

    def _say(self, where: str, words: str) -> None:
        static = self.query_one(where, Static)
        if str(static.content) != words:
            static.update(words)

    def _show_over(self, state: Running, run: Run) -> None:
        self.query_one("#stand", Static).update(in_words(state, run)[0])
        table = self.query_one("#log", DataTable)
        row = table.cursor_row
        table.clear()
        rows = done_rows(run, self.confirmed)
        for number, cells in enumerate(rows):
            table.add_row(*(Text(cell, no_wrap=True, overflow="ellipsis") for cell in cells), key=str(number))
        table.move_cursor(row=max(0, min(row, len(rows) - 1)))
        table.focus()
        self.query_one("#confirm", Static).update(self._confirm_text())

    def _confirm_text(self) -> str:
        absent = ", ".join(self.confirmed.absent) or "nobody"
        rating = self.confirmed.rating
        words = "not asked yet" if rating is None else f"{rating} {RATING_WORDS.get(rating, '')}".strip()
        return (
            f"Absent: {absent}.  Effort of the session: {words}.\n"
            "Ask for the effort about half an hour after the end; the log can wait.\n"
            "+ - minutes of the row   k its score   u undo the end   d drop it all"
        )

    def as_text(self) -> str:
        """Return where practice stands as plain text."""
        if self.known is None or self.known.state is None or self.run is None:
            return ""
        words = in_words(self.known.state, self.run)
        return "\n".join([*words, coming_text(self.known.state, self.run, self.desk.library.by_id)])

    # ---- what keys do ------------------------------------------------------------------------------

    async def _keep(self, job: Callable[[], Running]) -> None:
        """Do something to the run, one key after the other; it is on the disk before it is shown."""
        async with self._keeping:
            try:
                state = await asyncio.to_thread(job)
            except Refusal as refusal:
                self.notify(str(refusal), severity="warning")
                return
        self.known = Known(state, None, False)
        self._show_run()

    async def action_happen(self, kind: EventKind) -> None:
        """Write down that something happens."""
        if self.run is None:
            self.notify("No practice is running; w begins one.")
            return
        await self._keep(lambda: desk_floor.happen(self.desk, kind))

    async def action_minute(self, by: int) -> None:
        """Change the running stretch by a minute, or the minutes of a row of the log."""
        if self.run is not None and self.run.over:
            self._correct(by)
        elif self.run is not None:
            await self._keep(lambda: desk_floor.happen(self.desk, "extend", by * 60))

    async def action_begin(self) -> None:
        """Begin the plan shown, or take up the run whose log was undone."""
        known = self.known
        if known is None or known.state is not None:
            return
        self.confirmed = Confirmed()
        if known.resumable:
            await self._keep(lambda: desk_floor.bring_back(self.desk))
        elif known.plan is None:
            self.notify("No plan is waiting; 1 goes to Tomorrow, where b builds one.")
        else:
            await self._begin(known.plan.date)

    async def _begin(self, day: dt.date) -> None:
        if day == self.desk.today:
            await self._keep(lambda: desk_floor.begin(self.desk, day))
            return

        def answered(yes: bool | None) -> None:
            if yes:
                self.run_worker(self._keep(lambda: desk_floor.begin(self.desk, day)), exit_on_error=False)

        question = (
            f"That plan is for {day:%A} {day.isoformat()}. Run it now? The log will carry today's date."
        )
        self.app.push_screen(AskDialog(question), answered)

    async def action_undo(self) -> None:
        """Undo the last key of the run."""
        if self.run is not None:
            await self._keep(lambda: desk_floor.undo(self.desk))

    def undo_job(self) -> Callable[[], str]:
        """Return what ``u`` runs here: of a practice that runs the last key, else what was done last."""
        if self.run is None:
            return super().undo_job()

        def job() -> str:
            desk_floor.undo(self.desk)
            return "Undone: the last key of this practice."

        return job

    def action_end(self) -> None:
        """End practice, after asking; one that was left running ends when it was due."""
        if self.run is None or self.run.over:
            return

        def end() -> Running:
            return desk_floor.happen(self.desk, "end", at=desk_floor.due_end(self.desk))

        def answered(yes: bool | None) -> None:
            if yes:
                self.run_worker(self._keep(end), exit_on_error=False)

        self.app.push_screen(AskDialog("End practice?"), answered)

    def action_drop(self) -> None:
        """Put the run aside, after asking."""
        if self.run is None:
            return

        def told(_: object) -> None:
            self.confirmed = Confirmed()
            self.notify("Put aside; nothing was logged.")
            self.refill()

        def answered(yes: bool | None) -> None:
            if yes:
                self.in_background(lambda: desk_floor.drop(self.desk), told, "drop")

        self.app.push_screen(AskDialog("Put this practice aside without logging it?"), answered)

    # ---- making up time ----------------------------------------------------------------------------

    def action_make_up(self) -> None:
        """Offer the three ways to end on time."""
        self.tick()
        state, run = self.known.state if self.known else None, self.run
        if state is None or run is None or run.over:
            self.notify("No practice is running.")
            return
        if not run.coming:
            self.notify("Nothing is to come that could be changed.")
            return
        even = floor_rest.changed(run, shorter(self.desk, run))
        minutes = max(0, (run.end - run.moment - max(0, run.current.left)) // 60_000)
        options = [
            ("drop", "Drop a drill\n  choose which"),
            ("plan", f"Plan the remaining {minutes} minutes anew\n  what was run is kept out; a few seconds"),
        ]
        if run.late > 0:
            options.insert(0, ("shorten", f"Shorten the rest evenly\n  then ends {_ending(state, even)}"))
        ways = {"shorten": lambda: self._take(even.coming), "drop": self._choose_drop, "plan": self._replan}

        def chosen(way: str | None) -> None:
            if way is not None:
                ways[way]()

        self.app.push_screen(ChooseDialog(f"Ends {_ending(state, run)}", options), chosen)

    def _take(self, coming: tuple[Stretch, ...]) -> None:
        self.run_worker(self._keep(lambda: desk_floor.take(self.desk, coming)), exit_on_error=False)

    def _choose_drop(self) -> None:
        state, run = self.known.state if self.known else None, self.run
        if state is None or run is None:
            return
        options = []
        for place, one in enumerate(run.coming):
            if one.segment.kind != "water":
                then = floor_rest.changed(run, floor_rest.without(run, place))
                title = f"{clean_line(one.segment.title)}, {one.due / 60:g} min"
                options.append((str(place), f"{title}\n  then ends {_ending(state, then)}"))
        if not options:
            self.notify("Only water is to come, and water stays.")
            return

        def chosen(place: str | None) -> None:
            if place is not None:
                self._take(floor_rest.without(run, int(place)))

        self.app.push_screen(ChooseDialog("Drop which?", options), chosen)

    def _replan(self) -> None:
        self.notify("Planning what is left …", timeout=3)

        def shown(made: Replanned) -> None:
            state, run = self.known.state if self.known else None, self.run
            if state is None or run is None:
                return
            then = floor_rest.changed(run, made.coming)
            warnings = "".join(f"\n! {one}" for one in made.warnings)
            coming = coming_text(state, then, self.desk.library.by_id)
            text = f"{coming}\n\nEnds {_ending(state, then)}{warnings}"
            dialog = PreviewDialog(f"The remaining {made.minutes} minutes", text, "take it")
            self.app.push_screen(dialog, lambda yes: self._take(made.coming) if yes else None)

        self.in_background(lambda: replan(self.desk), shown, "replan")

    # ---- the log -----------------------------------------------------------------------------------

    def _row(self) -> int | None:
        """Return the row of the log under the cursor, from 1, when there is a log to confirm."""
        if self.run is None or not self.run.over:
            self.notify("That is for the log, when practice is over; x ends it.")
            return None
        return self.query_one("#log", DataTable).cursor_row + 1

    def _run_row(self) -> tuple[int, int] | None:
        """Return the row under the cursor, from 1, and its seconds, when anything was run."""
        row = self._row()
        if row is None or self.run is None:
            return None
        done = floor.done_segments(self.run, {})
        if not 0 < row <= len(done):
            self.notify("Nothing was run for as long as a second; u undoes the end, d drops it.")
            return None
        return row, done[row - 1].seconds

    def _confirm(self, confirmed: Confirmed) -> None:
        self.confirmed = confirmed
        self._show_run()

    def _correct(self, by: int) -> None:
        found = self._run_row()
        if found is None:
            return
        row, seconds = found
        minutes = max(0.0, round(self.confirmed.took.get(row, seconds / 60)) + by)
        self._confirm(replace(self.confirmed, took={**self.confirmed.took, row: minutes}))

    def action_score(self) -> None:
        """Ask for the stops and tries of the row."""
        found_row = self._run_row()
        if found_row is None:
            return
        row = found_row[0]

        def typed(text: str | None) -> None:
            if text is None or not text.strip():
                return
            stops, found, tries = text.partition("/")
            if not (found and stops.strip().isdecimal() and tries.strip().isdecimal()):
                self.refused(f"'{clean_line(text, 20)}' is no score; write it as 7/10.")
                return
            told = {**self.confirmed.stops, row: (int(stops), int(tries))}
            self._confirm(replace(self.confirmed, stops=told))

        self.app.push_screen(TypeDialog("Stops of tries?", "", "7/10"), typed)

    def action_absent(self) -> None:
        """Ask who was absent."""
        if self._row() is None:
            return

        def typed(text: str | None) -> None:
            if text is not None:
                self._confirm(replace(self.confirmed, absent=tuple(text.replace(",", " ").split())))

        value = " ".join(self.confirmed.absent)
        self.app.push_screen(TypeDialog("Which jerseys were absent?", value, "4 21"), typed)

    def action_rate(self) -> None:
        """Ask for the effort of the session."""
        if self._row() is None:
            return
        options = [(str(n), f"{n:2}  {RATING_WORDS.get(n, '')}".rstrip()) for n in range(11)]

        def chosen(rating: str | None) -> None:
            if rating is not None:
                self._confirm(replace(self.confirmed, rating=int(rating)))

        self.app.push_screen(ChooseDialog("How hard was the session?", options), chosen)

    def action_log(self) -> None:
        """Log the practice as shown."""
        if self._row() is None:
            return
        confirmed = self.confirmed

        def told(done: tuple[object, str]) -> None:
            self.confirmed = Confirmed()
            self.notify(f"Wrote the {done[1]}. u undoes it.")
            self.refill()

        self.in_background(lambda: desk_floor.log_run(self.desk, confirmed), told, "log")


def _ending(state: Running, run: Run) -> str:
    return f"{state.clock(run.ends)}, {late_words(run)}"
