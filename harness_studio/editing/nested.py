"""Values that no short words hold, typed as the project file writes them, without the outer brackets."""

from __future__ import annotations

from typing import Any

from harness_studio.base.errors import InputError
from harness_studio.model.forms import Form, ListOf, Record, Special, TableOf
from harness_studio.storage.decode import decoder_of
from harness_studio.storage.encode import encoder_of
from harness_studio.storage.layout import flow
from harness_studio.storage.nodes import compose
from harness_studio.storage.reading import BAD, Reader

from .quantities import Refused

_BRACKETS = ("{}", "[]")


def show_nested(form: Form, value: Any) -> str:
    """Return a value as the file writes it on one line, without its outer brackets."""
    tree = encoder_of(form)(value)
    if not tree:
        return ""
    text = flow(tree)
    return text[1:-1] if isinstance(tree, dict | list) else text


def read_nested(form: Form, text: str) -> Any:
    """Read a value as the file writes it, with its outer brackets or without.

    Raises
    ------
    Refused
        With the first thing that is wrong.
    """
    first: str | None = None
    for candidate in _candidates(form, text):
        try:
            node, _ = compose(candidate)
        except InputError as error:
            first = first or error.problems[0].what
            continue
        if node is None:
            continue
        reader = Reader("")
        value = decoder_of(form)(node, reader)
        if value is not BAD:
            return value
        first = first or reader.problems[0].what
    raise Refused(" ".join((first or "nothing is written").split()))


def _candidates(form: Form, text: str) -> list[str]:
    if not text:
        return ["[]" if isinstance(form, ListOf) else "{}"]
    table = isinstance(form, TableOf | Record) or form == Special("mates")
    wrapped = f"{{{text}}}" if table else f"[{text}]"
    if form == Special("mates") and ":" not in text:
        return [text, f"[{text}]"]
    # Brackets at both ends may belong to one value, or to the first and the last of several.
    return [text, wrapped] if text[:1] + text[-1:] in _BRACKETS else [wrapped]
