"""What a change by hand brings with it: clock times, load, worth against the best plan, rules broken."""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.build.brief import Brief
from planner.build.candidates import worths_of
from planner.build.check import check_plan
from planner.build.plan import LeftOut, Plan, Segment
from planner.build.timetable import OPEN_TITLE
from planner.build.worth import total_worth
from planner.clock import clock_text
from planner.drills.card import SHARE_UNIT
from planner.text import plural

BY_HAND = "taken out by hand"

NOTHING = 0.005
"""Worth below which a difference is not shown as one."""


@dataclass(frozen=True, slots=True)
class Consequences:
    """What is different after an edit.

    ``moved`` holds (title, clock before, clock after) of what stayed in and moved. ``lost`` is worth given up
    against the best plan there is, in points per 100. ``over`` is by how many minutes practice runs over.
    ``broken`` are rules now broken that were not, ``mended`` those kept again, ``standing`` all broken ones.
    """

    moved: tuple[tuple[str, int, int], ...]
    load: tuple[float, float]
    worth: tuple[float, float]
    lost: float
    over: int
    open: int
    broken: tuple[str, ...]
    mended: tuple[str, ...]
    standing: tuple[str, ...]

    def in_words(self) -> list[str]:
        """Return the consequences as short sentences, the weightiest first."""
        lines = [f"! {one}" for one in self.broken]
        if self.over > 0:
            lines.append(f"! {_runs_over(self.over)}")
        if self.moved:
            lines.append(_moved(self.moved))
        change = self.worth[1] - self.worth[0]
        said = "as before" if abs(change) < NOTHING else f"{change:+.2f}"
        lines.append(
            f"Worth {self.worth[1]:.2f} per 100 ({said}), {_beside(self.lost)} within the rules;"
            f" load {self.load[1]:.0f} ({self.load[1] - self.load[0]:+.0f})."
        )
        if self.open:
            lines.append(f"Open: {plural(self.open, 'minute')}.")
        lines += [f"Mended: {one}" for one in self.mended]
        standing = len(self.standing) - len(self.broken)
        if standing > 0:
            lines.append(
                f"{plural(standing, 'other rule')} broken before still {'is' if standing == 1 else 'are'}."
            )
        return lines

    def as_json(self) -> dict[str, object]:
        """Return the consequences as plain values."""
        return {
            "moved": [
                {"title": title, "from": clock_text(old), "to": clock_text(new)}
                for title, old, new in self.moved
            ],
            "load": {"before": self.load[0], "after": self.load[1]},
            "worth": {"before": self.worth[0], "after": self.worth[1], "lost": self.lost},
            "over": self.over,
            "open": self.open,
            "broken": list(self.broken),
            "mended": list(self.mended),
            "standing": list(self.standing),
        }


def _beside(lost: float) -> str:
    if abs(lost) < NOTHING:
        return "as much as the best plan"
    return f"{abs(lost):.2f} {'less' if lost > 0 else 'more'} than the best plan"


def _moved(moved: tuple[tuple[str, int, int], ...]) -> str:
    title, old, new = moved[0]
    rest = f" and {plural(len(moved) - 1, 'stretch', 'stretches')} more" if len(moved) > 1 else ""
    return f"Moved: {title} {clock_text(old)} to {clock_text(new)}{rest}."


def consequences(before: Plan, after: Plan, brief: Brief) -> Consequences:
    """Return what changed from one plan to the other, both judged by the brief."""
    earlier, now = rules_broken(before, brief), rules_broken(after, brief)
    worth = (worth_of(before, brief), worth_of(after, brief))
    return Consequences(
        moved=tuple(_moves(before, after)),
        load=(before.load, after.load),
        worth=worth,
        lost=after.bound - worth[1],
        over=after.minutes - brief.minutes,
        open=sum(one.minutes for one in after.segments if one.title == OPEN_TITLE),
        broken=tuple(one for one in now if one not in earlier),
        mended=tuple(one for one in earlier if one not in now),
        standing=tuple(now),
    )


def judged(before: Plan, after: Plan, brief: Brief) -> Plan:
    """Return the edited plan with its own worth, what is left out, and the rules it breaks as warnings.

    The bound stays that of the best plan within the rules, so that what the hand gave up can be seen; a
    plan that breaks them may be worth more.
    """
    worth = worth_of(after, brief)
    drills = {one.drill for segment in after.segments for one in segment.stations}
    gone = {one.drill for segment in before.segments for one in segment.stations if segment.drills} - drills
    known = {one.drill for one in before.left_out}
    kept = tuple(one for one in before.left_out if one.drill not in drills)
    gone_now = tuple(LeftOut(one, BY_HAND) for one in sorted(gone - known))
    return replace(
        after,
        objective=worth,
        proven=False,
        left_out=(*gone_now, *kept),
        warnings=(*_over(after, brief), *rules_broken(after, brief)),
    )


def _over(plan: Plan, brief: Brief) -> list[str]:
    over = plan.minutes - brief.minutes
    return [_runs_over(over)] if over > 0 else []


def _runs_over(minutes: int) -> str:
    return f"Practice runs {plural(minutes, 'minute')} over."


def rules_broken(plan: Plan, brief: Brief) -> list[str]:
    """Return one sentence per rule that the plan breaks, each once; when practice ends is told apart."""
    at_end = replace(brief, minutes=plan.minutes)
    return list(dict.fromkeys(check_plan(plan, at_end)))


def worth_of(plan: Plan, brief: Brief) -> float:
    """Return a plan's worth in points per 100 possessions, read off its segments group by group."""
    elsewhere = [(brief.elsewhere, 1.0)]
    parts = [(rates_of(one, brief), float(one.minutes)) for one in plan.segments]
    return total_worth(brief, [*elsewhere, *parts]) - total_worth(brief, elsewhere)


def rates_of(segment: Segment, brief: Brief) -> dict[str, float]:
    """Return effective minutes per minute by principle, for the average player."""
    if segment.kind != "drill":
        return {one: units / SHARE_UNIT * brief.lasting for one, units in segment.shares.items()}
    cards = {one.id: one for one in brief.drills if one.id in segment.drills}
    rates: dict[str, float] = {}
    there = sum(len(one.players) for one in segment.stations)
    for station in segment.stations:
        card = cards.get(station.drill)
        size = len(station.players)
        if card is None or not size:
            continue
        for principle, rate in worths_of(card, brief, (size,)).items():
            rates[principle] = rates.get(principle, 0.0) + rate * size / there
    return rates


def _moves(before: Plan, after: Plan) -> list[tuple[str, int, int]]:
    """Return what is in both plans and begins at another time; the n-th of one title stays the n-th."""
    found = []
    old: dict[str, list[int]] = {}
    for one in before.segments:
        old.setdefault(one.title, []).append(one.start)
    for one in after.segments:
        starts = old.get(one.title)
        if starts and one.title != OPEN_TITLE:
            start = starts.pop(0)
            if start != one.start:
                found.append((one.title, start, one.start))
    return found
