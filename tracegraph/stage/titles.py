"""What a kind is called in a sentence."""


def a(title: str) -> str:
    """Return a kind's title with its article.

    >>> a("resistor"), a("NPN transistor"), a("op amp")
    ('a resistor', 'an NPN transistor', 'an op amp')
    """
    spelt = title.startswith(("NPN", "N-", "NTC", "SCR", "LED"))
    vowel = title[:1].lower() in {*"aeio"} or spelt
    return f"an {title}" if vowel else f"a {title}"
