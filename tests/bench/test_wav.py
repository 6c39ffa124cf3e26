"""A page to sound, against the time it takes to be heard; no stroke is known beforehand, but the font is loaded."""

from functools import partial
from time import process_time

import pytest

from kitgen.write import audio_strokes
from kitgen.write.midi import loop, play_along
from kitgen.write.wav import wav_of
from tests.bench.material import BARS, laid_over_samba, page_of, rhythm
from tests.bench.race import Race, Result, Turn

PAGE = page_of(laid_over_samba(rhythm()))
TIMES = 100


@pytest.mark.parametrize(("what", "midi"), [("loop", loop(PAGE)), ("play-along", play_along(PAGE))])
def test_a_page_is_made_to_sound_a_hundred_times_faster_than_it_is_heard(race: Race, what: str, midi: bytes) -> None:
    """Sixteen bars with 25 strokes a bar, alone and with count-in, click and repeats."""
    seamless = what == "loop"
    heard_s = wav_of(midi, seamless=seamless).seconds
    assert heard_s >= BARS * 2.5
    taken_s: list[float] = []

    def ready() -> tuple[tuple[Turn], dict[str, object]]:
        audio_strokes._kept.cache_clear()
        return (partial(wav_of, midi, seamless=seamless),), {}

    def run(turn: Turn) -> None:
        started = process_time()
        turn()
        taken_s.append(process_time() - started)

    race.timer.pedantic(run, setup=ready, rounds=5)
    if race.timer.disabled:
        return
    result = Result(f"{what} to WAV", "a hundredth of hearing it", TIMES * min(taken_s) / heard_s, 1)
    race.results.append(result)
    assert result.ratio <= 1, str(result)
