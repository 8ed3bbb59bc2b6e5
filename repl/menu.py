"""The menu of what can stand at the cursor, found without keeping the keyboard waiting."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator, Callable, Iterable
from concurrent.futures import Future, wait

from prompt_toolkit.buffer import CompletionState
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document

from .completion import Suggestion
from .dialogue import Dialogue
from .telling import suggestion_words

Suggested = Future[list[Suggestion]]


class Menu(Completer):
    """Offers completions. Numbers that are not known at once are found in the background; `settled` tells of them."""

    def __init__(self, dialogue: Dialogue, settled: Callable[[], None]) -> None:
        self._dialogue = dialogue
        self._settled = settled

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
        """Wait for them, where they are asked for with a key."""
        suggested = self.suggest(document)
        wait((suggested,))
        return _completions(suggested, document)

    async def get_completions_async(
        self, document: Document, complete_event: CompleteEvent
    ) -> AsyncGenerator[Completion, None]:
        """Yield them when they are known."""
        suggested = self.suggest(document)
        await asyncio.wait((asyncio.wrap_future(suggested),))
        for completion in _completions(suggested, document):
            yield completion

    def suggest(self, document: Document) -> Suggested:
        """Begin to find them, and after them the numbers that they lack."""
        bench = self._dialogue.bench
        suggested = bench.suggest(document.text, document.cursor_position)
        suggested.add_done_callback(lambda _: bench.settle().add_done_callback(self._tell))
        return suggested

    def _tell(self, settled: Future[bool]) -> None:
        if not (settled.cancelled() or settled.exception()) and settled.result():
            self._settled()

    def renew(self, state: CompletionState, suggested: Suggested) -> None:
        """Put what was found into an open menu; where one is chosen already, the order stays."""
        found = _completions(suggested, state.original_document)
        if found and state.complete_index is None:
            state.completions = found
        else:
            told = {completion.text: completion for completion in found}
            state.completions = [told.get(old.text, old) for old in state.completions]


def _completions(suggested: Suggested, document: Document) -> list[Completion]:
    """Return what is to be shown; a search that failed, or was stopped with what it looked at, offers nothing."""
    return (
        []
        if suggested.cancelled() or suggested.exception()
        else [_completion(each, document) for each in suggested.result()]
    )


def _completion(suggestion: Suggestion, document: Document) -> Completion:
    return Completion(
        suggestion.text, suggestion.start - document.cursor_position, display_meta=suggestion_words(suggestion)
    )
