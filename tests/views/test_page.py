"""A page in plain letters fits as well as the one with all letters."""

import pytest

from tests.views.expectations import OPEN, PLAIN, REST_OPEN
from tests.views.verdicts import ADVICE, FOUND, HEALTHY
from tracegraph.asking.api import read
from tracegraph.diagnose.priors import usual
from tracegraph.views.expected_page import expected_page
from tracegraph.views.letters import plain_letters
from tracegraph.views.next_page import next_page
from tracegraph.views.page import Page, Table, Verbatim, respelt
from tracegraph.views.plain import plain_text
from tracegraph.views.priors_page import priors_page
from tracegraph.views.suspects_page import suspects_page

LONG = "a wire or short of about 47 Ω between COM and P12 that is not in the file"
PAGES: tuple[Page, ...] = (
    expected_page("belt motor", (PLAIN, REST_OPEN, OPEN)),
    suspects_page("belt motor", FOUND, every=True),
    suspects_page("belt motor", HEALTHY),
    next_page(read("ground COM\nR1 1k GATE -- COM\n"), ADVICE),
    priors_page(usual()),
    (Table(("shows", "means"), (("47 Ω to 51 Ω", LONG), ("OL", LONG))),),
    (Verbatim("R1 47 Ω"),),
)


@pytest.mark.parametrize("page", PAGES)
def test_plain_letters_keep_a_page_within_the_screen(page: Page) -> None:
    text = plain_text(respelt(page, plain_letters))
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize("page", PAGES)
def test_nothing_else_changes(page: Page) -> None:
    words = plain_text(respelt(page, plain_letters)).replace("-", "").split()
    assert words == plain_letters(plain_text(page)).replace("-", "").split()
