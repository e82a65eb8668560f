"""Who wants to be told of what."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any, Literal, get_args

Notice = Literal["changes", "results", "selection", "chosen", "mode", "forecast", "casework", "saved"]
"""What is told, and with what: `changes` with the Changes, `results` with the Solution (None when there is none),
`selection` with the selected ids, `chosen` with the joint (or None), `mode` with the mode's id (or None), `forecast`
with the outlook of the chosen joint, `casework` with the answer of the open case (or None), `saved` with the file's
path."""

Unsubscribe = Callable[[], None]

_log = logging.getLogger(__name__)


class Notices:
    """Callbacks by kind of notice, called in the order in which they came, save those that asked to be first."""

    def __init__(self) -> None:
        self._callbacks: dict[str, dict[object, Callable[[Any], object]]] = {
            kind: {} for kind in get_args(Notice)
        }

    def subscribe(
        self, kind: Notice, callback: Callable[[Any], object], *, first: bool = False
    ) -> Unsubscribe:
        """Have `callback` called with every notice of a kind; return what ends it (any number of times).

        `first` is told before all others that are there already: the picture before the pages about it.
        """
        token = object()
        callbacks = self._callbacks[kind]
        others = dict(callbacks) if first else {}
        if first:
            callbacks.clear()
        callbacks[token] = callback
        callbacks.update(others)

        def unsubscribe() -> None:
            callbacks.pop(token, None)

        return unsubscribe

    def tell(self, kind: Notice, value: object) -> None:
        """Call everybody who wants to know.

        What goes wrong in a listener is logged and keeps nobody else from hearing of it: the thing that is told has
        already happened.
        """
        callbacks = self._callbacks[kind]
        for token, callback in list(callbacks.items()):
            if token not in callbacks:
                continue  # unsubscribed by one that was called before
            try:
                callback(value)
            except Exception:
                _log.exception("a listener to '%s' failed", kind)
