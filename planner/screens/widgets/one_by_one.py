"""What screens share that settle one thing after another: keys taken in turn, a jersey typed, taking back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from textual.app import ComposeResult
from textual.widgets import Static

from planner.screens.place import Place
from planner.screens.widgets.entry import KeyPad

Result = TypeVar("Result")


class OneByOne(Place):
    """A head, what it is about, the pad that takes every key; keys pressed while one is kept wait."""

    place = "film"
    CSS_PATH = "../film.tcss"
    HOW = ""
    NONE_YET = "Nothing has been answered since you came here."

    def __init__(self) -> None:
        super().__init__()
        self.digits = ""
        self.answered = 0
        self.busy = False
        self.ahead: list[tuple[str, str]] = []
        """Keys pressed while an answer is being kept."""

    def body(self) -> ComposeResult:
        """Lay out head, words, pad and keys."""
        yield Static("Looking …", id="game", markup=False)
        yield Static("", id="line", markup=False)
        yield KeyPad("", id="pad", markup=False)
        yield from self.below()
        yield Static(self.HOW, id="how", markup=False)

    def below(self) -> ComposeResult:
        """Compose what stands under the pad."""
        yield from ()

    def on_mount(self) -> None:
        """Take the keys."""
        self.query_one("#pad").focus()

    def on_resize(self) -> None:
        """Use the width there is."""
        self.show_it()

    def show_it(self) -> None:
        """Show what is to be settled."""

    def say(self, head: str, words: str, prompt: str) -> None:
        """Fill head, words and pad."""
        self.query_one("#game", Static).update(head)
        self.query_one("#line", Static).update(words)
        self.query_one("#pad", KeyPad).update(prompt)

    async def on_key_pad_pressed(self, event: KeyPad.Pressed) -> None:
        """Do what a key means."""
        self.tap(event.key, event.sign)

    def action_tap(self, key: str) -> None:
        """Do what a key means, asked for from the palette."""
        self.tap(key, key if len(key) == 1 else "")

    def moves(self) -> Mapping[str, Callable[[], None]]:
        """Return what keys do besides settling: by the name of the key, or by its sign."""
        return {}

    def pressed(self, said: str) -> None:
        """Settle by a sign that is neither a digit nor among the moves."""

    def tap(self, key: str, said: str) -> None:
        """Do what a key means, or keep it until the answer before it is kept."""
        if self.busy and key != "escape":
            self.ahead.append((key, said))
            return
        moves = {
            "escape": self.leave,
            "backspace": self.back,
            "u": self.back,
            **self.moves(),
        }
        if move := moves.get(key) or moves.get(said):
            move()
        elif len(said) == 1 and said in "0123456789":
            if len(self.digits) < 2:
                self.digits += said
                self.show_it()
        elif said and said.isprintable():
            self.pressed(said)

    def leave(self) -> None:
        """Go back."""
        self.app.pop_screen()

    def settle(self, job: Callable[[], Result], told: Callable[[Result], str]) -> None:
        """Keep an answer in the background, say what became of it, and look again."""
        self.busy = True

        def done(result: Result) -> None:
            self.answered += 1
            self.digits = ""
            self.notify(told(result), timeout=3)
            self.refill()

        self.in_background(job, done, "settle")

    def found(self) -> None:
        """Take the keys that waited, once what is left has been found."""
        self.busy = False
        self.show_it()
        while self.ahead and not self.busy:
            self.tap(*self.ahead.pop(0))

    def refused(self, sentence: str) -> None:
        """Show a refusal, and let the next key be pressed."""
        self._free()
        super().refused(sentence)

    def failed(self, fault: Exception) -> None:
        """Show a fault, and let the next key be pressed."""
        self._free()
        super().failed(fault)

    def _free(self) -> None:
        self.busy = False
        self.ahead.clear()

    def back(self) -> None:
        """Take a digit, or the last answer, back."""
        if self.digits:
            self.digits = self.digits[:-1]
            self.show_it()
        elif not self.answered:
            self.notify(self.NONE_YET)
        else:
            self._undo()

    def taken_back(self) -> None:
        """Hear that the last answer was taken back."""

    def _undo(self) -> None:
        from planner.desk.undo import undo_last

        self.busy = True

        def told(words: str) -> None:
            self.answered -= 1
            self.taken_back()
            self.notify(words, timeout=3)
            self.refill()

        self.in_background(lambda: undo_last(self.desk), told, "settle")
