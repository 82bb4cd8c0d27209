"""Tomorrow, by wishes: the coach asks for something, and the rest is planned round it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping

from planner.build.plan import Plan
from planner.desk.changes import (
    COUNTS,
    Change,
    Changed,
    change_plan,
    differences,
    keep_change,
    keep_out,
    last,
    pin,
    swap,
    unpin,
)
from planner.desk.practice import Wishes, build_plan
from planner.desk.printing import drill_titles
from planner.desk.versions import Overtaken, Version, take_version, versions
from planner.screens.actions import Action
from planner.screens.by_hand import ByHand
from planner.screens.dialogs import ReadDialog, TypeDialog
from planner.screens.widgets.choose import ChooseDialog
from planner.screens.widgets.entry import PreviewDialog
from planner.screens.widgets.timeline import drill_of

WISH_ACTIONS = (
    Action("tomorrow.longer", "plus,equals_sign", "resize(1)", "Make the drill a minute longer"),
    Action("tomorrow.shorter", "minus", "resize(-1)", "Make the drill a minute shorter"),
    Action("tomorrow.pin", "i", "pin", "Pin the drill, or let it go again"),
    Action("tomorrow.out", "x", "keep_out", "Keep the drill out"),
    Action("tomorrow.left", "l", "left_out", "Left out: why not this drill, and what it would cost"),
)
CHOOSE_FIRST = "Choose a drill first: the arrow keys move."


class ByWish(ByHand):
    """What Tomorrow can ask for; each wish is planned anew, and what it costs is said."""

    @property
    def pinned(self) -> frozenset[str]:
        """Return the drills that are pinned."""
        raise NotImplementedError

    @property
    def day(self) -> dt.date:
        """Return the day that is shown."""
        raise NotImplementedError

    def action_build(self) -> None:
        """Build the shown plan anew with its own wishes, or a first one for its day."""
        self.when_free(self._build)

    def _build(self) -> None:
        if not self.may_change():
            return
        plan, day = self.standing(), self.day

        def job() -> Plan:
            if plan is None:
                return build_plan(self.desk, Wishes(date=day)).plan
            return change_plan(self.desk, plan, lambda wishes: wishes).built.plan

        self.build(job, lambda built: self.notify(f"Built in {built.seconds:.1f} s. u undoes it."))

    def standing(self) -> Plan | None:
        """Return the plan that stands for the day shown."""
        raise NotImplementedError

    def may_change(self) -> bool:
        """Return whether what is shown may be changed; where it may not, say why."""
        raise NotImplementedError

    def change(self, change: Callable[[Plan], Change | None], words: str) -> None:
        """Build the plan with a wish more, after what is being built already; say what that costs."""

        def begin() -> None:
            plan = self.to_change()
            wish = change(plan) if plan is not None else None
            if plan is None or wish is None:
                return

            def told(changed: Changed) -> None:
                cost = f"costs {changed.lost:.2f}" if changed.lost > COUNTS else "costs next to nothing"
                self.notify(f"{words}: {cost} points per 100. u undoes it.")

            self.build(lambda: change_plan(self.desk, plan, wish), told)

        self.when_free(begin)

    def try_change(self, wish: Change, words: str) -> None:
        """Build the plan with a wish more, show what that would bring, and keep it with yes alone."""

        def begin() -> None:
            plan = self.to_change()
            if plan is None:
                return

            def told(changed: Changed) -> None:
                text = "\n".join(differences(plan, changed.built.plan, drill_titles(self.desk)))
                self.app.push_screen(PreviewDialog(f"What if: {words}", text, "keep it"), answered(changed))

            self.build(lambda: change_plan(self.desk, plan, wish, keep=False), told, f"Trying {words} …")

        def answered(changed: Changed) -> Callable[[bool | None], None]:
            def answer(yes: bool | None) -> None:
                if yes:
                    self.when_free(lambda: self._keep(changed, words))

            return answer

        self.when_free(begin)

    def _keep(self, changed: Changed, words: str) -> None:
        self.build(
            lambda: keep_change(self.desk, changed), lambda _: self.notify(f"{words} kept. u undoes it.")
        )

    def drill_to_change(self) -> str | None:
        """Return the selected drill; where none is selected, say so."""
        drill = drill_of(self.selected())
        if drill is None:
            self.notify(CHOOSE_FIRST)
        return drill

    def action_swap(self) -> None:
        """Offer the drills that fit in the selected one's place, with what each costs."""
        plan, drill = self.to_change(), self.drill_to_change()
        if drill is None or plan is None:
            return
        by_hand = self.by_hand
        known = self.desk.library.by_id
        names = drill_titles(self.desk)
        options = [
            (one, f"{names[one]}\n  {with_titles(why, names)}")
            for one, why in offers(plan, drill)
            if one in names
        ]
        if not options:
            self.notify("Nothing else fits here; x keeps this drill out and builds anew.")
            return

        def chosen(into: str | None) -> None:
            if into is not None and by_hand:
                self.swap_by_hand(into)
            elif into is not None:
                self.change(lambda _: swap(drill, into), f"{known[into].title} for {known[drill].title}")

        title = known[drill].title if drill in known else drill
        self.app.push_screen(ChooseDialog(f"Instead of {title}", options, find=True), chosen)

    def action_resize(self, by: int) -> None:
        """Make the selected drill longer or shorter; the rest is planned round it."""
        if self.by_hand:
            self.resize_by_hand(by)
            return
        drill = self.drill_to_change()
        if drill is None:
            return

        def longer(plan: Plan) -> Change | None:
            found = next((one for one in plan.segments if drill in one.drills), None)
            if found is None:
                self.notify(f"{drill} is not in the plan any more.")
            return pin(drill, found.minutes + by) if found else None

        self.change(longer, f"{drill} {'longer' if by > 0 else 'shorter'}")

    def action_pin(self) -> None:
        """Pin the selected drill, or let it go."""
        drill = self.drill_to_change()
        if drill is None:
            return
        if drill in self.pinned:
            self.change(lambda _: unpin(drill), f"{drill} let go")
        else:
            self.change(lambda _: pin(drill), f"{drill} pinned")

    def action_keep_out(self) -> None:
        """Keep the selected drill out."""
        if self.by_hand:
            self.remove_by_hand()
            return
        drill = self.drill_to_change()
        if drill is not None:
            self.change(lambda _: keep_out(drill), f"{drill} kept out")

    def action_minutes(self) -> None:
        """Ask how long practice is to be and show what that would bring."""

        def typed(text: str | None) -> None:
            if text is None:
                return
            if not text.strip().isdecimal():
                self.refused(f"'{text}' is no whole number of minutes.")
                return
            self.try_change(last(int(text)), f"{int(text)} minutes")

        plan = self.to_change()
        if plan is not None:
            self.app.push_screen(TypeDialog("How many minutes, what if?", str(plan.minutes)), typed)

    def action_left_out(self) -> None:
        """Show every drill that is not in the plan, and why; one that is chosen is tried."""
        plan = self.to_change()
        if plan is None:
            return
        names = drill_titles(self.desk)
        options = [
            (one.drill, f"{names.get(one.drill, one.drill)}\n  {with_titles(one.why, names)}")
            for one in plan.left_out
        ]
        if not options:
            self.notify("Nothing was left out.")
            return

        def chosen(drill: str | None) -> None:
            if drill is not None:
                self.try_change(pin(drill), f"{names.get(drill, drill)} in")

        text = "Enter finds out exactly what a drill would cost; nothing changes before you say yes."
        self.app.push_screen(ChooseDialog("Left out, and why", options, text, find=True), chosen)

    # ---- another coach was quicker -----------------------------------------------------------------

    def overtaken(self, overtaken: Overtaken) -> None:
        """Show what both coaches did, and let one of the plans stand; by itself the earlier one does."""
        day = self.day

        def show(found: tuple[Version, ...]) -> None:
            mine = next((one for one in found if one.number == overtaken.kept), None)
            theirs = next(
                (one for one in found if one.number is None and mine and one.plan.start == mine.plan.start),
                None,
            )
            if mine is None or theirs is None:
                self.refused(str(overtaken))
                return
            beside = differences(theirs.plan, mine.plan, drill_titles(self.desk))
            self.app.push_screen(conflict(str(overtaken), theirs.coach, beside), self._chosen(mine))

        self.in_background(lambda: versions(self.desk, day), show, "versions")

    def _chosen(self, mine: Version) -> Callable[[str | None], None]:
        def chosen(way: str | None) -> None:
            number = mine.number
            if way == "mine" and number is not None:
                self.when_free(
                    lambda: self.build(
                        lambda: take_version(self.desk, number),
                        lambda _: self.notify("Yours stands; theirs is kept. u turns it round again."),
                        "Changing …",
                    )
                )

        return chosen

    def action_rests(self) -> None:
        """Show how good the plan is known to be, what to mind, and where it hangs on a guess."""
        self.app.push_screen(ReadDialog("What this plan rests on", "\n\n".join(self.rests())))

    def rests(self) -> list[str]:
        """Return what the plan rests on, in sentences."""
        raise NotImplementedError


def offers(plan: Plan, drill: str) -> list[tuple[str, str]]:
    """Return drill and why for all that would fit in a drill's place, those then for the place of another."""
    fits = f"in place of {drill} "
    near = [(one.drill, one.why.removeprefix(fits)) for one in plan.left_out if one.why.startswith(fits)]
    others = [
        (one.drill, f"not here, but {one.why}")
        for one in plan.left_out
        if one.why.startswith("in place of") and not one.why.startswith(fits)
    ]
    return [*near, *others]


def with_titles(why: str, names: Mapping[str, str]) -> str:
    """Return a reason with the drills in it named as on the sheet."""
    return " ".join(f"‘{names[word]}’" if word in names else word for word in why.split(" "))


def conflict(sentence: str, coach: str, beside: list[str]) -> ChooseDialog:
    """Return the dialog that lets one of two coaches' plans stand."""
    who = coach or "the other coach"
    options = [
        ("theirs", f"Let that of {who} stand; yours stays beside it"),
        ("mine", "Let yours stand; the other stays beside it"),
    ]
    text = "\n".join([sentence, "", "Yours beside theirs:", *(f"  {one}" for one in beside)])
    return ChooseDialog("Two coaches changed this plan", options, text)
