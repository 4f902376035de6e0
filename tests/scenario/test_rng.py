"""The generator gives these numbers on every machine; they may never change.

Words are compared with digests by hashlib; the draws are frozen from a first run and guard against
change only.
"""

import hashlib

import pytest

from trainer.scenario.rng import WORD, Stream


def test_words_are_those_of_the_digest():
    digest = hashlib.sha256(b"condenser-bench/1|7|colours|0").hexdigest()
    stream = Stream(7, "colours")
    assert [f"{stream.word():016x}" for _ in range(4)] == [
        digest[n : n + 16] for n in range(0, 64, 16)
    ]
    after = hashlib.sha256(b"condenser-bench/1|7|colours|1").hexdigest()
    assert f"{stream.word():016x}" == after[:16]


def test_golden_numbers():
    stream = Stream(7, "colours")
    assert [stream.below(10) for _ in range(12)] == [0, 9, 7, 7, 9, 0, 7, 6, 5, 2, 4, 6]
    assert Stream(7, "order").shuffled("abcdefgh") == list("echdafgb")
    assert Stream(123456789, "volts").within(197.0, 253.0) == 212.344


def test_streams_do_not_disturb_each_other():
    alone = [Stream(3, "dirt").below(1000) for _ in range(1)]
    other, dirt = Stream(3, "legs"), Stream(3, "dirt")
    other.word()
    assert [dirt.below(1000)] == alone
    assert Stream(3, "legs").word() != Stream(3, "dirt").word()
    assert Stream(3, "dirt").word() != Stream(4, "dirt").word()


def test_a_word_beyond_the_last_whole_multiple_is_thrown_away():
    stream = Stream(0, "x")
    # 2^64 = 1 mod 3 (4 = 1 mod 3), so only the last word of all is unfair for three.
    stream._words = [WORD - 1, 5]
    assert stream.below(3) == 2


def test_no_number_is_favoured():
    # 6000 draws of six: 1000 each, standard deviation 29; five of them is 145.
    stream = Stream(1, "dice")
    counts = [0] * 6
    for _ in range(6000):
        counts[stream.below(6)] += 1
    assert all(abs(count - 1000) < 145 for count in counts)


def test_within_has_both_ends():
    stream = Stream(0, "x")
    stream._words = [0, 1000]
    assert stream.within(0.1, 0.7) == 0.1
    assert stream.within(0.1, 0.7) == 0.7


@pytest.mark.parametrize("count", [0, -1, WORD + 1])
def test_nothing_to_draw_from_is_refused(count):
    with pytest.raises(ValueError, match="there is no whole number"):
        Stream(0, "x").below(count)
