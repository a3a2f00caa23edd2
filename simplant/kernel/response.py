"""How late an output can answer an input, and how short an input may be: the arithmetic of the scan.

The scan that this describes is in controller.py. Rule: every figure is a bound that the kernel keeps and
comes near to.
"""

from simplant.kernel.setup import AT_ONCE
from simplant.timebase import Ns


def worst_case_response(
    input_filter: Ns, period: Ns, execution: Ns = AT_ONCE, output_delay: Ns = AT_ONCE, start_jitter: Ns = AT_ONCE
) -> Ns:
    """Give the longest time from a change at an input terminal to the answer at the output terminal.

    The change is accepted just after a scan has frozen its image, and so waits for the next one:
    filter + period + start jitter + execution + output delay. Where execution fills the period this is the
    usual "input delay + 2 scans + output delay"; where it takes longer, every scan that it covers is skipped.

    Args:
        input_filter: filter time for the new level.
        period: the longest period of the tasks that the answer needs, > 0.
        execution: the longest execution, of that task and of those that go before it at the same instant.
        output_delay: of the output stage.
        start_jitter: the greatest start jitter.

    Source: checked in `tests/external/test_response_time.py`.
    """
    waits = max(1, -(-(execution + start_jitter) // period))
    return Ns(input_filter + waits * period + start_jitter + execution + output_delay)


def shortest_sure_pulse(input_filter: Ns, period: Ns, start_jitter: Ns = AT_ONCE) -> Ns:
    """Give the length from which on no pulse at an input is missed: filter + period + start jitter.

    The filter delays the beginning of the pulse in the image; if it delays its end as well, a pulse longer
    than the filter lasts as long in the image as at the terminal, and one period would do.

    Args:
        input_filter: filter time for the level of the pulse.
        period: of the task that is to see it, > 0; with skipped scans, the time between two that are run.
        start_jitter: its greatest start jitter.

    Source: checked in `tests/external/test_response_time.py`.
    """
    return Ns(input_filter + period + start_jitter)
