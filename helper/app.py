"""The ways in: the chat, one request, piped requests, answers as text or as JSON Lines.

Little is imported up here: `--version` and a mistyped option must not wait for the kitchen.
"""

from __future__ import annotations

import argparse
import datetime as dt
import gc
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from helper import __version__

if TYPE_CHECKING:
    from helper.conversation import Conversation
    from helper.household.books import Household

DONE, NOT_ALL, WRONG_CALL, BROKEN_OFF = 0, 1, 2, 130
NAME = "household-meal-helper"

_DESCRIPTION = """\
A kitchen helper to talk to: what to cook from what is in the house, what it really costs,
who may eat it. Without a REQUEST it opens a chat; requests piped in are answered line by line."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; the exit status is the contract's (130 where Ctrl-C broke it off)."""
    # Nearly everything made at the start stays to the end: looking for rubbish less often saves
    # a tenth of a short run.
    gc.set_threshold(20_000, 20, 20)
    try:
        status = _run(_parser().parse_args(arguments))
        sys.stdout.flush()
    except KeyboardInterrupt:
        return BROKEN_OFF
    except BrokenPipeError:
        # Whoever read us has gone ("| head"). Python would complain once more at its end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NOT_ALL
    return status


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="meal-helper", description=_DESCRIPTION)
    parser.add_argument("request", nargs="?", metavar="REQUEST", help="answer this and exit")
    parser.add_argument(
        "--household",
        type=_folder,
        metavar="DIR",
        help="the household's folder, made if it does not exist (default: your own)",
    )
    parser.add_argument(
        "--demo", action="store_true", help="a private copy of the demo household, nothing is kept"
    )
    parser.add_argument("--json", action="store_true", help="answer in JSON Lines")
    parser.add_argument(
        "--load",
        action="append",
        type=Path,
        default=[],
        metavar="FILE",
        help="take in stock, people or recipes first (.csv .json .jsonld .html .txt .md); "
        "may be repeated",
    )
    parser.add_argument(
        "--today",
        type=_day,
        metavar="YYYY-MM-DD",
        help="the date to answer for (default: today)",
    )
    parser.add_argument(
        "--mend",
        action="store_true",
        help="set aside lines of the household's journal that are damaged, and go on without them",
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {__version__}")
    return parser


class _Parser(argparse.ArgumentParser):
    """Adds the examples of the act table below the options, read only when help is shown."""

    def format_help(self) -> str:
        from helper.acts.headings import grouped

        lines = [super().format_help(), "What can be said, by example:"]
        for heading, listed in grouped().items():
            lines += ["", f"  {heading}", *(f"    {act.example}" for act in listed)]
        return "\n".join([*lines, ""])


def _folder(text: str) -> Path:
    # An empty name, as of a variable nobody has set, would be the folder one happens to be in.
    if not text.strip():
        raise argparse.ArgumentTypeError("no folder is named")
    return Path(text)


def _day(text: str) -> dt.date:
    try:
        day = dt.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no date like 2026-11-25") from None
    # Weeks ahead and months back of it have to be dates too.
    if not 1900 <= day.year <= 2200:
        raise argparse.ArgumentTypeError(f"{text!r} is no date of ours")
    return day


# -- one run --------------------------------------------------------------------------------


def _run(call: argparse.Namespace) -> int:
    from helper.household.troubles import Trouble
    from helper.showing.patience import patience

    _write_anything()
    folder = call.household or _own_folder()
    try:
        with patience(sys.stderr):
            books = _books(call, folder)
    except (Trouble, FileNotFoundError) as trouble:
        _complain(f"meal-helper: {trouble}")
        return WRONG_CALL
    with books:
        for notice in books.notices:
            _complain(notice)
        if call.mend:
            return _mend(books)
        return _talk(call, books, folder)


def _mend(books: Household) -> int:
    from helper.household.troubles import Trouble

    try:
        print(books.mend())
    except Trouble as trouble:
        _complain(f"meal-helper: {trouble}")
        return NOT_ALL
    return DONE


def _talk(call: argparse.Namespace, books: Household, folder: Path) -> int:
    from helper.faults import FaultLog

    today = call.today or dt.date.today()
    faults = FaultLog(_own_folder() if call.demo else folder)
    status = DONE
    if call.load:
        from helper.loading import load

        status = load(call.load, books, today, sys.stderr if call.json else sys.stdout)
        if status == WRONG_CALL:
            return status
    in_terminal = sys.stdin.isatty() and sys.stdout.isatty()
    if call.request is None and in_terminal and not call.json:
        from helper.showing.chat import chat

        chat(books, faults, call.today, None if call.demo else folder)
        return status

    from helper.conversation import Conversation
    from helper.showing.clean import clean, one_line

    talk = Conversation(books, today, faults)
    if call.request is not None:
        return max(status, _answer([call.request], talk, clean, as_json=call.json))
    return max(status, _answer(_lines_of_input(), talk, one_line, as_json=call.json))


def _books(call: argparse.Namespace, folder: Path) -> Household:
    if call.demo:
        from helper.demo import demo_books

        return demo_books(call.today or dt.date.today())
    from helper.household.books import Household

    if call.today is None:
        return Household.open(folder)
    day: dt.date = call.today
    return Household.open(
        folder,
        today=lambda: day,
        now=lambda: dt.datetime.combine(day, dt.datetime.now().time()).astimezone(),
    )


def _own_folder() -> Path:
    from platformdirs import user_data_path

    return user_data_path(NAME, appauthor=False)


def _answer(
    requests: Iterable[str], talk: Conversation, tidy: Callable[[str], str], *, as_json: bool
) -> int:
    """Answer each request as it comes; 1 where one was not understood or not carried out.

    `tidy` takes out of a request what no person means by it.
    """
    from helper.showing.patience import patience

    status = DONE
    first = True
    for request in requests:
        if not first and not request.strip():
            talk.pause()
            continue
        with patience(sys.stderr):
            answer = talk.say(tidy(request))
        if not all(one.understood for one in (answer, *answer.also)):
            status = NOT_ALL
        if as_json:
            from helper.showing.lines import json_line

            sys.stdout.buffer.write(json_line(request, answer, talk.house))
        else:
            from helper.showing.text import print_answer

            print_answer(answer, apart=not first)
        sys.stdout.flush()
        first = False
    return status


def _lines_of_input() -> Iterator[str]:
    """Requests from standard input, whatever their line ends.

    Empty lines ask nothing; those before the first request are left out.
    """
    begun = False
    for raw in sys.stdin.buffer:
        line = _decoded(raw).rstrip("\r\n")
        begun = begun or bool(line.strip())
        if begun:
            yield line


def _decoded(raw: bytes) -> str:
    """UTF-8, or else what the terminal's language setting says, or as much as can be read."""
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode(sys.stdin.encoding or "utf-8", errors="replace")


def _write_anything() -> None:
    """Letters that the terminal's encoding lacks are written with others, and never an error."""
    from helper.showing.letters import register

    way = register()
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors=way)


def _complain(text: str) -> None:
    from helper.showing.clean import clean

    print(clean(text), file=sys.stderr)
