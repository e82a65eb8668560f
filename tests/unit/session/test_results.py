"""The latest results are kept, the one unused for longest goes."""

from harness_studio.session.results import Key, Result, Results


def test_the_result_unused_for_longest_goes() -> None:
    results = Results(kept=2)
    one, two, three = (Result(Key(n, "on")) for n in (1, 2, 3))
    results.put(one)
    results.put(two)
    assert results.get(Key(1, "on")) is one
    results.put(three)
    assert results.get(Key(2, "on")) is None
    assert results.get(Key(1, "on")) is one
    assert results.get(Key(3, "on")) is three
    assert len(results) == 2


def test_a_result_belongs_to_one_revision_and_one_mode() -> None:
    results = Results()
    results.put(Result(Key(1, "on")))
    assert results.get(Key(1, "off")) is None
    assert results.get(Key(1, None)) is None
    assert results.get(Key(2, "on")) is None


def test_a_newer_result_for_the_same_state_takes_its_place() -> None:
    results = Results()
    results.put(Result(Key(1)))
    newer = Result(Key(1), solve_ms=3.0)
    results.put(newer)
    assert results.get(Key(1)) is newer
    assert len(results) == 1
