import time
from threading import Event, Lock

import pytest

from gudgeon.speech.side_by_side import AHEAD, side_by_side


def test_results_come_in_the_order_of_the_clips():
    def read(number):
        time.sleep(0.02 if number % 2 else 0.001)
        return number * 10

    assert list(side_by_side(range(20), read, 2)) == [n * 10 for n in range(20)]


def test_two_are_read_at_once_and_only_a_few_are_taken_ahead():
    lock, at_once, most, taken = Lock(), 0, 0, []
    both = Event()

    def read(number):
        nonlocal at_once, most
        with lock:
            at_once += 1
            most = max(most, at_once)
            if at_once == 2:
                both.set()
        assert both.wait(10)
        with lock:
            at_once -= 1
        return number

    def clips():
        for n in range(50):
            taken.append(n)
            yield n

    results = side_by_side(clips(), read, 2)
    assert next(results) == 0
    assert most == 2
    assert len(taken) <= AHEAD * 2 + 2
    results.close()


def test_an_error_comes_out_in_its_place():
    def read(number):
        if number == 2:
            raise ValueError("two")
        return number

    results = side_by_side(range(5), read, 2)
    assert [next(results), next(results)] == [0, 1]
    with pytest.raises(ValueError, match="two"):
        next(results)


def test_stopping_drops_what_nobody_has_begun():
    begun = []

    def read(number):
        begun.append(number)
        time.sleep(0.05)
        return number

    results = side_by_side(range(100), read, 2)
    next(results)
    results.close()
    assert len(begun) <= AHEAD * 2 + 2
