"""The garbage collector is off meanwhile, and on afterwards, whatever happens."""

import gc

import pytest

from harness_studio.base.collector import collector_paused


def test_it_is_on_again_after_that_and_after_an_error() -> None:
    assert gc.isenabled()
    with collector_paused():
        assert not gc.isenabled()
        with collector_paused():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()
    with pytest.raises(KeyError), collector_paused():
        raise KeyError
    assert gc.isenabled()


def test_two_beside_each_other_leave_it_on_in_whatever_order_they_end() -> None:
    for first_ends_first in (True, False):
        one, other = collector_paused(), collector_paused()
        one.__enter__()
        other.__enter__()
        for each in (one, other) if first_ends_first else (other, one):
            each.__exit__(None, None, None)
        assert gc.isenabled()


def test_it_stays_off_where_it_was_off() -> None:
    gc.disable()
    try:
        with collector_paused():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()
