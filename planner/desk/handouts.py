"""The plan for other hands: a card for the assistant at each basket, cards of words for the players."""

from __future__ import annotations

from pathlib import Path

from planner.build.plan import Plan
from planner.desk.desk import Desk
from planner.desk.printing import PrintedFile, default_path, make_folder, sheet_notes
from planner.problem import Refusal
from planner.text import clean_line

AUDIENCES = ("coach", "assistant", "players")


def print_handout(
    desk: Desk,
    plan: Plan,
    audience: str,
    to: Path | None = None,
    *,
    paper: str = "letter",
    large: bool = False,
    overwrite: bool = False,
) -> PrintedFile:
    """Write the assistant's card (one per basket) or the players' cards as a PDF.

    Raises:
        Refusal: it is for neither of them, the file does not end in .pdf, or it cannot be written.

    """
    from planner.paper.files import write_atomically

    if audience not in AUDIENCES[1:]:
        raise Refusal(
            f"'{clean_line(audience, 20)}' is nobody a card is printed for; say assistant or players."
        )
    target = to or _default(desk, plan, audience)
    if target.suffix.lower() != ".pdf":
        raise Refusal(
            f"'{clean_line(target.name, 60)}' does not end in .pdf, and cards are printed as nothing else."
        )
    if paper not in {"letter", "a4"}:
        raise Refusal(f"'{clean_line(paper, 20)}' is no paper; say letter or a4.")
    notes = sheet_notes(desk, plan, needs=False)
    if audience == "assistant":
        from planner.paper.assistant_card import assistant_card

        printed = assistant_card(plan, notes, "a4" if paper == "a4" else "letter", large)
    else:
        from planner.desk.needs import assess_needs
        from planner.paper.player_card import player_cards, words_today

        needs = [one.principle for one in assess_needs(desk, as_of=plan.date).principles]
        said = words_today(plan, notes.drills, needs)
        printed = player_cards(
            plan, said, notes.principles, notes.team, "a4" if paper == "a4" else "letter", large
        )
    if to is None:
        make_folder(target.parent)
    return PrintedFile(write_atomically(target, printed.data, overwrite), (*printed.dropped, *printed.notes))


def _default(desk: Desk, plan: Plan, audience: str) -> Path:
    usual = default_path(desk, plan)
    return usual.with_name(f"{usual.stem}-{audience}.pdf")
