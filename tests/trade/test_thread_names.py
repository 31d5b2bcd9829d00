"""Names of threads: every spelling comes to one, diameters and pitches are those of the standards, and what cannot be is refused."""

import pytest

from gudgeon.domain import BadInput
from gudgeon.trade import ThreadName, read_thread


@pytest.fixture(autouse=True)
def _fresh():
    """Names are remembered between calls."""
    read_thread.cache_clear()


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("M8", ThreadName("M8", "M8", "metric", 8.0, None)),
        (" m 8 × 1,25 ", ThreadName("M8x1.25", "M8", "metric", 8.0, 1.25)),
        ("M10*1", ThreadName("M10x1", "M10", "metric", 10.0, 1.0)),
        ("M2,5-0.45", ThreadName("M2.5x0.45", "M2.5", "metric", 2.5, 0.45)),
        ("G 1/4", ThreadName("1/4 BSP", "1/4 BSP", "BSP", None, None)),
        ("1/4 bspp", ThreadName("1/4 BSP", "1/4 BSP", "BSP", None, None)),
        ("1/8 BSPT", ThreadName("1/8 BSP", "1/8 BSP", "BSP", None, None)),
        ("1/4 G", ThreadName("1/4 BSP", "1/4 BSP", "BSP", None, None)),
        ("1/4 r", ThreadName("1/4 BSP", "1/4 BSP", "BSP", None, None)),
        ("1/2 BSP", ThreadName("1/2 BSP", "1/2 BSP", "BSP", None, None)),
        ("1/8 npt", ThreadName("1/8 NPT", "1/8 NPT", "NPT", None, None)),
    ],
)
def test_read(said, wanted):
    assert read_thread(said) == wanted


@pytest.mark.parametrize(
    ("said", "text", "size", "kind", "inches", "per_inch"),
    [
        # basic major diameters: ASME B1.1, table of standard series; BS 84 for BSW and BSF (there the name is the diameter)
        ("#0-80", "#0-80", "#0", "unified", 0.060, 80),
        ("#2-56", "#2-56", "#2", "unified", 0.086, 56),
        ("No. 6-32", "#6-32", "#6", "unified", 0.138, 32),
        ("#10-32", "#10-32", "#10", "unified", 0.190, 32),
        ("no 12-24", "#12-24", "#12", "unified", 0.216, 24),
        ('5/16" - 18', "5/16-18", "5/16", "unified", 0.3125, 18),
        ("5/16-18 UNC", "5/16-18", "5/16", "unified", 0.3125, 18),
        ("1 1/8-7", "1 1/8-7", "1 1/8", "unified", 1.125, 7),
        ("1-8", "1-8", "1", "unified", 1.0, 8),
        ("6-4", "6-4", "6", "unified", 6.0, 4),
        ("1/2-12 BSW", "1/2-12 BSW", "1/2 BSW", "BSW", 0.5, 12),
        ("3/8 x 20 bsf", "3/8-20 BSF", "3/8 BSF", "BSF", 0.375, 20),
    ],
)
def test_inch_threads(said, text, size, kind, inches, per_inch):
    found = read_thread(said)
    assert (found.text, found.size, found.kind) == (text, size, kind)
    assert found.diameter_mm == pytest.approx(inches * 25.4, abs=1e-9)
    assert found.pitch_mm == pytest.approx(25.4 / per_inch, abs=1e-9)


@pytest.mark.parametrize(
    ("said", "text", "size", "kind"),
    [
        ("7/16 unf", "7/16 UNF", "7/16", "unified"),
        ("1/4 unc", "1/4 UNC", "1/4", "unified"),
        ("1/2 bsw", "1/2 BSW", "1/2 BSW", "BSW"),
        ("3/8", "3/8", "3/8", "unified"),
        ("#8", "#8", "#8", "unified"),
    ],
)
def test_inch_sizes_without_a_pitch(said, text, size, kind):
    found = read_thread(said)
    assert (found.text, found.size, found.kind, found.pitch_mm) == (text, size, kind, None)
    assert found.diameter_mm


@pytest.mark.parametrize(
    "said",
    [
        *("", "bolt", "M", "M0.9", "M151", "M8x0.19", "M8x1.8", "M8x8", "8", "0.5"),  # no name, off the ends, a pitch that does not fit
        *("#13-24", "1/3-16", "1/5", "0-20", "0/4-20", "6 1/2-4", "7-4"),  # no such number, no such fraction, nothing, beyond six inches
        *("1/4-0", "1/4-3", "1/4-81", "1/4-12", "1/2 BSW-7 extra"),  # threads an inch that do not fit
    ],
)
def test_what_cannot_be_is_refused(said):
    with pytest.raises(BadInput) as refused:
        read_thread(said)
    assert refused.value.next_step


@pytest.mark.parametrize("said", ["M1", "M150", "M8x1.7", "M8x0.2", "1/4-80", "1/4-16", "1-4"])
def test_the_ends_of_what_can_be(said):
    assert read_thread(said).diameter_mm


def test_a_pitch_that_is_not_listed_is_made_up_and_says_so(trade):
    (thread,) = trade.threads_of("M10x0.9")
    assert (thread.name, thread.kind, thread.series) == ("M10x0.9", "metric", "special") and "not in the table" in thread.source
