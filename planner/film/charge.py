"""Which players a breakdown on a line is charged to, how often it is counted, and what was not understood."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from planner.film.charge_lend import OF_ALL, attach_loose, carry, helping, lend
from planner.film.charge_parts import PRONOUNS, Charge, Part, parts_of
from planner.film.items import Item
from planner.film.points import Habits
from planner.film.wording import Lexicon
from planner.film.words import stem

__all__ = ["Charge", "Charged", "charge"]

_CODE = 4
"""Longest word that looks like a short form."""
_NEAR_WORDS = 6
_FOLLOWS = frozenset(
    {
        *(
            ("no-tag", "free-cutter"),
            ("no-tag", "unmatched"),
            ("no-tag", "no-box-out"),
            ("missed-switch", "unmatched"),
        ),
        *(("stuck-on-tag", "unmatched"), ("stuck-on-tag", "late-closeout"), ("free-cutter", "no-box-out")),
        *(
            ("strong-side-help", "unmatched"),
            ("strong-side-help", "over-commit"),
            ("turned-back", "hands-down"),
            ("no-rotation", "over-commit"),
            ("easy-catch", "late-closeout"),
            ("lost-off-screen", "unmatched"),
            ("late-closeout", "unmatched"),
            ("back-cut", "unmatched"),
            ("over-commit", "no-pressure"),
            ("fly-by", "blown-by"),
            ("lost-off-screen", "died-on-screen"),
            ("left-feet", "fly-by"),
            ("left-feet", "reach-foul"),
            ("no-rotation", "unmatched"),
            ("ball-not-stopped", "no-bluff"),
            ("missed-switch", "unmatched"),
            ("no-pursuit", "inside-lost"),
        ),
    }
)
"""What is only said to tell how the first went on, when it names nobody else: roll man free, no bump."""
_TWO = frozenset({"pair", "both", "two"})
_ANEW = frozenset({"again", "second", "another", "also", "too", "later"})
"""Words with which a mistake is one more, not the same told in more words."""
_REMARK = 3
"""Longest stretch of unknown words that may be a breakdown we do not know."""


@dataclass(slots=True)
class Charged:
    """What a line charges; ``odd`` says what could not be understood and why."""

    charges: list[Charge] = field(default_factory=list)
    odd: list[str] = field(default_factory=list)


def charge(line: Sequence[Item], points: frozenset[int], habit: Habits, lexicon: Lexicon) -> Charged:
    """Attach players and counts to the breakdowns of a line.

    A player belongs to the breakdown of his own stretch (between commas, slashes, sentences). Where a
    stretch holds several breakdowns, players stand before them or after them, as the stretch itself
    shows; a stretch of players alone goes on with the breakdown before it, or waits for the next.
    """
    parts = parts_of(line, points, habit, lexicon)
    made = Charged()
    for part in parts:
        _attach(part)
        _count(part)
    carry(parts)
    attach_loose(parts)
    lend(parts)
    made.charges = _followed(_merged([one for part in parts for one in part.charges]))
    for part in parts:
        made.odd += [why for why in _odd(part, lexicon) if not (made.charges and _went_before(part, lexicon))]
    return made


def _followed(charges: list[Charge]) -> list[Charge]:
    """Drop what only tells how another mistake went on; a hand missing on a slip is the slip.

    Hands at the sides on a shot are no contest, told once.
    """
    shots = [one for one in charges if one.breakdown == "no-contest"]
    charges = [
        one
        for one in charges
        if one.breakdown != "hands-down"
        or one.named
        or not any(
            not one.players or not shot.players or set(one.players) & set(shot.players) for shot in shots
        )
    ]
    slip = next((one for one in charges if one.breakdown == "slipped-screen" and not one.players), None)
    hand = next((one for one in charges if one.breakdown == "no-contest" and not one.named), None)
    if slip is not None and hand is not None:
        slip.add(hand.players)
        charges = [one for one in charges if one is not hand]
    return [
        one
        for one in charges
        if one.named
        or not any(
            (other.breakdown, one.breakdown) in _FOLLOWS and set(one.players) <= set(other.players)
            for other in charges
        )
    ]


def _merged(charges: list[Charge]) -> list[Charge]:
    """Drop what a line only says again: a breakdown without players that stands with players too."""
    kept: list[Charge] = []
    for one in charges:
        if one.players and not one.named and any(_told_twice(one, other) for other in kept):
            continue
        others = [other for other in charges if other.breakdown == one.breakdown and other is not one]
        bare = not one.players and one.count == 1
        again = any(other.players or other.count > 1 for other in others) or any(o in kept for o in others)
        if not (bare and again):
            kept.append(one)
    return kept


def _told_twice(one: Charge, other: Charge) -> bool:
    """Say whether one mistake of the same players is only told in more words."""
    same = other.breakdown == one.breakdown and set(other.players) == set(one.players)
    return same and not one.anew and one.count == other.count == 1


def _of_both(part: Part) -> None:
    """Mark what is told of two who were named before."""
    if part.words and not part.groups and not _TWO.isdisjoint(part.words):
        for one in part.charges:
            one.both = True


def _attach(part: Part) -> None:
    """Charge the players of a stretch to its breakdowns."""
    charges = part.charges
    for charged in charges:
        charged.anew = not _ANEW.isdisjoint(part.words)
    _of_both(part)
    if part.pieces[1:2] == ["praise"] and isinstance(part.pieces[0], list) and len(part.groups) > 1:
        del part.pieces[0]
    if len(charges) == 1 or (len(part.groups) == 1 and len({one.breakdown for one in charges}) == 1):
        for group in part.groups[:1] if _helped_after(part) else part.groups:
            charges[0].add(group)
        return
    if not charges:
        return
    shown = [one for one in part.pieces if not isinstance(one, str)]
    before = isinstance(shown[0], list) and not isinstance(shown[-1], list)
    for at, one in enumerate(shown):
        if isinstance(one, list):
            _give(part, shown, at, before=before)
    told = before or bool(PRONOUNS & set(part.words))
    if told and len(part.groups) == 1 and "link" in part.pieces:
        for other in charges[1:]:
            other.add(part.groups[0])


def _helped_after(part: Part) -> bool:
    """Say whether a stretch tells of one man's mistake and then of another who came to help."""
    several = len(part.groups) > 1 and isinstance(part.pieces[0], list)
    return several and isinstance(part.pieces[-1], list) and helping(part.words)


def _give(part: Part, shown: list[Charge | list[str]], at: int, *, before: bool) -> None:
    group = shown[at]
    last = shown[at - 1] if at else None
    after = shown[at + 1] if at + 1 < len(shown) else None
    assert isinstance(group, list)
    both = isinstance(last, Charge) and isinstance(after, Charge)
    alone = both and not (at + 2 < len(shown) and isinstance(shown[at + 2], list))
    follows_and = at > 0 and part.pieces[_place(part, group) - 1] == "and"
    of_all = both and not before and (last.nobodys or last.breakdown in OF_ALL)  # type: ignore[union-attr]
    if both and alone and (of_all or follows_and):
        after.add(group)  # type: ignore[union-attr]
    elif both and not before and alone and len(group) == 2 and "joined" in part.pieces:
        last.add(group[:1])  # type: ignore[union-attr]
        after.add(group[1:])  # type: ignore[union-attr]
    elif isinstance(after, Charge) and (before or not isinstance(last, Charge)):
        after.add(group)
    elif isinstance(last, Charge):
        last.add(group)


def _place(part: Part, group: list[str]) -> int:
    return next(at for at, piece in enumerate(part.pieces) if piece is group)


def _count(part: Part) -> None:
    for at, times in part.times:
        before = [one for one in part.pieces[:at] if isinstance(one, Charge)]
        after = [one for one in part.pieces[at:] if isinstance(one, Charge)]
        taker = before[-1] if before else after[0] if after else None
        if taker is not None and 1 <= times <= 20:
            taker.count = times


def _odd(part: Part, lexicon: Lexicon) -> list[str]:
    """Say what in a stretch may be a breakdown that was not understood."""
    said = " ".join(part.words)
    if "denied" in part.meanings:
        return ["a breakdown is named and denied in one breath"]
    if any(word.startswith("#") for word in part.words):
        return [f"no jersey {next(word for word in part.words if word.startswith('#'))[1:]}"]
    if part.charges or not part.words or {"praised", "clean", "stop", "neutral"} & set(part.meanings):
        return []
    if part.words[0].startswith("player "):
        return [f"what did {part.words[0]} do?"]
    if _near(part, lexicon):
        return [f"'{said}' is close to a breakdown but not sure enough"]
    canonical = {word.text for word in lexicon.canonical(part.words)}
    if any((word,) in lexicon.groups["topics"] for word in canonical) and not any(
        (word,) in lexicon.groups["praise"] for word in canonical
    ):
        return [f"'{said}': done or missed?"] if part.groups or len(part.words) <= _REMARK else []
    unknown = [word for word in part.words if word not in lexicon.known]
    coded = len(part.words) == 1 and len(part.words[0]) <= _CODE
    if unknown and len(part.words) <= _REMARK and (part.groups or coded):
        return [f"'{said}' is no breakdown we know"]
    return []


def _went_before(part: Part, lexicon: Lexicon) -> bool:
    """Say whether a stretch tells what was done before it went wrong: ``tags, never gets out``."""
    if not part.groups and "did" not in part.words:
        return False
    done = [
        word
        for word in part.words
        if (stem(word),) in lexicon.groups["topics"]
        or (lexicon.same.get((word,), ""),) in lexicon.groups["topics"]
    ]
    return bool(done) and ("did" in part.words or all(word.endswith(("s", "ed")) for word in done))


def _near(part: Part, lexicon: Lexicon) -> bool:
    """Say whether a looser reading of misspelt words would make a breakdown."""
    if len(part.words) > _NEAR_WORDS:
        return False
    loose = []
    for word in part.words:
        near = lexicon.near(word, 2 if len(word) < 8 else 3)
        loose.append(near[0][0] if near else word)
    if loose == part.words:
        return False
    return any(spot.meaning.kind == "breakdown" for spot in lexicon.spots(loose))
