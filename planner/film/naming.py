"""What one stretch of words names: phrases first, weighed where they may mislead, then likeness."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

from planner.film.clipped import unclipped
from planner.film.meant import liked, overruled, told
from planner.film.misheard import misheard
from planner.film.undone import undone
from planner.film.wording import Lexicon, Meaning, Spot
from planner.film.words import Token, stem

POINTS = frozenset({"points", "pts", "point", "pt"})
THEIR = frozenset({"their", "opp", "opponents"})
_THEY = frozenset({"they", "theyre", "opponents", "opponent"})
_OF_DEFENDERS = frozenset(
    {
        *("ball-watching", "turned-back", "hands-down", "no-talk", "no-pursuit", "no-bluff", "over-commit"),
        *("fly-by", "left-feet", "reach-foul", "slow-back", "no-pressure", "slow-recover", "late-show"),
        *("no-box-out", "late-help", "far-from-paint", "died-on-screen", "stuck-on-tag", "unmatched"),
    }
)
"""What is told with the one who did it as its subject: nothing of ours where that is an opponent."""
_SUBJECT = 3
_LACKING = frozenset(
    {
        *("no", "nobody", "noone", "none", "without", "not", "never"),
        *("late", "slow", "poor", "bad", "weak", "lazy"),
    }
)
"""Words that begin a mistake told as a thing, which may stand behind any subject: ``they score, no help``."""
_REASONS = frozenset({"because", "cause", "as", "while", "when"})


def _stems(*words: str) -> frozenset[str]:
    return frozenset(stem(word) for word in words)


_ATTACKERS = _stems(
    *(
        "shooter",
        "cutter",
        "roller",
        "screener",
        "screen",
        "dribbler",
        "handler",
        "passer",
        "driver",
        "trailer",
    ),
    *("spacing", "offense", "offence", "attack", "cuts", "sets", "roll", "picks"),
)
"""Who and what is ours only when we have the ball."""
_WISHES = frozenset(
    {"remember", "lets", "must", "want", "wanted", "wish", "hopefully", "always", "teach", "rep", "reps"}
)
_WANTED = frozenset(
    {
        *(
            (who, what)
            for who in ("we", "you", "i")
            for what in ("need", "must", "want", "wanted", "gotta", "wish")
        ),
        *(("have", "to"), ("work", "on"), ("working", "on"), ("need", "to"), ("make", "sure")),
    }
)
"""Words that begin what is wanted of everybody."""
_SHOT = _stems(
    *("shot", "shoot", "shooter", "shooting", "jumper", "closeout", "closes", "arrive", "threw", "thrower"),
)
_PASSED = _stems("pass", "passer", "passing", "skip", "feed", "entry", "inbounder")
_ARRIVED = frozenset(
    {(get, to) for get in ("got", "gets", "get") for to in ("there", "to")} | {("in", "time")}
)
_MIDST = 3
"""Other words among which a faint phrase says little."""
_EVERYDAY = 2
"""Words of a phrase of everyday words that is faint."""
_AS_IT_STANDS = 0.9
_WINDOW = 6
"""Words on either side of a faint phrase that may bear it out."""
_DOUBT = 2.0
"""Lead of another breakdown that a faint phrase with its player does not outweigh."""
_BESIDE = 2
_AROUND = 2
_LIKE = 0.75
_FEW = 3
_POINTS_LAST = 2
"""Words of ``two points`` at the end of a stretch."""


class Beside(NamedTuple):
    """What stands directly before and behind a stretch; ``theirs``: the player before is an opponent."""

    before: Token | None = None
    after: Token | None = None
    theirs: bool = False

    @property
    def player(self) -> bool:
        """Return whether a player stands on either side."""
        return _player(self.before) or _player(self.after)


def names(said: list[str], lexicon: Lexicon, beside: Beside) -> list[Spot]:
    """Return what a stretch names, in order; mistakes of the other team are neutral."""
    return [_ours(spot, said, beside) for spot in _found(said, lexicon, beside)]


def _found(said: list[str], lexicon: Lexicon, beside: Beside) -> list[Spot]:
    spots = lexicon.spots(said)
    if _our_attack(said) or (not beside.player and _wished(said)):
        return [spot for spot in spots if spot.meaning.kind not in ("breakdown", "denied")]
    alone = lexicon.by_itself(said) if not spots else None
    if alone is not None:
        return [alone]
    full = unclipped(said, spots, lexicon)
    if full is not None:
        return _among(spots, full)
    heard = None if _names_any(spots, "breakdown") else misheard(said, spots, lexicon)
    if heard is not None:
        return sorted([*spots, heard], key=lambda one: one.start)
    kept = [
        spot for spot in spots if not _faint(spot, said, lexicon) or _borne_out(spot, said, lexicon, beside)
    ]
    if spots and not kept:
        return _told(said, lexicon, beside)
    if len(kept) == 1:
        return [_overruled(kept[0], said, lexicon)]
    return _lacking(kept, said, lexicon, beside)


def _lacking(spots: list[Spot], said: list[str], lexicon: Lexicon, beside: Beside) -> list[Spot]:
    """Return the phrases, or what no phrase foresaw: an action undone, a phrase with a stranger inside."""
    lacks = None if _names_any(spots, "breakdown", "denied", "praised") else undone(said, lexicon)
    if lacks is not None and spots:
        return _among(spots, lacks)
    if spots or any((stem(word),) in lexicon.groups["praise"] for word in said):
        return spots
    return lexicon.loose(said) or ([lacks] if lacks else _told(said, lexicon, beside))


def _names_any(spots: Sequence[Spot], *kinds: str) -> bool:
    return any(spot.meaning.kind in kinds for spot in spots)


def _among(spots: Sequence[Spot], new: Spot) -> list[Spot]:
    """Return phrases with a new one, which takes the place of those it overlaps."""
    apart = [one for one in spots if one.end <= new.start or one.start >= new.end]
    return sorted([*apart, new], key=lambda one: one.start)


def _ours(spot: Spot, said: list[str], beside: Beside) -> Spot:
    """Return what a phrase says of us: nothing of what they did; hands down on a shot are no contest."""
    if spot.meaning.kind != "breakdown":
        return spot
    if spot.meaning.id in _OF_DEFENDERS and _they_did(spot, said, beside):
        return replace(spot, meaning=Meaning("neutral"))
    if spot.meaning.id == "hands-down" and _on_shot(said):
        return replace(spot, meaning=Meaning("breakdown", "no-contest"))
    return spot


def _they_did(spot: Spot, said: list[str], beside: Beside) -> bool:
    """Say whether a mistake is told of the other team: ``their #11 loses the ball``, ``they jog back``."""
    if spot.start > _SUBJECT or said[spot.start] in _LACKING or "by" in said[spot.start : spot.end]:
        return False
    if said[0] in _THEY or said[0] in THEIR:
        return not _REASONS & set(said[: spot.start])
    return beside.theirs and spot.start <= 1


def _our_attack(said: Sequence[str]) -> bool:
    """Say whether a stretch tells of our own attack: ``nobody bumps our cutter``."""
    pairs = [*pairwise(said), *zip(said, said[2:], strict=False)]
    return any(word == "our" and stem(after) in _ATTACKERS for word, after in pairs)


def _wished(said: Sequence[str]) -> bool:
    """Say whether a stretch tells what is wanted, not what was: ``lets work on no middle``."""
    return said[0] in _WISHES or bool(_WANTED & set(pairwise(said)))


def _on_shot(said: Sequence[str]) -> bool:
    """Say whether a stretch is about a shot or the way out to it, not about a pass."""
    words = {stem(word) for word in said}
    return (bool(words & _SHOT) or bool(_ARRIVED & set(pairwise(said)))) and not words & _PASSED


def _faint(spot: Spot, said: list[str], lexicon: Lexicon) -> bool:
    """Say whether words that may name a mistake, and much else, stand in the midst of many others."""
    if spot.meaning.kind != "breakdown" or spot.meaning.short or spot.sure < _AS_IT_STANDS:
        return False
    phrase = tuple(one.text for one in lexicon.canonical(said[spot.start : spot.end], spelling=False))
    few = len(phrase) <= _EVERYDAY and not lexicon.firm & set(phrase)
    everyday = few or spot.end - spot.start == 1
    if phrase in lexicon.own or not (everyday or phrase in lexicon.faint):
        return False
    return len(lexicon.canonical(said, spelling=False)) - len(phrase) >= _MIDST


def _borne_out(spot: Spot, said: list[str], lexicon: Lexicon, beside: Beside) -> bool:
    """Say whether the words around a faint phrase, or a player beside it, bear it out."""
    best, lead = liked(said[max(0, spot.start - _WINDOW) : spot.end + _WINDOW], lexicon)
    if best == spot.meaning.id:
        return True
    before = spot.start <= _BESIDE and _player(beside.before)
    behind = spot.end == len(said) and _player(beside.after)
    return (before or behind) and lead < _DOUBT


def _player(token: Token | None) -> bool:
    return token is not None and token.kind in ("number", "jersey")


def _overruled(spot: Spot, said: list[str], lexicon: Lexicon) -> Spot:
    """Return a phrase, or what the words around it make of it when they are many."""
    if spot.meaning.kind != "breakdown" or len(said) < spot.end - spot.start + _AROUND:
        return spot
    named = overruled(spot.meaning.id, said, lexicon)
    if named == spot.meaning.id:
        return spot
    return replace(spot, meaning=Meaning("breakdown", named), sure=_LIKE)


def _told(said: list[str], lexicon: Lexicon, beside: Beside) -> list[Spot]:
    """Return what a stretch tells in words no phrase foresaw; points at its end are left."""
    made = told(said, lexicon, player=beside.player)
    end = len(said) - _POINTS_LAST if said[-1] in POINTS and len(said) > _FEW else len(said)
    return [Spot(0, end, Meaning("breakdown", made[0]), made[1])] if made else []
