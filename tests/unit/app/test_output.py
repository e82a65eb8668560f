"""Tables, numbers and JSON as the commands print them."""

import io
import json
import math

import pytest

from harness_studio.app import output


@pytest.mark.parametrize(
    ("text", "encoding", "shown"),
    [
        ("180 mΩ · 1.5 mm²", "utf-8", "180 mΩ · 1.5 mm²"),
        ("180 mΩ · 1.5 mm²", "latin-1", "180 mOhm · 1.5 mm²"),
        ("180 mΩ · 1.5 mm²", "ascii", "180 mOhm - 1.5 mm2"),
        ("85 °C ≥ −40 °C → ½", "ascii", "85 deg C >= -40 deg C -> 1/2"),
        ("Кузов Ω", "cp1251", "Кузов Ohm"),
        ("кузов", "ascii", "?????"),
        ("plain", None, "plain"),
    ],
)
def test_a_sign_that_the_terminal_lacks_becomes_a_word(text: str, encoding: str | None, shown: str) -> None:
    assert output.fit(text, encoding) == shown


def test_say_never_fails_on_a_terminal_without_the_signs() -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="ascii")
    output.say("W1 лампа 2 Ω", stream)
    stream.flush()
    assert raw.getvalue().split() == [b"W1", b"?????", b"2", b"Ohm"]


def test_a_complaint_is_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    output.complain("first\nsecond   third")
    assert capsys.readouterr().err == "harness-studio: first second third\n"


def test_json_has_no_number_that_json_lacks(capsys: pytest.CaptureFixture[str]) -> None:
    output.say_json({"a": math.nan, "b": [math.inf, 1.5], "c": {"mohm": output.open_or(math.inf), "Ω": "ok"}})
    text = capsys.readouterr().out

    def refuse(constant: str) -> None:
        pytest.fail(f"{constant} in the output")

    assert json.loads(text, parse_constant=refuse) == {
        "a": None, "b": [None, 1.5], "c": {"mohm": "open", "Ω": "ok"},
    }  # fmt: skip


def test_json_stays_whole_on_a_terminal_without_the_signs(monkeypatch: pytest.MonkeyPatch) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr("sys.stdout", io.TextIOWrapper(raw, encoding="ascii", write_through=True))
    output.say_json({"title": "Кузов Ω"})
    assert json.loads(raw.getvalue()) == {"title": "Кузов Ω"}


def test_numbers_of_numpy_are_numbers_and_other_things_are_refused(
    capsys: pytest.CaptureFixture[str],
) -> None:
    import numpy as np

    output.say_json({"a": np.float64("nan"), "b": np.int64(3)})
    assert json.loads(capsys.readouterr().out) == {"a": None, "b": 3}
    with pytest.raises(TypeError, match="object has no place"):
        output.say_json({"a": object()})


def test_a_table_has_aligned_columns_and_no_trailing_spaces() -> None:
    lines = output.table(
        ("load", "now", "way"), [("E5", "1.85 A", "only way"), ("M2 pump", "40 mA", "")], right=(1,)
    )
    assert lines == [
        "load        now  way",
        "E5       1.85 A  only way",
        "M2 pump   40 mA",
    ]
    assert output.table(("load", "now"), []) == ["load  now"]


def test_columns_stay_aligned_on_a_terminal_without_the_signs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdout", io.TextIOWrapper(io.BytesIO(), encoding="ascii"))
    assert output.table(("joint", ""), [("2 mΩ", "a"), ("open", "b")]) == ["joint", "2 mOhm  a", "open    b"]


@pytest.mark.parametrize(
    ("value", "shown"),
    [(12.34, "12.3 A"), (6.5, "6.50 A"), (-6.5, "-6.50 A"), (120.4, "120 A"), (0.04, "40.0 mA"), (0.0, "0 mA"),
     (0.9999, "1000 mA"), (None, "-"), (math.nan, "-")],
)  # fmt: skip
def test_amperes_with_three_digits(value: float | None, shown: str) -> None:
    assert output.amperes(value) == shown


def test_millivolts_keep_their_unit_so_that_a_column_compares() -> None:
    assert [output.millivolts(v) for v in (1310.0, 12.34, 0.421, -2.0, 0.0, None)] == [
        "1310 mV", "12.3 mV", "0.42 mV", "-2.00 mV", "0 mV", "-",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("share", "shown"),
    [(1.0, "100 %"), (0.6549, "65 %"), (0.0995, "10 %"), (0.074, "7.4 %"), (-0.31, "-31 %"), (0.0002, "<0.1 %"),
     (0.0, "0 %")],
)  # fmt: skip
def test_shares(share: float, shown: str) -> None:
    assert output.per_cent(share) == shown
