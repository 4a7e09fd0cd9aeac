"""The table of priors, a user's own figures in it, and what is said of a bad file."""

from pathlib import Path

import pytest

from tests.every import of_every
from tests.stage.kinds.made import made
from tracegraph.diagnose.faults import part_faults
from tracegraph.diagnose.priors import PriorsError, priors_from, raises, usual
from tracegraph.diagnose.scene import hypotheses_of
from tracegraph.notation.source import from_text
from tracegraph.quantity import exact
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part
from tracegraph.stage.read import read

# What the makers of the method hold to be so; common practice, no source.
FRESH, UNTRACED, SLIP = 0.01, 0.05, 0.02


def resistor(text: str) -> Part:
    stage = read(from_text("x", f"ground G\n{text}\n"))
    (part,) = stage.parts
    return part


def chance(part: Part, name: str) -> float:
    fault = next(one for one in part.kind.faults(part) if one.name == name)
    return usual().fault(part, fault)


def test_the_table_holds_what_the_trade_says() -> None:
    priors = usual()
    assert priors.figure("tracing.path") == FRESH
    assert priors.figure("tracing.path_untraced") == UNTRACED
    assert priors.figure("probe.slip") == SLIP
    assert all(value >= 0 for value in priors.figures.values())
    assert priors.figure("cost.probe") < priors.figure("cost.lift")


def test_a_slip_of_the_pencil_is_likelier_than_a_broken_track() -> None:
    priors = usual()
    tracing = [v for k, v in priors.figures.items() if k.startswith("tracing.")]
    assert min(tracing) > priors.figure("board.track")


def test_rate_times_share_times_raise() -> None:
    """MIL-HDBK-338B gives the share: film resistor open 59 %, drift 36 %, short 5 %."""
    plain = made("resistor", r=exact(1e3, "ohm"))
    rate = usual().rate(plain.kind) * usual().figure("part.per_rate")
    assert chance(plain, "open") == pytest.approx(rate * 0.59)
    assert chance(plain, "drifted") == pytest.approx(rate * 0.36)
    assert chance(plain, "short") == pytest.approx(rate * 0.05)


def test_what_is_seen_of_a_part_raises_it() -> None:
    plain, burnt = resistor("R1 1k A -- G"), resistor("R1 1k burnt A -- G")
    touched = resistor("R1 1k A -- G\ntouched R1")
    large, both = resistor("R1 220k A -- G"), resistor("R1 220k A -- G\ntouched R1")
    base = chance(plain, "open")
    assert chance(touched, "open") == pytest.approx(4 * base)
    assert chance(burnt, "open") == pytest.approx(20 * base)
    assert chance(large, "open") == pytest.approx(6 * base)
    assert chance(both, "open") == pytest.approx(24 * base)
    assert set(raises(both)) == {"touched", "over 100k"}


def test_a_power_switch_is_the_culprit_before_a_resistor() -> None:
    priors = usual()
    rates = [priors.rate(KINDS[word]) for word in ("nfet", "electrolytic", "resistor")]
    assert rates == sorted(rates, reverse=True)


@of_every(KINDS)
def test_all_faults_of_a_part_together_are_a_chance(word: str) -> None:
    part = made(word)
    total = sum(usual().fault(part, one) for one in part.kind.faults(part))
    assert 0 <= total < 1


def test_no_rate_goes_through_the_roof() -> None:
    """A burnt, touched power switch is likely dead, but not surely."""
    text = "ground G\nQ1 nfet burnt g=A d=D s=G\ntouched Q1\n"
    stage = read(from_text("x", text))
    found = [one.prior for one in part_faults(stage, usual())]
    assert all(0 < one < 1 for one in found)
    assert sum(found) < 1


# A file of the user's own.


def own(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "mine.toml"
    path.write_text(text, "utf-8")
    return path


def test_own_figures_stand_in_the_place_of_the_tables(tmp_path: Path) -> None:
    path = own(
        tmp_path,
        "[probe]\nslip = 0.1\n[kinds.resistor]\nrate = 2\nopen = 0.8\n",
    )
    priors = priors_from(path)
    assert priors.figure("probe.slip") == 0.1
    assert priors.figure("board.track") == usual().figure("board.track")
    part = made("resistor", r=exact(1e3, "ohm"))
    by_name = {one.name: priors.fault(part, one) for one in part.kind.faults(part)}
    scale = 2 * priors.figure("part.per_rate")
    assert by_name["open"] == pytest.approx(scale * 0.8)
    assert by_name["drifted"] == pytest.approx(scale * 0.36)
    assert usual().figure("probe.slip") == SLIP


def test_the_first_word_of_a_fault_stands_for_all_of_it(tmp_path: Path) -> None:
    priors = priors_from(own(tmp_path, '[kinds.npn]\nshort = 0.5\n"short c-e" = 0.1\n'))
    part = made("npn")
    shares = {one.name: priors.share(part.kind, one) for one in part.kind.faults(part)}
    assert shares["short b-e"] == 0.5
    assert shares["short c-e"] == 0.1


def test_a_table_from_a_windows_editor(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_bytes(b"\xef\xbb\xbf[probe]\r\nslip = 0.05\r\n")
    assert priors_from(path).figure("probe.slip") == 0.05


def test_an_empty_file_changes_nothing(tmp_path: Path) -> None:
    assert priors_from(own(tmp_path, "")) == usual()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "[probe]\nslipp = 0.1\n",
            "there is no figure probe.slipp; did you mean probe.slip?",
        ),
        ("[prob]\nslip = 0.1\n", "did you mean probe.slip?"),
        ("slip = 0.1\n", "slip stands alone: write [part], [board]..."),
        ("[probe]\nslip = -0.1\n", "probe.slip wants a number of 0 or more, not -0.1"),
        (
            '[probe]\nslip = "2 %"\n',
            "probe.slip wants a number of 0 or more, not '2 %'",
        ),
        ("[probe]\nslip = true\n", "probe.slip wants a number of 0 or more, not True"),
        ("[probe]\nslip = nan\n", "probe.slip wants a number of 0 or more"),
        ("[probe]\nslip = inf\n", "probe.slip wants a number of 0 or more"),
        ("[kinds.resistr]\nrate = 1\n", "no kind resistr; did you mean resistor?"),
        (
            "[kinds]\nresistor = 1\n",
            "[kinds.resistor] holds figures, such as rate = 1.0",
        ),
        ("[kinds.resistor]\nrate = '1'\n", "kinds.resistor.rate wants a number"),
        ("kinds = 3\n", "kinds"),
        ("[probe\nslip = 0.1\n", "is no table of priors"),
        ("slip: 0.1\n", "is no table of priors"),
    ],
)
def test_a_bad_table_is_told(tmp_path: Path, text: str, said: str) -> None:
    path = own(tmp_path, text)
    with pytest.raises(PriorsError) as told:
        priors_from(path)
    assert said in str(told.value)
    assert str(path) in str(told.value)


def test_a_misspelt_fault_is_told(tmp_path: Path) -> None:
    with pytest.raises(PriorsError, match="no failure called opne; did you mean open"):
        priors_from(own(tmp_path, "[kinds.resistor]\nopne = 0.7\n"))


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("probe.slip", 2),
        ("probe.slip", 0),
        ("verdict.sure", 1),
        ("board.track", 1.5),
        ("part.drifts_up", 3),
        ("part.died_with", 0),
        ("cost.probe", 0),
    ],
)
def test_what_no_chance_or_factor_can_be_is_told(
    tmp_path: Path, name: str, value: float
) -> None:
    with pytest.raises(PriorsError, match=name):
        priors_from(own(tmp_path, f"{name} = {value}\n"))


def test_what_never_happens_is_never_suspected(tmp_path: Path) -> None:
    priors = priors_from(own(tmp_path, "board.bridge = 0\nkinds.resistor.rate = 0\n"))
    stage = read(from_text("x", "ground G\nR1 1k A -- G\nD1 diode A -> G\n"))
    found = hypotheses_of(stage, stage, priors)
    names = {(one.name, one.parts) for one in found}
    assert ("open", ("D1",)) in names
    assert not {name for name, parts in names if parts == ("R1",)} & {"open", "short"}
    assert "bridge" not in {name for name, _ in names}


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(PriorsError, match=r"nowhere.toml can't be read"):
        priors_from(tmp_path / "nowhere.toml")


def test_a_file_that_is_no_text(tmp_path: Path) -> None:
    path = tmp_path / "board.png"
    path.write_bytes(b"\x89PNG\r\n\x1a\n\xff\xfe")
    with pytest.raises(PriorsError, match=r"board.png is no table of priors"):
        priors_from(path)
