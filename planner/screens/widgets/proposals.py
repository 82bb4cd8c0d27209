"""Proposals of narrated film, one at a time with its words and time: yes, no, another, one key each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import ClassVar

from planner.desk import film_proposals
from planner.desk.film_proposals import YES, Answered, Which, place_of, who_of
from planner.drills.vocabulary import Breakdown
from planner.film.answers import NO
from planner.screens.actions import Action
from planner.screens.dialogs import AskDialog
from planner.screens.place import Place
from planner.screens.widgets.entry import SearchDialog
from planner.screens.widgets.one_by_one import OneByOne
from planner.store.values import ProposalInfo
from planner.text import plural


class ProposalScreen(OneByOne):
    """One proposal at a time, in the order of the film."""

    HOW = "y yes  n no  b another breakdown  space later  s all as sure  backspace back"
    ACTIONS: ClassVar[tuple[Action, ...]] = (
        Action("proposal.yes", "y", "tap('y')", "Yes: it counts, charged to the jersey shown", True, "yes"),
        Action("proposal.no", "n", "tap('n')", "No: it is none of our breakdowns", True, "no"),
        Action("proposal.other", "b", "tap('b')", "Another breakdown: type a few letters", True, "another"),
        Action("proposal.sure", "s", "tap('s')", "Yes to all that wait and are at least as sure"),
        Action("proposal.later", "space", "tap('space')", "Later: look at the next one"),
        Action("proposal.back", "backspace", "tap('backspace')", "Take a digit, or the last answer, back"),
        Action("proposal.leave", "escape", "tap('escape')", "Back to the games", True, "back"),
    )

    def __init__(self, breakdowns: tuple[Breakdown, ...]) -> None:
        super().__init__()
        self.breakdowns = breakdowns
        self.titles = {one.id: one.title for one in breakdowns}
        self.waiting: tuple[ProposalInfo, ...] = ()
        self.at = 0
        self.settled: list[int] = []
        """What was answered here, so that taking it back shows it again."""
        self.wanted = 0

    def _look(self) -> tuple[ProposalInfo, ...]:
        return film_proposals.proposals(self.desk)

    def _show(self, waiting: tuple[ProposalInfo, ...]) -> None:
        wanted = self.wanted or (self.one.id if self.one else 0)
        self.wanted = 0
        self.waiting = waiting
        # What was shown stays; once it is settled the next of the film comes, and after the last the first.
        self.at = next((at for at, one in enumerate(waiting) if one.id >= wanted), 0)
        self.found()

    def taken_back(self) -> None:
        """Show again what was answered last."""
        self.wanted = self.settled.pop()

    @property
    def one(self) -> ProposalInfo | None:
        """Return the proposal that is shown."""
        return self.waiting[self.at] if self.at < len(self.waiting) else None

    def show_it(self) -> None:
        """Show the proposal, or that nothing waits."""
        one = self.one
        if one is None:
            self.say("No proposal waits.", "Esc goes back to the games; u takes the last answer back.", "")
            return
        left = len(self.waiting)
        self.say(f"{plural(left, 'proposal')} left, {one.file}", self._words(one), self._prompt(one))

    def _words(self, one: ProposalInfo) -> str:
        asks = f"\nNo player of ours wears {one.asks[0]}; type who it was." if one.asks else ""
        return f"{place_of(one)}   {one.sure:.0%} sure\n\n“{one.text}”\n{asks}"

    def _prompt(self, one: ProposalInfo) -> str:
        jersey = f"{self.digits}_" if self.digits else who_of(one) or "nobody named"
        return f"▶ {self.titles.get(one.breakdown, one.breakdown)}, {jersey}?   y yes   n no   b another"

    def moves(self) -> Mapping[str, Callable[[], None]]:
        """Return what keys do."""
        return {
            "y": partial(self._answer, YES),
            "n": partial(self._answer, NO),
            "b": self._other,
            "slash": self._other,
            "s": self._as_sure,
            "space": self._later,
        }

    def pressed(self, said: str) -> None:
        """Say what keys there are."""
        self.notify(f"'{said}' answers nothing; y yes, n no, b another breakdown.", timeout=2)

    def _later(self) -> None:
        if self.waiting:
            self.at = (self.at + 1) % len(self.waiting)
            self.digits = ""
            self.show_it()

    def _other(self) -> None:
        def found(breakdown: str | None) -> None:
            if breakdown is not None:
                self._answer(breakdown)

        if self.one is not None:
            self.app.push_screen(SearchDialog(self.breakdowns), found)

    def _answer(self, said: str) -> None:
        one = self.one
        if one is None:
            return
        players = [self.digits] if self.digits and said != NO else []

        def told(done: Answered) -> str:
            self.settled.append(one.id)
            words = self.titles.get(one.breakdown if said == YES else said, "no")
            return f"{words}. {done.left} left."

        self.settle(lambda: film_proposals.answer(self.desk, Which((one.id,)), said, players), told)

    def _as_sure(self) -> None:
        one = self.one
        if one is None:
            return
        many = [other for other in self.waiting if other.sure >= one.sure]

        def told(done: Answered) -> str:
            self.settled.append(one.id)
            return f"Yes to {len(done.changed)}. {done.left} left."

        def answered(yes: bool | None) -> None:
            if yes:
                which = Which(above=one.sure)
                self.settle(lambda: film_proposals.answer(self.desk, which, YES), told)

        question = f"Yes to all {len(many)} that are at least {one.sure:.0%} sure?"
        self.app.push_screen(AskDialog(question), answered)

    def as_text(self) -> str:
        """Return all that waits, as lines."""
        return "\n".join(
            f"{place_of(one)} {one.sure:.0%} {self.titles.get(one.breakdown, one.breakdown)}"
            f" {who_of(one)}: {one.text}"
            for one in self.waiting
        )


def open_proposals(place: Place) -> None:
    """Open what narration proposes over a place, which looks again when it is left."""

    def look() -> tuple[Breakdown, ...]:
        from planner.desk.words import vocabulary

        place.desk.need_team()
        return vocabulary(place.desk).breakdowns

    place.in_background(look, lambda found: place.app.push_screen(ProposalScreen(found)), "proposals")
