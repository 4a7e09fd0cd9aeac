"""Every kind of part says what a passed cold test does not prove."""

import pytest

from tracegraph.stage.kind import Kind
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.proof import not_proven


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.word)
def test_every_kind_has_words_of_its_own(kind: Kind) -> None:
    assert not_proven(kind) != "that it works under power"


def test_a_fet_s_gate_and_channel_are_not_proven() -> None:
    told = not_proven(KINDS["nfet"])
    for word in ("gate oxide", "channel", "switching speed", "charged gate"):
        assert word in told
