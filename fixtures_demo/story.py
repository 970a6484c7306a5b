"""Telling the demo's story on the terminal: chapters, lines with figures, progress."""

import sys
import textwrap

WIDTH = 96


def chapter(number: int, of: int, title: str) -> None:
    print(f"\n[{number}/{of}] {title}", flush=True)


def tell(text: str) -> None:
    print(textwrap.fill(text, WIDTH, initial_indent="    ", subsequent_indent="    "), flush=True)


def progress(done: int, total: int, what: str) -> None:
    """One line that counts up on a terminal; only the last count where the output is a file."""
    if sys.stdout.isatty():
        print(f"\r    {what}: {done} of {total}", end="\n" if done == total else "", flush=True)
    elif done == total:
        print(f"    {what}: {total}", flush=True)
