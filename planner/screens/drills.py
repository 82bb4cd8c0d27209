"""Drills: find one by typing, its card with the court, its ladder; your own drills; into the next plan."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from planner.desk.child import run_command
from planner.desk.drills import court_rules, ladder
from planner.drills.card import Drill
from planner.drills.library import Library
from planner.drills.query import PREFIXES, Query, headed, matching, parse_query
from planner.problem import Problem
from planner.screens.actions import Action
from planner.screens.dialogs import ReadDialog
from planner.screens.place import Place
from planner.screens.widgets.drill_card import DrillCard, Shown, faults_text, stage_dots
from planner.screens.widgets.find import FindLine
from planner.screens.widgets.ladder import LadderDialog
from planner.screens.widgets.own_files import FAULTY, OwnFiles
from planner.store import queries
from planner.text import clean_line, plural

HINT = "/ find by words, or p:box-out s:live n:8 (F1 tells all)"


@dataclass(frozen=True, slots=True)
class Known:
    """What the place shows: the library, the rule book of the court, files to put right by name."""

    library: Library
    rules: str
    faulty: Mapping[str, tuple[Problem, ...]]


class DrillsPlace(Place):
    """What was typed on top, the drills found on the left, the card on the right."""

    place = "drills"
    CSS_PATH = "drills.tcss"
    ACTIONS: ClassVar[tuple[Action, ...]] = (
        Action("drills.find", "slash", "find", "Find by typing", True, "find"),
        Action("drills.pin", "i", "pin", "Put it into the next practice, or take it out again", True, "pin"),
        Action("drills.ladder", "g", "ladder", "The principle's ladder, and where you stand", True, "ladder"),
        Action("drills.print", "p", "print", "Print the card (PDF)", True, "print"),
        Action("drills.next", "right_square_bracket", "turn(1)", "The next picture"),
        Action("drills.before", "left_square_bracket", "turn(-1)", "The picture before"),
        Action("drills.whole", "enter", "whole", "The card over the whole screen (Esc: back)"),
        Action("drills.edit", "e", "edit", "Edit in your editor; a library drill is copied first"),
        Action("drills.new", "n", "new", "Begin a drill of your own"),
        Action("drills.remove", "x", "remove", "Put your own drill away, into the trash folder"),
        Action("drills.restore", "r", "restore", "Bring a drill back from the trash folder"),
        Action("drills.all", "escape", "all", "Back to the list; then: show all drills again"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.known: Known | None = None
        self.found: tuple[Drill, ...] = ()
        self.go_to: str | None = None
        self.files = OwnFiles(self, self.gone_to)

    def body(self) -> ComposeResult:
        """Lay out the line to type in, list and card."""
        told = "Type words; each must stand in the drill. Or ask shortly:\n" + "\n".join(
            f"  {key:4} {words}" for key, words in PREFIXES.items()
        )
        yield FindLine(HINT, f"{told}\nEnter goes on to the list.", id="find")
        with Horizontal(id="drill-halves"):
            with Vertical(id="drill-side"):
                yield Static("Reading the library …", id="drill-count", markup=False)
                yield DrillList(id="drill-list")
            yield DrillCard(id="card")

    def on_mount(self) -> None:
        """Begin in the list, where letters are keys."""
        self.query_one("#drill-list").focus()

    def _look(self) -> Known:
        library = self.desk.library
        faulty: dict[str, tuple[Problem, ...]] = {}
        own = str(self.desk.home / "drills")
        for one in library.problems:
            if one.file.startswith(own) and one.file.endswith(".toml"):
                name = Path(one.file).stem
                faulty[name] = (*faulty.get(name, ()), one)
        return Known(library, court_rules(self.desk), faulty)

    def _show(self, known: Known) -> None:
        self.known = known
        self._list(self._query())

    def _query(self) -> Query:
        assert self.known is not None
        return parse_query(self.query_one("#find", FindLine).value, self.known.library.vocabulary)

    def _list(self, query: Query) -> None:
        assert self.known is not None
        library = self.known.library
        chosen = self.go_to or self.selected_id()
        self.go_to = None
        self.found = matching(library, query)
        options: list[Option] = []
        if query == Query() or query.own:
            options += [
                Option(Text(f"! {name}: to put right"), id=FAULTY + name)
                for name in sorted(self.known.faulty)
            ]
        for heading, drills in headed(self.found, library.vocabulary):
            options.append(Option(Text(heading, style="bold underline"), disabled=True))
            options += [Option(self._row(one, library), id=one.id) for one in drills]
        listed = self.query_one("#drill-list", OptionList)
        listed.clear_options()
        listed.add_options(options)
        ids = [one.id for one in options]
        if chosen and chosen.startswith(FAULTY) and chosen not in ids:
            chosen = chosen.removeprefix(FAULTY)
        at = (
            ids.index(chosen)
            if chosen and chosen in ids
            else next((n for n, one in enumerate(ids) if one), None)
        )
        listed.highlighted = at
        self.query_one("#drill-count", Static).update(self._count(query, library))
        self._show_card()

    @staticmethod
    def _row(one: Drill, library: Library) -> Text:
        mark = " "
        if one.id in library.own:
            mark = "!" if one.id in library.changed else "*"
        line = Text(no_wrap=True, overflow="ellipsis")
        line.append(f"{mark}{stage_dots(one.stage)} ")
        return line.append(one.title)

    def _count(self, query: Query, library: Library) -> str:
        if query.puzzling:
            return f"not understood: {clean_line(' '.join(query.puzzling), 40)}"
        count = f"{len(self.found)} of {plural(len(library.drills), 'drill')}"
        return f"{count}, * your own" if library.own else count

    @on(Input.Changed, "#find")
    def _typed(self) -> None:
        """Show what fits as it is typed."""
        if self.known is not None:
            self._list(self._query())

    @on(FindLine.Left)
    def _to_list(self) -> None:
        self.query_one("#drill-list").focus()

    @on(OptionList.OptionHighlighted, "#drill-list")
    def _show_card(self) -> None:
        """Show the highlighted drill's card; its pictures are read in the background."""
        card = self.query_one("#card", DrillCard)
        known, chosen = self.known, self.selected_id()
        if known is None or chosen is None:
            card.show_text("Nothing fits. Esc in the list shows all drills again." if known else "")
            return
        if chosen.startswith(FAULTY):
            name = chosen.removeprefix(FAULTY)
            card.show_text(faults_text(name, known.faulty.get(name, ())))
            return
        drill = known.library.by_id[chosen]
        titles = {one.id: one.title for one in known.library.vocabulary.principles}

        def job() -> Shown:
            from planner.desk.library import court_of
            from planner.drills.pictures import frames_of

            frames = frames_of(known.library, drill.id, court_of(known.rules))
            return Shown(drill, frames, titles, _remarks(drill, known.library))

        self.in_background(job, card.show, "card")

    def selected_id(self) -> str | None:
        """Return the id of the highlighted row."""
        listed = self.query_one("#drill-list", OptionList)
        if listed.highlighted is None or listed.highlighted >= listed.option_count:
            return None
        return listed.get_option_at_index(listed.highlighted).id

    def selected(self) -> Drill | None:
        """Return the highlighted drill; say how to choose one where none is."""
        chosen = self.selected_id()
        drill = self.known.library.by_id.get(chosen or "") if self.known else None
        if drill is None:
            self.notify("Choose a drill first: the arrow keys move.")
        return drill

    def as_text(self) -> str:
        """Return the card as plain text, its pictures told in words."""
        return self.query_one("#card", DrillCard).plain()

    # ---- what keys do ------------------------------------------------------------------------------

    def action_find(self) -> None:
        """Go to the line to type in."""
        self.remove_class("whole-card")
        self.query_one("#find").focus()

    def action_all(self) -> None:
        """Leave the whole card, else the card, else show all drills again."""
        if self.has_class("whole-card") or self.query_one("#card").has_focus:
            self.remove_class("whole-card")
            self.query_one("#drill-list").focus()
        else:
            self.query_one("#find", FindLine).value = ""

    @on(OptionList.OptionSelected, "#drill-list")
    def action_whole(self) -> None:
        """Show the card over the whole screen."""
        self.add_class("whole-card")
        self.query_one("#card").focus()

    def action_turn(self, by: int) -> None:
        """Change the picture."""
        self.query_one("#card", DrillCard).turn(by)

    def action_ladder(self) -> None:
        """Show the ladder of the drill's main principle; a drill chosen there is gone to."""
        drill = self.selected()
        if drill is None:
            return
        principle = drill.main_principle
        if principle is None:
            self.notify("This one teaches no principle of the defence, so it stands on no ladder.")
            return
        words = self.desk.library.vocabulary.principle_by_id[principle]
        self.in_background(
            lambda: ladder(self.desk, principle),
            lambda found: self.app.push_screen(LadderDialog(words, *found, drill.id), self._go),
            "ladder",
        )

    def _go(self, drill: str | None) -> None:
        """Go to a drill, whatever was typed."""
        if drill is None or self.known is None:
            return
        self.go_to = drill
        find = self.query_one("#find", FindLine)
        if find.value:
            find.value = ""
        else:
            self._list(self._query())

    def action_pin(self) -> None:
        """Put the drill into the next practice, or take it out again."""
        if drill := self.selected():
            self.notify("Planning the next practice with it …")
            self.in_background(lambda: _pin(self, drill), self._told, "pin")

    def gone_to(self, row: str) -> None:
        """Look again, and go to a row."""
        self.go_to = row
        self.refill()

    def _told(self, words: str) -> None:
        self.notify(words)
        self.refill()

    def action_print(self) -> None:
        """Print the card in a process of its own."""
        if drill := self.selected():
            self.notify("Printing …")
            self.in_background(
                lambda: run_command(self.desk, "print", "drill", drill.id),
                lambda said: self.app.push_screen(ReadDialog("Printed", said)),
                "print",
            )

    def undo_job(self) -> Callable[[], str]:
        """Return what ``u`` runs here: the last change of a drill's file where that is the newest thing."""
        return self.files.undo_or(super().undo_job())

    def action_edit(self) -> None:
        """Open the drill in the coach's editor; ask before a library drill is copied."""
        chosen = self.selected_id() or ""
        if chosen.startswith(FAULTY):
            self.files.open(chosen.removeprefix(FAULTY))
            return
        drill = self.selected()
        if drill is None or self.known is None:
            return
        if drill.id in self.known.library.own:
            self.files.open(drill.id)
        else:
            self.files.offer_copy(drill)

    def action_new(self) -> None:
        """Begin a drill of one's own and open it in the editor."""
        self.files.begin(self.known.library.by_id.get(self.selected_id() or "") if self.known else None)

    def action_remove(self) -> None:
        """Put the selected drill of one's own away, after asking."""
        chosen = (self.selected_id() or "").removeprefix(FAULTY)
        if self.known and chosen in (self.known.library.own | self.known.faulty.keys()):
            self.files.put_away(chosen)
        else:
            self.notify("Only drills of your own (*) can be put away; those of the library stay.")

    def action_restore(self) -> None:
        """Ask for a drill in the trash folder and bring it back."""
        self.files.bring_back()


class DrillList(OptionList):
    """The drills found."""

    help = (
        "The drills found, by principle and stage: ● for each stage reached (walk, guided, contested, live),"
        " * your own, ! your own whose library original has changed since. Enter shows the card whole."
    )


def _remarks(drill: Drill, library: Library) -> tuple[str, ...]:
    if drill.id not in library.own:
        return ()
    changed = "The library's own has changed since you copied it; x goes back to it."
    return ("Your own drill.", changed) if drill.id in library.changed else ("Your own drill.",)


def _pin(place: Place, drill: Drill) -> str:
    """Plan the next practice with the drill pinned, or free again where it was; say what that costs."""
    from planner.build.brief import Pin
    from planner.desk.changes import change_plan, pin, stored_wishes, unpin
    from planner.desk.practice import Wishes, build_plan

    desk = place.desk
    with desk.reading() as session:
        plan = queries.next_plan(session, desk.today)
    if plan is None:
        tomorrow = desk.today + dt.timedelta(days=1)
        build_plan(desk, Wishes(date=tomorrow, pins=(Pin(drill.id),)))
        return f"Planned {tomorrow.isoformat()} with {drill.title}. u undoes it."
    pinned = any(one.drill == drill.id for one in stored_wishes(desk, plan).pins)
    lost = change_plan(desk, plan, unpin(drill.id) if pinned else pin(drill.id)).lost
    day = f"{plan.date:%a} {plan.date.isoformat()}"
    if pinned:
        return f"{drill.title} is free again for {day}. u undoes it."
    cost = f"costs {lost:.2f} points per 100" if lost > 0.005 else "costs next to nothing"
    return f"{drill.title} is in the practice of {day}: {cost}. u undoes it."
