"""The frame of a practice: warm-up, fixed blocks and cool-down, and the sections left between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from planner.build.brief import Brief, FixedBlock
from planner.build.plan import SegmentKind
from planner.clock import clock_text
from planner.problem import Refusal
from planner.text import plural


@dataclass(frozen=True, slots=True)
class Block:
    """A stretch that is decided beforehand, from ``start`` to ``end`` (minutes after the practice begins).

    ``own_water`` marks a block after which the water clock starts anew, because it is too long (or too
    hemmed in) for the breaks to fall outside it.
    """

    start: int
    end: int
    kind: SegmentKind
    title: str
    effort: int
    halves: int
    shares: Mapping[str, int]
    drill: str | None = None
    own_water: bool = False
    content: str = ""

    @property
    def minutes(self) -> int:
        """Return the block's length."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class Section:
    """An open stretch for drills; ``waters`` is the most breaks it may hold."""

    start: int
    end: int
    waters: int

    @property
    def minutes(self) -> int:
        """Return the section's length."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class Frame:
    """Blocks and sections in the order of the clock, and what the coach should know about them."""

    parts: tuple[Block | Section, ...]
    warnings: tuple[str, ...]

    @property
    def blocks(self) -> tuple[Block, ...]:
        """Return the decided stretches."""
        return tuple(one for one in self.parts if isinstance(one, Block))

    @property
    def sections(self) -> tuple[Section, ...]:
        """Return the open stretches."""
        return tuple(one for one in self.parts if isinstance(one, Section))


def build_frame(brief: Brief) -> Frame:
    """Lay warm-up, fixed blocks and cool-down on the clock.

    Raises:
        Refusal: they do not fit, overlap, or the brief makes no practice.

    """
    _check_sizes(brief)
    blocks = _placed(brief)
    _check_overlaps(brief, blocks)
    parts: list[Block | Section] = []
    at = 0
    for block in blocks:
        if block.start > at:
            parts.append(_section(at, block.start, brief))
        parts.append(block)
        at = block.end
    if at < brief.minutes:
        parts.append(_section(at, brief.minutes, brief))
    return _with_own_water(parts, brief)


def _check_sizes(brief: Brief) -> None:
    if brief.minutes < 1:
        raise Refusal(f"A practice of {plural(brief.minutes, 'minute')} is none; give at least 1.")
    if not brief.squad:
        raise Refusal("The squad is empty: a practice needs at least one player.")
    fixed = sum(one.minutes for one in brief.fixed)
    around = brief.warm_up_minutes + brief.cool_down_minutes
    if fixed + around > brief.minutes:
        raise Refusal(
            f"Fixed blocks need {fixed} min and warm-up and cool-down {around} min,"
            f" the practice has {brief.minutes} min."
        )


def _section(start: int, end: int, brief: Brief) -> Section:
    """Return a section; one shorter than a water break holds none."""
    fits = end - start >= brief.rules.water_minutes
    return Section(start, end, (end - start) // brief.rules.water_every + 1 if fits else 0)


def _placed(brief: Brief) -> list[Block]:
    blocks = []
    begin = 0
    for one in brief.fixed:
        if one.at == "start" or (one.at == 0 and brief.warm_up_minutes):
            blocks.append(_fixed(one, begin))
            begin += one.minutes
    if brief.warm_up_minutes:
        card = brief.warm_up
        blocks.append(
            Block(
                *(begin, begin + brief.warm_up_minutes, "warm-up", card.title if card else "Warm-up"),
                effort=card.effort if card else 3,
                halves=1,
                shares=dict(card.shares) if card else {},
                drill=card.id if card else None,
            )
        )
    first = begin + brief.warm_up_minutes
    last = brief.minutes - brief.cool_down_minutes
    for one in brief.fixed:
        if one.at == "start" or (one.at == 0 and brief.warm_up_minutes):
            continue
        if one.at == "first":
            blocks.append(_fixed(one, first))
            first += one.minutes
        elif one.at != "last":
            blocks.append(_fixed(one, int(one.at)))
    for one in reversed([one for one in brief.fixed if one.at == "last"]):
        last -= one.minutes
        blocks.append(_fixed(one, last))
    if brief.cool_down_minutes:
        card = brief.cool_down
        start = brief.minutes - brief.cool_down_minutes
        blocks.append(
            Block(
                *(start, brief.minutes, "cool-down", card.title if card else "Cool-down"),
                effort=card.effort if card else 1,
                halves=1,
                shares=dict(card.shares) if card else {},
                drill=card.id if card else None,
            )
        )
    return sorted(blocks, key=lambda one: (one.start, one.end))


def _fixed(one: FixedBlock, start: int) -> Block:
    if one.minutes < 1:
        raise Refusal(f"The fixed block '{one.title}' has {one.minutes} min; give at least 1.")
    return Block(
        *(start, start + one.minutes, "fixed", one.title, one.effort, one.halves, dict(one.shares)),
        own_water=one.halves == 0,
        content=one.content,
    )


def _check_overlaps(brief: Brief, blocks: list[Block]) -> None:
    end = 0
    before = "the start of practice"
    for block in blocks:
        begins = clock_text(brief.start + block.start)
        if block.start < end:
            raise Refusal(
                f"'{block.title}' at {begins} begins before {before} is over"
                f" ({clock_text(brief.start + end)}); move one of them."
            )
        end, before = block.end, f"'{block.title}'"
    if end > brief.minutes:
        raise Refusal(
            f"{before} would end at {clock_text(brief.start + end)}, after practice ends"
            f" ({clock_text(brief.start + brief.minutes)})."
        )


def _with_own_water(parts: list[Block | Section], brief: Brief) -> Frame:
    """Mark the blocks inside which players must drink because no break can be put between them.

    ``earliest`` is the latest moment at which the last break before a part can have ended.
    """
    every = brief.rules.water_every
    done: list[Block | Section] = []
    warnings = []
    rested = 0
    for part in parts:
        if isinstance(part, Section):
            rested = part.end if part.waters else rested
            done.append(part)
            continue
        if part.own_water:
            rested = part.end
            done.append(part)
            continue
        dry = part.end - rested
        if dry > every:
            part = replace(part, own_water=True)  # noqa: PLW2901
            warnings.append(
                f"{clock_text(brief.start + part.start)} '{part.title}' leaves {dry} minutes without water:"
                " give a break inside it."
            )
            rested = part.end
        done.append(part)
    return Frame(tuple(done), tuple(warnings))
