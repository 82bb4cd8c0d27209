"""Team: who plays, what is taught and played, the gym, games, house rules, and the data itself."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from planner.clock import parse_date
from planner.desk import house, scheme
from planner.desk import team as desk_team
from planner.desk.teams import TeamHome, all_teams, take_in_hand
from planner.desk.words import coverages, vocabulary
from planner.need.coverage import left_out
from planner.screens.actions import Action
from planner.screens.dialogs import TypeDialog
from planner.screens.place import Place
from planner.screens.widgets.choose import ChooseDialog
from planner.screens.widgets.data_work import copies_in, work_with_data
from planner.screens.widgets.team_text import (
    SECTIONS,
    Known,
    Row,
    fixed_from,
    game_from,
    gym_from,
    plain,
    player_from,
    rows_of,
    said_of,
    section_line,
    setting_from,
    setting_words,
)
from planner.store import queries
from planner.store.values import PlayerInfo
from planner.text import clean_line


class TeamPlace(Place):
    """Sections on the left, their rows on the right, what the row means below."""

    place = "team"
    CSS_PATH = "team.tcss"
    ACTIONS: ClassVar[tuple[Action, ...]] = (
        Action("team.add", "a", "add", "Add to this section", True, "add"),
        Action("team.change", "e,space", "change", "Change it, switch it, do it (Enter too)", True, "change"),
        Action("team.remove", "x", "remove", "Remove it; a setting: as usual again", True, "remove"),
        Action("team.exposure", "o", "exposure", "Opponent: how much more they go at something"),
        Action("team.other", "w", "other", "Work with another team of this folder"),
        Action("team.rows", "right", "focus_on('rows')", "To the rows"),
        Action("team.sections", "left", "focus_on('sections')", "To the sections"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.known: Known | None = None
        self.section = "roster"
        self._place: dict[str, str] = {}

    def body(self) -> ComposeResult:
        """Lay out headline, sections, rows and what is said of them."""
        yield Static("", id="team-line", markup=False)
        with Horizontal(id="team-halves"):
            yield SectionList(id="team-sections")
            yield RowList(id="team-rows")
        yield Static("", id="team-detail", markup=False)

    def on_mount(self) -> None:
        """Begin in the sections."""
        self.query_one("#team-sections").focus()

    def _look(self) -> Known | None:
        desk = self.desk
        if not desk.has_team():
            return None
        known_coverages = coverages(desk)
        with desk.reading() as session:
            team = queries.team(session)
            assert team is not None
            found = scheme.scheme_overview(session)
            played = frozenset(found["coverages"])
            return Known(
                team=team,
                players=queries.players(session),
                games=queries.games(session),
                gym=queries.gym_rules(session),
                ahead=tuple(
                    (day, tuple(one for one in queries.gym_on(session, day) if one.halves))
                    for day in (desk.today + dt.timedelta(days=n) for n in range(7))
                ),
                fixed=queries.fixed_rules(session),
                off=queries.switched_off(session),
                played=played,
                left_out=left_out([one for one in known_coverages if one.id in played]),
                exposure=found["exposure"],
                settings=queries.settings(session),
                usual=house.usual_settings(),
                vocabulary=vocabulary(desk),
                coverages=known_coverages,
                home=str(desk.home),
                today=desk.today,
                copies=tuple(str(one) for one in copies_in(desk.home)),
            )

    def _show(self, known: Known | None) -> None:
        self.known = known
        if known is None:
            self.query_one("#team-line", Static).update("There is no team here yet.")
            self.stop_app.welcome()
            return
        team = known.team
        season = f"   season {team.season_start or '?'} to {team.season_end or '?'}"
        level = f"   {team.level}" if team.level else ""
        self.query_one("#team-line", Static).update(f"{team.name}{level}{season}")
        listed = self.query_one("#team-sections", OptionList)
        lines = [Option(Text(section_line(one, known)), id=one) for one in SECTIONS]
        with self.prevent(OptionList.OptionHighlighted):
            listed.clear_options()
            listed.add_options(lines)
            listed.highlighted = list(SECTIONS).index(self.section)
        self._show_rows()

    def _show_rows(self) -> None:
        if self.known is None:
            return
        rows = rows_of(self.section, self.known)
        listed = self.query_one("#team-rows", OptionList)
        wanted = self._place.get(self.section)
        with self.prevent(OptionList.OptionHighlighted):
            listed.clear_options()
            listed.add_options(
                Option(Text(one.text, style="" if one.id else "bold"), id=one.id or None, disabled=not one.id)
                for one in rows
            )
            ids = [one.id for one in rows]
            first = next((n for n, one in enumerate(ids) if one), None)
            listed.highlighted = ids.index(wanted) if wanted in ids else first
        self._show_detail()

    @on(OptionList.OptionHighlighted, "#team-sections")
    def _enter_section(self, event: OptionList.OptionHighlighted) -> None:
        """Show the section under the cursor."""
        if event.option.id and event.option.id != self.section:
            self.section = event.option.id
            self._show_rows()

    @on(OptionList.OptionHighlighted, "#team-rows")
    def _show_detail(self) -> None:
        """Say what the row means, and what keys do here."""
        if self.known is None:
            return
        row = self.row()
        if row is not None:
            self._place[self.section] = row.id
        lines = [row.detail] if row and row.detail else []
        self.query_one("#team-detail", Static).update("\n".join([*lines, said_of(self.section, self.known)]))

    def row(self) -> Row | None:
        """Return the row under the cursor."""
        if self.known is None:
            return None
        listed = self.query_one("#team-rows", OptionList)
        rows = rows_of(self.section, self.known)
        at = listed.highlighted
        return rows[at] if at is not None and at < len(rows) and rows[at].id else None

    def as_text(self) -> str:
        """Return the section as plain text."""
        return plain(self.section, rows_of(self.section, self.known)) if self.known else ""

    # ---- what keys do ------------------------------------------------------------------------------

    def action_focus_on(self, side: str) -> None:
        """Go to the rows or back to the sections."""
        self.query_one(f"#team-{side}").focus()

    @on(OptionList.OptionSelected, "#team-sections")
    def _into_rows(self) -> None:
        self.action_focus_on("rows")

    @on(OptionList.OptionSelected, "#team-rows")
    def _enter(self) -> None:
        self.action_change()

    def _write(self, job: Callable[[], str]) -> None:
        def told(words: str) -> None:
            self.notify(f"{words} u undoes it.")
            self.refill()

        self.in_background(job, told, "write")

    def _ask(self, question: str, value: str, hint: str, verb: Callable[[str], str]) -> None:
        """Ask for one line and run the verb with it; an empty line does nothing."""

        def typed(text: str | None) -> None:
            if text is not None and text.strip():
                self._write(lambda: verb(text.strip()))

        self.app.push_screen(TypeDialog(question, value, hint), typed)

    def action_add(self) -> None:
        """Add to the section."""
        desk = self.desk
        if self.known is None:
            return
        if self.section == "roster":
            self._ask(
                "New player: jersey, and if you like position and name",
                "",
                "12 guard",
                lambda text: desk_team.save_player(desk, player_from(text)),
            )
        elif self.section == "gym":
            self._ask(
                "Gym time: day, from, to; then half, whole or closed, and a note",
                "",
                "tue 16:30 18:00 half",
                lambda text: desk_team.add_gym_rule(desk, gym_from(text, desk.today)),
            )
        elif self.section == "fixed":
            self._ask(
                "Fixed block: title, minutes, first/last/minutes after the start; a weekday if only then",
                "",
                "Team stretch 10 last",
                lambda text: desk_team.add_fixed(desk, fixed_from(text)),
            )
        elif self.section == "games":
            self._ask(
                "Game: day, opponent, and home, away or neutral",
                "",
                "2026-12-04 Harbour Point away",
                self._add_game,
            )
        else:
            self.notify("Nothing is added here; e changes what there is.")

    def _add_game(self, text: str) -> str:
        date, opponent, venue = game_from(text, self.desk.today)
        number = desk_team.add_game(self.desk, date, opponent, venue)
        return f"Game {number} v {opponent} is in the calendar."

    def action_change(self) -> None:
        """Change, switch or do what the row says."""
        row, known = self.row(), self.known
        if row is None or known is None or self.query_one("#team-sections").has_focus:
            self.notify("Choose a row first: → goes to the rows, the arrows move.")
            return
        if self.section in {"gym", "fixed"}:
            self.notify("x removes it, a adds it anew.")
            return
        verbs: dict[str, Callable[[Row, Known], None]] = {
            "roster": self._change_player,
            "teach": self._switch_breakdown,
            "play": self._switch_coverage,
            "games": self._change_game,
            "settings": self._change_setting,
            "team": self._change_team,
            "data": lambda row, _: work_with_data(self, row.id),
        }
        verbs[self.section](row, known)

    def _change_player(self, row: Row, known: Known) -> None:
        player = next(one for one in known.players if one.jersey == row.id)
        self._ask(
            f"Player {player.jersey}: position and name (- for none)",
            f"{player.position or '-'} {player.name}".strip(),
            "guard",
            lambda text: desk_team.save_player(self.desk, _changed(player, text)),
        )

    def _switch_breakdown(self, row: Row, known: Known) -> None:
        self._write(lambda: desk_team.teach(self.desk, row.id, row.id in known.off))

    def _switch_coverage(self, row: Row, known: Known) -> None:
        self._write(lambda: scheme.set_coverage(self.desk, row.id, row.id not in known.played))

    def _change_game(self, row: Row, known: Known) -> None:
        game = next(one for one in known.games if str(one.id) == row.id)

        def verb(text: str) -> str:
            return house.change_game(self.desk, game.id, *game_from(text, self.desk.today))

        value = f"{game.date.isoformat()} {game.opponent} {game.venue}".strip()
        self._ask(f"Game {game.id}: day, opponent, and home, away or neutral", value, "", verb)

    def _change_setting(self, row: Row, known: Known) -> None:
        value = known.settings.get(row.id, known.usual.get(row.id))
        text = "" if value is None else setting_words(row.id, value)

        def verb(typed: str) -> str:
            return desk_team.set_setting(self.desk, row.id, setting_from(row.id, typed))

        self._ask(f"{row.id}: {row.detail}", text, "", verb)

    def _change_team(self, row: Row, known: Known) -> None:
        team, desk = known.team, self.desk
        stood = {"name": team.name, "level": team.level, "start": team.season_start, "end": team.season_end}

        def verb(text: str) -> str:
            said = "" if text == "-" else text
            day = parse_date(said, desk.today) if said and row.id in {"start", "end"} else None
            made = {
                "name": replace(team, name=said),
                "level": replace(team, level=clean_line(said, 40)),
                "start": replace(team, season_start=day),
                "end": replace(team, season_end=day),
            }[row.id]
            return desk_team.set_up(desk, made)

        question = {
            "name": "What is the team called?",
            "level": "Level? (- for none)",
            "start": "First day of the season? (- for none)",
            "end": "Last day of the season? (- for none)",
        }[row.id]
        self._ask(question, str(stood[row.id] or ""), "", verb)

    def action_exposure(self) -> None:
        """Ask how much more an opponent goes at a principle."""
        row, known = self.row(), self.known
        if known is None or self.section != "games" or row is None:
            self.notify("Choose a game first: section Games.")
            return
        options = [(one.id, one.title) for one in known.vocabulary.principles]

        def chosen(principle: str | None) -> None:
            if principle is None:
                return
            stood = known.exposure.get(row.id, {}).get(principle, 1.0)

            def verb(text: str) -> str:
                factor = setting_from("exposure", text.lstrip("xX"))
                return scheme.set_exposure(self.desk, principle, float(factor), int(row.id))

            self._ask(f"{principle}: how much more? 1 is neutral, 0 to 5", f"{stood:g}", "1.5", verb)

        self.app.push_screen(ChooseDialog("What do they go at?", options), chosen)

    def action_other(self) -> None:
        """Choose among the teams of the data folder and work with that one."""

        def ask(found: tuple[TeamHome, ...]) -> None:
            if len(found) < 2:
                self.notify("There is one team here; one more: stopsheet team new NAME --further")
                return
            options = [(one.key, f"{'*' if one.in_hand else ' '} {one.name}  {one.level}") for one in found]
            self.app.push_screen(ChooseDialog("Which team?", options), chosen)

        def chosen(key: str | None) -> None:
            if key is not None:
                self.in_background(lambda: take_in_hand(self.desk, key), self.stop_app.work_at, "team")

        self.in_background(lambda: all_teams(self.desk), ask, "teams")

    def action_remove(self) -> None:
        """Remove the row's thing (u brings it back); a setting goes back to what is usual."""
        row, desk = self.row(), self.desk
        if row is None or self.query_one("#team-sections").has_focus:
            self.notify("Choose a row first: → goes to the rows, the arrows move.")
            return
        verbs: dict[str, Callable[[], str]] = {
            "roster": lambda: desk_team.remove_player(desk, row.id),
            "gym": lambda: house.remove_gym_rule(desk, int(row.id)),
            "fixed": lambda: house.remove_fixed(desk, int(row.id)),
            "games": lambda: house.remove_game(desk, int(row.id)),
            "settings": lambda: house.reset_setting(desk, row.id),
        }
        verb = verbs.get(self.section)
        if verb is None:
            self.notify("Nothing is removed here.")
            return
        self._write(verb)


class SectionList(OptionList):
    """The sections."""

    help = "The sections of what was set up: the arrows move, → or Enter goes to the rows on the right."


class RowList(OptionList):
    """The rows of a section."""

    help = (
        "What is in the section. [x] counted or played, [ ] not, [-] left out by what you play."
        " Below stands what the row means and what keys do with it."
    )


def _changed(player: PlayerInfo, text: str) -> PlayerInfo:
    position, _, name = text.partition(" ")
    return replace(player, position="" if position == "-" else position, name=name.strip())
