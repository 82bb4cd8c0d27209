"""What a label means where it is known to name something: the words of a key, of a count, of a column.

Phrases are looked up first. Words that no phrase foresaw are compared with everything coaches are known to
write and say of each breakdown; they are read where one breakdown leads clearly, and asked about otherwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from planner.film.lexicon import MEANINGS, NO, Lexicon
from planner.film.likeness import Faults, Topics, learn_faults
from planner.film.words import plain, stem, words

_SAID = 0.4
"""What a spoken sentence counts beside a written phrase."""
_LEAD = 1.0
_LEAD_OVER_PHRASE = 2.5
_LIKE = 0.75
"""Sureness of a label read by likeness alone."""
_LONGEST = 12
_TOLD = range(3, 17)
"""Words of a stretch of notes that may be read by likeness."""
_TOLD_LEAD = 3.0
_TOLD_FAULT = 0.5
_TOLD_SURE = 0.6
_OVERRULED = 4
_HEARD = 1.5
"""Log odds from which something heard is taken."""
_HEARD_SHORT = 3.5
_FEW = 4
"""Words up to which a stretch must be heard more plainly."""
_LOST = frozenset({"away", "lose", "lost", "out", "travel", "walk", "fumble", "dropped"})
_ME = frozenset({"i", "im", "ive", "you", "and"})
_OTHERS = frozenset({"they", "their", "them", "opp", "opponent", "we", "our"})


class Meant(NamedTuple):
    """A breakdown (``id``) or one of MEANINGS (``kind``), and how sure."""

    kind: str
    id: str = ""
    sure: float = 1.0

    @property
    def target(self) -> str:
        """Return what a lexicon calls it: the id of a breakdown, else the kind of meaning."""
        return self.id or self.kind


def meant(said: str, lexicon: Lexicon, *, bare: bool = True) -> Meant | None:
    """Return what a label means, None where that is open.

    ``bare`` takes the name of an action for its failure (``box out`` in a key of mistakes).
    """
    label = words(plain(said))
    if not label or len(label) > _LONGEST:
        return None
    whole = lexicon.whole(label) or lexicon.by_itself(label)
    if whole is not None and whole.meaning.kind == "breakdown":
        return Meant("breakdown", whole.meaning.id, whole.sure)
    if whole is not None and whole.meaning.kind in MEANINGS:
        return Meant(whole.meaning.kind)
    spots = lexicon.spots(label)
    kinds = {spot.meaning.kind for spot in spots}
    if kinds & {"praised", "denied"} or credited(label, lexicon):
        return None
    if "breakdown" not in kinds and (label[0] in _OTHERS or (stem(label[0]),) in lexicon.groups["praise"]):
        return _of_nobody(label, kinds)
    if _topic(label, lexicon):
        return _missing(label, lexicon) if bare else None
    named = {spot.meaning.id for spot in spots if spot.meaning.kind == "breakdown"}
    return _likely(label, named, lexicon)


def _of_nobody(label: Sequence[str], kinds: set[str]) -> Meant | None:
    """Return what a label says that is about the other team or is praise, None where that is open."""
    if not kinds <= {"stop", "clean"}:
        return None
    if label[0] not in _OTHERS:
        return Meant("clean")
    return Meant("stop" if "stop" in kinds or _LOST & set(label) else "neutral")


def _likely(label: Sequence[str], named: set[str], lexicon: Lexicon) -> Meant | None:
    """Weigh the phrases inside a label against what it is like as a whole."""
    best, lead = liked(label, lexicon)
    if len(named) == 1 and (best in named or lead < _LEAD):
        return Meant("breakdown", named.pop())
    if named and best in named:
        return Meant("breakdown", best, _LIKE) if lead >= _LEAD else None
    need = _LEAD_OVER_PHRASE if named else _LEAD
    return Meant("breakdown", best, _LIKE) if best and lead >= need else None


def liked(label: Sequence[str], lexicon: Lexicon) -> tuple[str, float]:
    """Return the breakdown that words are most like and by how much it leads; no name if too few are known.

    One word of talk says nothing, and neither does talk of which most words were never heard.
    """
    said = [word.text for word in lexicon.canonical(label)]
    topics = _topics(lexicon)
    known = [word for word in said if word == NO or topics.knows(word)]
    if not set(known) - {NO} or len(known) < 2 or 2 * len(known) <= len(said):
        return "", 0.0
    scores = sorted(topics.scores(said).items(), key=lambda pair: (-pair[1], pair[0]))
    return scores[0][0], scores[0][1] - scores[1][1]


def told(said: Sequence[str], lexicon: Lexicon, *, player: bool) -> tuple[str, float] | None:
    """Return the breakdown that a stretch of notes tells in words no phrase foresaw, and how sure.

    It is heard as talk over film would be. Else it must be like one breakdown far more than like any other,
    sound like a mistake, and be told of a ``player`` or of nobody; what the other team did is never read so.
    """
    if len(said) not in _TOLD:
        return None
    if not player and (said[0] in _OTHERS or said[0] in _ME) and not lexicon.firm & _base(said, lexicon):
        return None
    heard = _heard(said, lexicon)
    if heard is not None or said[0] in _OTHERS:
        return heard
    line = [word.text for word in lexicon.canonical(said)]
    if not (player or NO in line) or len(line) < 2:
        return None
    best, lead = liked(said, lexicon)
    if not best or lead < _TOLD_LEAD or faulty(line, lexicon) < _TOLD_FAULT:
        return None
    return best, _TOLD_SURE


def _base(said: Sequence[str], lexicon: Lexicon) -> set[str]:
    return {word.text for word in lexicon.canonical(said)}


def _heard(said: Sequence[str], lexicon: Lexicon) -> tuple[str, float] | None:
    from planner.film.hearing import Hearing
    from planner.film.narration import load_narration
    from planner.film.spoken import sentence
    from planner.film.stance import Stretch

    if "narration" not in lexicon.memo:
        lexicon.memo["narration"] = load_narration(lexicon.narration)
    narration = lexicon.memo["narration"]
    talk = narration.numerals.joined(sentence(" ".join(said)))
    need = _HEARD if len(said) > _FEW and said[0] not in _OTHERS else _HEARD_SHORT
    told = [one for one in Hearing(Stretch(talk, narration, lexicon)).tellings() if one.odds > need]
    best = max(told, key=lambda one: (one.odds, one.breakdown), default=None)
    return (best.breakdown, _TOLD_SURE) if best is not None and best.breakdown in lexicon.ids else None


def overruled(named: str, said: Sequence[str], lexicon: Lexicon) -> str:
    """Return what a stretch is about as a whole where a short phrase in it names something else."""
    if len(said) not in _TOLD:
        return named
    best, lead = liked(said, lexicon)
    return best if best and lead >= _OVERRULED else named


def faulty(line: Sequence[str], lexicon: Lexicon) -> float:
    """Return the log odds that words in canonical form tell a mistake and no other talk."""
    return _faults(lexicon).odds(line, ())


def _faults(lexicon: Lexicon) -> Faults:
    """Return what tells a mistake from other talk, learnt from the example sentences, made once."""
    made: Faults | None = lexicon.memo.get("faults")
    if made is None:
        said, turned = (
            [
                ([word.text for word in lexicon.canonical(words(one), spelling=False)], ())
                for sentences in lexicon.narration.get(table, {}).values()
                for one in sentences
            ]
            for table in ("said", "turned")
        )
        made = lexicon.memo["faults"] = learn_faults(said, turned)
    return made


def _topics(lexicon: Lexicon) -> Topics:
    """Return what is learnt from the library's phrases and example sentences, made once."""
    made: Topics | None = lexicon.memo.get("topics")
    if made is None:
        made = Topics()
        for phrase, meaning in lexicon.memo.get("phrases", lexicon.phrases).items():
            if meaning.kind == "breakdown" and not meaning.short:
                made.learn(meaning.id, phrase)
        for breakdown, sentences in lexicon.narration.get("said", {}).items():
            for sentence in sentences if breakdown in lexicon.ids else ():
                said = lexicon.canonical(words(sentence), spelling=False)
                made.learn(breakdown, [word.text for word in said], _SAID)
        lexicon.memo["topics"] = made.settle()
    return made


def credited(label: Sequence[str], lexicon: Lexicon) -> bool:
    """Say whether a label names something done well, or is about nothing but points and players."""
    said = [word.text for word in lexicon.canonical(label)]
    return any((word,) in lexicon.groups["credit"] for word in said) and NO not in said


def _missing(label: Sequence[str], lexicon: Lexicon) -> Meant | None:
    """Return the breakdown of an action that is not done: ``box out`` is ``no box out``."""
    spot = lexicon.whole([NO, *label])
    return Meant("breakdown", spot.meaning.id) if spot and spot.meaning.kind == "breakdown" else None


def _topic(label: Sequence[str], lexicon: Lexicon) -> bool:
    """Say whether a label only names what is taught: done or missed, it does not say."""
    said = [word.text for word in lexicon.canonical(label)]
    told = lexicon.groups["topics"] | lexicon.groups["plays"] | {("and",)}
    return bool(said) and all((word,) in told for word in said)
