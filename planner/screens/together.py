"""Tomorrow, all days until the game: going from day to day, planned together, accepted one by one."""

from __future__ import annotations

import datetime as dt

from textual.worker import get_current_worker

from planner.build.horizon import Step
from planner.build.plan import Plan
from planner.desk.horizon import DaysAhead, UntilGame, keep_days, until_game
from planner.desk.practice import Wishes
from planner.screens.actions import Action
from planner.screens.by_wish import ByWish
from planner.text import plural

DAY_ACTIONS = (
    Action("tomorrow.day_before", "left", "day(-1)", "The practice before, until the game"),
    Action("tomorrow.day_after", "right", "day(1)", "The practice after, until the game"),
    Action("tomorrow.together", "g", "together", "Until the game: plan all days together"),
    Action("tomorrow.accept", "a", "accept", "Accept the day shown as planned together"),
    Action("tomorrow.stop", "escape", "stop", "Stop building, or let go of what is only proposed"),
)


class Together(ByWish):
    """The days until the game; what was planned together is proposed until it is accepted."""

    date: dt.date | None = None
    start: int | None = None
    found: UntilGame | None = None

    def __init__(self) -> None:
        super().__init__()
        self.proposed: dict[dt.date, Plan] = {}

    @property
    def ahead(self) -> DaysAhead | None:
        """Return the days until the game, as far as they are known."""
        raise NotImplementedError

    def may_change(self) -> bool:
        """Return whether what is shown may be changed: a proposal may not, before it is accepted."""
        if self.day in self.proposed:
            self.notify("This day is only proposed: a accepts it, Esc lets it go.")
            return False
        return True

    def to_change(self) -> Plan | None:
        """Return the plan that stands; where there is none to change, say so."""
        if not self.may_change():
            return None
        plan = self.standing()
        if plan is None:
            self.notify("There is no plan to change; b builds one.")
        return plan

    def action_day(self, by: int) -> None:
        """Go to the practice before or after, as far as the next game."""
        days = self.ahead.days if self.ahead else ()
        here = next((n for n, one in enumerate(days) if (one.date, one.start) == self.shown_day()), None)
        if here is None:
            here = next((n for n, one in enumerate(days) if one.date >= self.day), len(days)) - (by > 0)
        if not 0 <= here + by < len(days):
            which = "first" if by < 0 else "last"
            self.notify(f"That is the {which} practice until the game; d goes to any day.")
            return
        to = days[here + by]
        self.date, self.start = to.date, to.start if to.state != "open" else None
        self.wanted_row = 0
        self.refill()

    def shown_day(self) -> tuple[dt.date, int] | None:
        """Return date and start of the practice that is shown."""
        raise NotImplementedError

    def action_together(self) -> None:
        """Plan all days until the game together, in the background; nothing is kept before it is accepted."""
        self.when_free(self._together)

    def _together(self) -> None:
        days = [one for one in self.ahead.days if one.state != "done"] if self.ahead else []
        if not days or self.ahead is None or self.ahead.game is None:
            self.notify("There is no practice before a game here: 6 Team has games and gym hours.")
            return
        first = days[0].date

        def tell(step: Step) -> None:
            if get_current_worker().is_cancelled:
                return
            look = "" if step.look == 1 else f", looked at again ({step.look})"
            words = f"Planning together: day {step.day} of {step.days}{look} …"
            self.app.call_from_thread(self.tell_progress, words)

        def told(found: UntilGame) -> None:
            self.found = found
            self.proposed = {one.date: one for one in found.days.plans}
            if self.day not in self.proposed:
                self.date, self.start = found.days.plans[0].date, None
            self.notify(
                f"{plural(len(self.proposed), 'day')} planned together, worth {found.days.worth:.2f} per 100"
                " on the day of the game. a accepts the day shown, ← → go through them, Esc lets go."
            )

        self.build(
            lambda: until_game(self.desk, Wishes(date=first), again=True, tell=tell),
            told,
            "Planning together …",
        )

    def action_accept(self) -> None:
        """Keep the day that is shown as it was planned together with the others."""
        self.when_free(self._accept)

    def _accept(self) -> None:
        day, found = self.day, self.found
        if found is None or day not in self.proposed:
            self.notify("Nothing is proposed for this day; g plans all days until the game together.")
            return

        def told(_: tuple[int, ...]) -> None:
            self.proposed.pop(day, None)
            left = f" {plural(len(self.proposed), 'day')} still to be accepted: ← →." if self.proposed else ""
            self.notify(f"{day:%a} {day.day} {day:%b} is kept. u undoes it.{left}")

        self.build(lambda: keep_days(self.desk, found, {day}), told, "Keeping …")

    def action_stop(self) -> None:
        """Stop what is being built, or let go of what is proposed."""
        if not self.stop() and self.proposed:
            self.proposed = {}
            self.notify("What was proposed is gone; the plans are as they were.")
            self.refill()
