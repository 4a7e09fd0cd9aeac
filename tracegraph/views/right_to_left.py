"""Letters in the order they are seen, for writers that set one after the other."""

import unicodedata
from itertools import groupby

RIGHT_TO_LEFT = {"R", "AL"}
WITH_NEIGHBOURS = {"NSM", "WS", "ON", "CS", "ES", "BN"}


def visual_order(text: str) -> str:
    """Return a left-to-right line with its Hebrew or Arabic words turned.

    A small part of the Unicode bidirectional algorithm (UAX 9): enough for a name in
    one line. Numbers stay outside of what is turned.

    >>> visual_order("GATE") + visual_order("R1 אבג 5")
    'GATER1 גבא 5'
    """
    if not any(unicodedata.bidirectional(one) in RIGHT_TO_LEFT for one in text):
        return text
    runs = groupby(_levels(text), key=lambda one: one[1])
    return "".join(
        "".join(char for char, _ in (reversed(list(run)) if turned else run))
        for turned, run in runs
    )


def _levels(text: str) -> list[tuple[str, bool]]:
    """Return each letter and whether it belongs to a run that is turned."""
    kinds = [unicodedata.bidirectional(char) for char in text]
    turned = [kind in RIGHT_TO_LEFT for kind in kinds]
    for k in range(len(text)):
        if kinds[k] in WITH_NEIGHBOURS and k and turned[k - 1]:
            after = next((m for m in kinds[k:] if m not in WITH_NEIGHBOURS), "")
            turned[k] = kinds[k] == "NSM" or after in RIGHT_TO_LEFT
    return list(zip(text, turned, strict=True))
