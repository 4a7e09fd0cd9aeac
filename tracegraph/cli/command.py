"""Commands of our own make: nets that begin with `-`, and hints after a slip."""

from collections.abc import Iterator, Sequence
from typing import Any

import click

from tracegraph.cli.refusal import Refusal
from tracegraph.nearest import did_you_mean


class FileCommand(click.Command):
    """A command about a file, on whose nets words with a leading `-` are tried."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Sort the words into options and names, then read them as usual."""
        return super().parse_args(ctx, list(sorted_words(self, ctx, args)))


def sorted_words(
    command: click.Command, ctx: click.Context, args: Sequence[str]
) -> Iterator[str]:
    """Yield the options with their values, then `--`, then everything that is a name."""
    takes_value = _options(command, ctx)
    names: list[str] = []
    words = iter(args)
    for word in words:
        option = word.split("=", 1)[0]
        if word == "--":
            names += words
        elif option in takes_value:
            yield word
            if takes_value[option] and "=" not in word:
                yield from _value(words)
        elif len(word) > 1 and word.startswith("-") and not _names(names, word):
            _refuse(word, option, takes_value, ctx)
        else:
            names.append(word)
    yield from ("--", *names)


def _value(words: Iterator[str]) -> Iterator[str]:
    """Yield the word that follows an option, whatever it begins with."""
    word = next(words, None)
    if word is not None:
        yield word


def _options(command: click.Command, ctx: click.Context) -> dict[str, bool]:
    """Return the options, and whether each takes a value."""
    return {
        name: not (param.is_flag or param.count)
        for param in command.get_params(ctx)
        if isinstance(param, click.Option)
        for name in (*param.opts, *param.secondary_opts)
    }


def _names(names: Sequence[str], word: str) -> bool:
    """Return whether a word with a leading `-` names a net or pin of the file."""
    from tracegraph.cli.section import section_of

    return bool(names) and section_of(names[0]).net(word) is not None


def _refuse(
    word: str, option: str, options: dict[str, bool], ctx: click.Context
) -> None:
    if ctx.resilient_parsing:
        return
    hint = did_you_mean(option, options) or f"; try `{ctx.command_path} --help`"
    raise Refusal(f"there is no option {word}, and no net of that name{hint}")


def choice(what: str, words: Sequence[str]) -> dict[str, Any]:
    """Return what makes a parameter one of a few words, in any case.

    Args:
        what: What is chosen, in the singular; for the question after a slip.
        words: The words for it.
    """

    def convert(
        _ctx: click.Context, _param: click.Parameter, value: str | None
    ) -> str | None:
        if value is None or value.lower() in words:
            return value and value.lower()
        hint = did_you_mean(value, words, 0.5) or f"; known: {', '.join(words)}"
        raise Refusal(f"there is no {what} {value}{hint}")

    def complete(
        _ctx: click.Context, _param: click.Parameter, incomplete: str
    ) -> list[str]:
        return [word for word in words if word.startswith(incomplete.lower())]

    return {"callback": convert, "shell_complete": complete, "metavar": "|".join(words)}
