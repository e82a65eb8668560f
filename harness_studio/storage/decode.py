"""Nodes → values of the model, by form. Reading never stops at a mistake: it notes it and goes on."""

from __future__ import annotations

from typing import Any

from harness_studio.model.forms import (
    Choice,
    Fixed,
    Flag,
    Form,
    Key,
    ListOf,
    Maybe,
    Number,
    Record,
    Special,
    TableOf,
    Text,
    keys_of,
    per_class,
)
from harness_studio.model.texts import Wrong, number_reader, text_reader, wanted_number, wanted_text

from .nodes import Listing, Node, Scalar, Table
from .reading import BAD, Decoder, Reader, suggestion
from .shapes import READ


def decoder_of(form: Form) -> Decoder:
    """Return the function that reads a form."""
    if isinstance(form, Text):
        return _text(form)
    if isinstance(form, Number):
        return _number(form)
    if isinstance(form, Choice):
        return _choice(form)
    if isinstance(form, Flag):
        return _flag
    if isinstance(form, ListOf):
        return _list(form)
    if isinstance(form, Fixed):
        return _fixed(form)
    if isinstance(form, TableOf):
        return _table(form)
    if isinstance(form, Record):
        return record_decoder(form.cls)
    if isinstance(form, Special):
        return READ[form.name]
    return _maybe(form)


def _text(form: Text) -> Decoder:
    read, wanted = text_reader(form), wanted_text(form)

    def decode(node: Node, reader: Reader) -> Any:
        if type(node) is not Scalar or node.is_nothing:
            return reader.wanted(node, wanted)
        try:
            return read(node.text)
        except Wrong as wrong:
            return reader.wanted(node, wanted, str(wrong))

    return decode


def _number(form: Number) -> Decoder:
    read, wanted = number_reader(form), wanted_number(form)

    def decode(node: Node, reader: Reader) -> Any:
        if type(node) is not Scalar:
            return reader.wanted(node, wanted)
        try:
            return read(node.text)
        except Wrong as wrong:
            return reader.wanted(node, wanted, str(wrong))

    return decode


def _choice(form: Choice) -> Decoder:
    options = {option: option for option in form.options}

    def decode(node: Node, reader: Reader) -> Any:
        if type(node) is Scalar and node.text in options:
            return options[node.text]
        near = suggestion(node.text, list(options)) if type(node) is Scalar else ""
        wanted = "one of: " + ", ".join(options)
        return reader.wanted(node, wanted, near.removeprefix("; ") if "nearest" in near else "")

    return decode


def _flag(node: Node, reader: Reader) -> Any:
    if type(node) is Scalar and node.text in ("true", "false"):
        return node.text == "true"
    return reader.wanted(node, "true or false")


def _maybe(form: Maybe) -> Decoder:
    inner = decoder_of(form.form)

    def decode(node: Node, reader: Reader) -> Any:
        return None if type(node) is Scalar and node.is_nothing else inner(node, reader)

    return decode


def _list(form: ListOf) -> Decoder:
    item = decoder_of(form.item)

    def decode(node: Node, reader: Reader) -> Any:
        if type(node) is not Listing:
            if type(node) is Scalar and node.is_nothing:
                return ()
            if not form.or_one:
                return reader.wanted(node, "a list in brackets: [..., ...]")
            one = item(node, reader)
            return BAD if one is BAD else (one,)
        values = tuple([item(i, reader) for i in node.items])
        return BAD if any(v is BAD for v in values) else values

    return decode


def _fixed(form: Fixed) -> Decoder:
    items = [decoder_of(f) for f in form.items]
    wanted = f"a list of {len(items)}: [{', '.join(['...'] * len(items))}]"

    def decode(node: Node, reader: Reader) -> Any:
        if type(node) is not Listing or len(node.items) != len(items):
            found = f"a list of {len(node.items)}" if type(node) is Listing else None
            return (
                reader.note(node, f"found {found}; wanted {wanted}") if found else reader.wanted(node, wanted)
            )
        values = tuple([read(i, reader) for read, i in zip(items, node.items, strict=True)])
        return BAD if any(v is BAD for v in values) else values

    return decode


def _table(form: TableOf) -> Decoder:
    read_key, value_decoder = decoder_of(form.key), decoder_of(form.value)

    def decode(node: Node, reader: Reader) -> Any:
        if type(node) is not Table:
            if type(node) is Scalar and node.is_nothing:
                return {}
            return reader.wanted(node, "values by key: {...: ..., ...: ...}")
        found: dict[Any, Any] = {}
        bad = False
        for text, (key_node, value_node) in node.pairs.items():
            key = read_key(key_node, reader)
            reader.path.append(text)
            value = value_decoder(value_node, reader)
            reader.path.pop()
            if key is BAD or value is BAD:
                bad = True
            elif key in found:
                reader.note(key_node, f"'{text}' stands here a second time")
                bad = True
            else:
                found[key] = value
        return BAD if bad else found

    return decode


@per_class
def record_decoder(cls: type[Any]) -> Decoder:
    """Return the function that reads a dataclass without an id from its keys."""
    decode_fields = fields_decoder(cls)

    def decode(node: Node, reader: Reader) -> Any:
        values = decode_fields(node, reader)
        return BAD if values is BAD else cls(**values)

    return decode


@per_class
def fields_decoder(cls: type[Any]) -> Decoder:
    """Return the function that reads the keys of a dataclass into keyword arguments."""
    return keys_decoder(tuple(keys_of(cls).values()))


def keys_decoder(keys: tuple[Key, ...], *, skip: frozenset[str] = frozenset()) -> Decoder:
    """Return the function that reads these keys into a dict; the keys in `skip` are somebody else's."""
    decoders = {key.name: decoder_of(key.form) for key in keys}
    required = [key.name for key in keys if key.required]

    def decode(node: Node, reader: Reader) -> Any:
        if type(node) is not Table:
            example = f"{{{', '.join(f'{k}: ...' for k in (required or list(decoders))[:3])}}}"
            if type(node) is not Scalar or not node.is_nothing or required:
                return reader.wanted(node, f"keys and values: {example}")
            return {}
        values: dict[str, Any] = {}
        bad = False
        path = reader.path
        for text, (key_node, value_node) in node.pairs.items():
            read = decoders.get(text)
            if read is None:
                if text not in skip:
                    reader.unknown_key(key_node, decoders)
                    bad = True
                continue
            path.append(text)
            value = read(value_node, reader)
            path.pop()
            if value is BAD:
                bad = True
            else:
                values[text] = value
        for name in required:
            if name not in node.pairs:
                reader.note(node, f"the key '{name}' is missing")
                bad = True
        return BAD if bad else values

    return decode
