"""DIN 72552, terminal numbers, as listed on public reference pages (our own words; a keyword of each is checked)."""

import pytest

from harness_studio.standards import terminals

PRINTED = {
    "1": "ignition coil",
    "4": "high voltage",
    "15": "switched battery positive",
    "30": "battery positive",
    "31": "ground",
    "31b": "switch",
    "49": "flasher",
    "49a": "flasher",
    "50": "starter",
    "53": "wiper",
    "53a": "self-parking",
    "54": "brake",
    "55": "fog",
    "56a": "high beam",
    "56b": "low beam",
    "58": "tail",
    "58L": "left",
    "58R": "right",
    "61": "charge",
    "85": "relay coil",
    "86": "relay coil",
    "87": "contact",
    "87a": "break contact",
    "B+": "battery positive",
    "D+": "dynamo",
    "L": "left",
    "R": "right",
}


@pytest.mark.parametrize(("number", "keyword"), PRINTED.items())
def test_meaning(number: str, keyword: str) -> None:
    meaning = terminals.meaning(number)
    assert meaning is not None
    assert keyword in meaning
