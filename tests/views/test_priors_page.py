"""The table of priors: every figure with its source, a user's own figures told."""

from collections.abc import Callable
from pathlib import Path

from tracegraph.asking.api import read
from tracegraph.diagnose.prior_table import OWN, figure_rows, kind_rows, kinds_of
from tracegraph.diagnose.priors import priors_from, usual
from tracegraph.stage.kinds import KINDS
from tracegraph.views.letters import plain_letters
from tracegraph.views.plain import plain_text
from tracegraph.views.priors_page import priors_page, priors_records

GATE = read(Path(__file__).parents[2] / "examples" / "treadmill-gate-drive.trace")
Golden = Callable[[str, str], None]


def test_the_whole_table(golden: Golden) -> None:
    text = plain_text(priors_page(usual()))
    golden("views/priors.txt", text)
    assert max(map(len, text.splitlines())) <= 80
    assert plain_letters(text).isascii()


def test_every_kind_that_fails_is_in_it_once() -> None:
    rows = kind_rows(usual(), kinds_of())
    words = [word for row in rows for word in row.kinds]
    assert len(words) == len(set(words))
    assert {kind.word for kind in KINDS.values()} - set(words) <= {"testpoint"}
    assert all(one.source for row in rows for one in row.shares)


def test_every_figure_says_what_it_is() -> None:
    assert [one.name for one in figure_rows(usual()) if not one.words] == []


def test_a_section_has_its_own_kinds_and_what_is_seen_of_its_parts() -> None:
    stage = read(
        "ground COM\nR1 10k GATE -- COM\nQ1 npn b=B c=GATE e=COM\ntouched R1\n"
    )
    text = plain_text(priors_page(usual(), stage))
    assert "- R1: touched times 4" in text
    assert "npn" in text
    assert "crystal" not in text
    assert "Likelier in this section" not in plain_text(priors_page(usual(), GATE))


def test_figures_of_the_users_own_are_told_as_such(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("[probe]\nslip = 0.05\n[kinds.resistor]\nopen = 0.8\n", "utf-8")
    mine = priors_from(path)
    text = plain_text(priors_page(mine))
    assert f"0.05 ({OWN})" in text
    (row,) = [row for row in kind_rows(mine, kinds_of()) if "resistor" in row.kinds]
    by_fault = {one.fault: one for one in row.shares}
    assert (by_fault["open"].share, by_fault["open"].source) == (0.8, OWN)
    assert by_fault["drifted"].source != OWN


def test_a_machine_gets_every_row_with_its_sort() -> None:
    sorts = [one["sort"] for one in priors_records(usual())]
    assert list(dict.fromkeys(sorts)) == ["kind", "raise", "figure"]
