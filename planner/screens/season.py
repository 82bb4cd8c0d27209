"""Season: where the minutes went, whether that is where the need is, and what came of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from planner.clock import parse_date
from planner.desk.child import run_command
from planner.desk.needs import assess_needs
from planner.desk.printing import titles
from planner.desk.season import season_overview
from planner.desk.season_evidence import chart_of
from planner.desk.season_minutes import set_target
from planner.desk.season_progress import accept
from planner.desk.team import set_emphasis
from planner.problem import Refusal
from planner.screens.actions import Action, shown_key
from planner.screens.dialogs import ReadDialog, TypeDialog
from planner.screens.place import Place
from planner.screens.widgets.choose import ChooseDialog
from planner.screens.widgets.season_text import (
    PARTS,
    Known,
    Part,
    minutes_part,
    weeks_of,
    weeks_that_fit,
    words_of,
)
from planner.store import queries
from planner.text import clean_line, plural


class SeasonPlace(Place):
    """One part at a time: its rows over the whole width, below them what the selected row says."""

    place = "season"
    CSS_PATH = "season.tcss"
    ACTIONS: ClassVar[tuple[Action, ...]] = (
        Action("season.emphasis", "e", "emphasis", "Emphasis: weigh the principle's need", True, "emphasis"),
        Action("season.accept", "a", "accept", "Accept the step proposed for the principle", True, "accept"),
        Action("season.period", "w", "period", "When: the season, four weeks, since a day", True, "when"),
        Action("season.print", "p", "print", "Print the season (PDF)", True, "print"),
        Action("season.minutes", "m", "part('minutes')", "Minutes per principle and week"),
        Action("season.need", "n", "part('need')", "Need: share of the minutes beside share of the need"),
        Action("season.trends", "r", "part('trends')", "Rates: points lost, seen game by game, intervals"),
        Action("season.steps", "s", "part('steps')", "Steps: stages passed, scores, what is proposed"),
        Action("season.load", "l", "part('load')", "Load and hours by week"),
        Action("season.part_next", "right", "step(1)", "The next part"),
        Action("season.part_before", "left", "step(-1)", "The part before"),
        Action("season.earlier", "left_square_bracket", "weeks(1)", "Earlier weeks"),
        Action("season.later", "right_square_bracket", "weeks(-1)", "Later weeks"),
        Action("season.target", "g", "target", "Goal: minutes a week wanted for the principle"),
        Action("season.heat", "h", "heat", "Heat: what a WBGT reading asks for"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.known: Known | None = None
        self.part = "minutes"
        self.back = 0
        self.since: dt.date | None = None
        self.shown: Part | None = None

    def body(self) -> ComposeResult:
        """Lay out the lines on top, the rows, and what stands below."""
        yield Static("Adding up the season …", id="season-line", markup=False)
        yield Static("", id="season-parts", markup=False)
        yield Static("", id="season-head", markup=False)
        yield SeasonRows(id="season-rows")
        with VerticalScroll(id="season-below"):
            yield Static("", id="season-words", markup=False)

    def on_mount(self) -> None:
        """Begin in the rows."""
        self.query_one("#season-rows").focus()

    def _look(self) -> Known | None:
        if not self.desk.has_team():
            return None
        found = season_overview(self.desk, self.since)
        with self.desk.reading() as session:
            emphasis = queries.emphasis_on(session, found.book.until)
        needs = assess_needs(self.desk, as_of=found.book.until)
        charts = {one.principle: chart_of(self.desk, found.book, one.principle) for one in needs.principles}
        return Known(found, needs, charts, titles(self.desk), emphasis)

    def _show(self, known: Known | None) -> None:
        self.known = known
        if known is None:
            self.query_one("#season-line", Static).update("There is no team here yet.")
            self.stop_app.welcome()
            return
        self.query_one("#season-line", Static).update(self._line(known))
        self._show_part()

    def _line(self, known: Known) -> str:
        book = known.found.book
        minutes = sum(one.total for one in known.found.review.weeks) / 60
        first = book.since if book.since > dt.date.min else min((one.date for one in book.done), default=None)
        when = f"{first.isoformat()} to {book.until.isoformat()}" if first else "all so far"
        return f"{when}   {plural(len(book.done), 'practice')}, {minutes:.0f} minutes"

    def _show_part(self) -> None:
        known = self.known
        if known is None:
            return
        keys = self.stop_app.user_keys
        named = [
            (part, f"{shown_key(keys.get(one.id, one.key))} {PARTS[part][0]}")
            for one in self.ACTIONS
            if (part := one.id.removeprefix("season.")) in PARTS
        ]
        line = "".join(f"[{words}]" if part == self.part else f" {words} " for part, words in named)
        self.query_one("#season-parts", Static).update(line)
        width = self._width()
        made = PARTS[self.part][1]
        shown = minutes_part(known, width, self.back) if self.part == "minutes" else made(known, width)
        self.shown = shown
        self.query_one("#season-head", Static).update(Text(shown.head, no_wrap=True))
        rows = self.query_one("#season-rows", OptionList)
        chosen = self.selected()
        rows.clear_options()
        rows.add_options([Option(text, id=name) for name, text in shown.rows])
        ids = [name for name, _ in shown.rows]
        if ids:
            rows.highlighted = ids.index(chosen) if chosen in ids else 0
        self._show_words()

    def _width(self) -> int:
        return max(50, self.app.size.width - 4)

    def on_resize(self) -> None:
        """Use the room there is."""
        self._show_part()

    @on(OptionList.OptionHighlighted, "#season-rows")
    def _show_words(self) -> None:
        """Show what stands below: sums or gaps, and what the selected row says."""
        known, part = self.known, self.shown
        if known is None or part is None:
            return
        row = self.selected()
        words = words_of(known, self.part, row) if row else []
        if not known.found.book.done and self.part in {"minutes", "need", "load"}:
            words = ["No practice is logged in this time; the Floor logs one when it is over."]
        sums = 2 if self.part == "minutes" and part.foot else 0
        parts = [Text("\n".join(part.foot[:sums])), Text("\n".join(words), "bold")]
        parts.append(Text("\n".join(part.foot[sums:])))
        out = Text("\n").join(one for one in parts if one.plain)
        self.query_one("#season-words", Static).update(out)

    def selected(self) -> str | None:
        """Return the principle or week under the cursor."""
        rows = self.query_one("#season-rows", OptionList)
        if rows.highlighted is None or rows.highlighted >= rows.option_count:
            return None
        return rows.get_option_at_index(rows.highlighted).id

    def principle(self) -> str | None:
        """Return the principle under the cursor; say so where there is none."""
        chosen = self.selected()
        if self.known is None or chosen not in self.known.titles:
            self.notify("Choose a principle first: in Minutes, Need, Trends or Steps.")
            return None
        return chosen

    def as_text(self) -> str:
        """Return the part that is shown as plain text."""
        if self.known is None or self.shown is None:
            return ""
        title = f"{PARTS[self.part][0]}: {self._line(self.known)}"
        return f"{title}\n\n{self.shown.plain()}"

    # ---- what keys do ------------------------------------------------------------------------------

    def action_part(self, part: str) -> None:
        """Show another part."""
        self.part = part
        self._show_part()

    def action_step(self, by: int) -> None:
        """Show the next part or the one before, round and round."""
        parts = list(PARTS)
        self.action_part(parts[(parts.index(self.part) + by) % len(parts)])

    def action_weeks(self, by: int) -> None:
        """Move the heat map towards earlier or later weeks."""
        if self.known is not None:
            hidden = len(weeks_of(self.known)) - weeks_that_fit(self._width())
            self.back = max(0, min(self.back + by, hidden))
            self._show_part()

    def _write(self, job: Callable[[], str], name: str) -> None:
        def told(words: str) -> None:
            self.notify(f"{words} u undoes it.")
            self.refill()

        self.in_background(job, told, name)

    def action_emphasis(self) -> None:
        """Ask how much the principle's need is to count."""
        principle = self.principle()
        if principle is None or self.known is None:
            return

        def typed(text: str | None) -> None:
            if text is not None and text.strip():
                self._write(lambda: set_emphasis(self.desk, principle, _number(text)), "emphasis")

        title = self.known.titles[principle]
        stood = self.known.emphasis.get(principle, 1.0)
        question = f"{title}: how much is its need to count from today on? 1 is neutral, 0 to 10"
        self.app.push_screen(TypeDialog(question, f"{stood:g}", "1.5"), typed)

    def action_target(self) -> None:
        """Ask how many minutes a week the principle is to get."""
        principle = self.principle()
        if principle is None or self.known is None:
            return

        def typed(text: str | None) -> None:
            if text is not None and text.strip():
                self._write(lambda: set_target(self.desk, principle, _number(text)), "target")

        stood = next((one.target for one in self.known.found.targets if one.principle == principle), 0.0)
        question = f"{self.known.titles[principle]}: minutes a week wanted? 0 for no goal"
        self.app.push_screen(TypeDialog(question, f"{stood:g}", "40"), typed)

    def action_accept(self) -> None:
        """Take up the step proposed for the principle."""
        if principle := self.principle():
            self._write(lambda: accept(self.desk, principle), "accept")

    def action_period(self) -> None:
        """Ask for another period."""

        def chosen(way: str | None) -> None:
            if way == "since":
                self.app.push_screen(TypeDialog("Since which day?", "", "2026-11-01"), typed)
            elif way is not None:
                days = int(way)
                self._from(self.desk.today - dt.timedelta(days=days) if days else None)

        def typed(text: str | None) -> None:
            if text is None or not text.strip():
                return
            try:
                self._from(parse_date(text, self.desk.today))
            except Refusal as refusal:
                self.refused(str(refusal))

        options = [("0", "The season"), ("28", "The last four weeks"), ("since", "Since a day …")]
        self.app.push_screen(ChooseDialog("Which time?", options), chosen)

    def _from(self, day: dt.date | None) -> None:
        self.since, self.back = day, 0
        self.refill()

    def action_print(self) -> None:
        """Print the period in a process of its own."""
        since = ["--since", self.since.isoformat()] if self.since else []
        self.notify("Printing …")
        self.in_background(
            lambda: run_command(self.desk, "print", "season", *since),
            lambda said: self.app.push_screen(ReadDialog("Printed", said)),
            "print",
        )

    def action_heat(self) -> None:
        """Ask for a WBGT reading and show what the heat tables ask for at it."""

        def typed(text: str | None) -> None:
            if text is not None and text.strip():
                self.in_background(
                    lambda: _heat(self, text),
                    lambda words: self.app.push_screen(ReadDialog("Heat", words)),
                    "heat",
                )

        question = "WBGT measured on the spot? (88.1F or 31.2C)"
        self.app.push_screen(TypeDialog(question, "", "88.1F"), typed)


class SeasonRows(OptionList):
    """The rows of a part."""

    help = (
        "Minutes: a column a week; · none, ░ ▒ ▓ █ up to the most of all weeks, the figure beside it."
        " less, more: the share of the minutes is that of the need less or more a third, and 5 %."
        " ● a stage passed (walk, guided, contested, live); ▲ ▼ a step proposed."
    )


def _number(text: str) -> float:
    try:
        return float(text.strip().lstrip("xX").replace(",", "."))
    except ValueError:
        raise Refusal(f"'{clean_line(text, 20)}' is no number; write it as 1.5.") from None


def _heat(place: Place, text: str) -> str:
    from planner.desk.season_book import open_book
    from planner.desk.season_load import heat_for
    from planner.paper.frame import plain_text
    from planner.paper.season_load_view import heat_view
    from planner.season.heat import parse_reading

    reading = parse_reading(text)
    tables = heat_for(open_book(place.desk), None)
    return " ".join(plain_text(heat_view(tables, reading)).split(" "))
