"""Texts in sources that nothing marks for translation: also those that no page of a test shows.

`python -m tests.language.unmarked surveys` lists them with their lines.
"""

import ast
import re
import sys
from collections.abc import Iterator
from pathlib import Path

from django.template.base import DebugLexer, TokenType

from tests.language.folders import FOLDERS, PROJECT_DIR, sources

MARKERS = {
    *("gettext", "gettext_lazy", "gettext_noop", "ngettext", "ngettext_lazy"),
    *("pgettext", "pgettext_lazy", "npgettext", "_", "sentence", "StoredSentence"),
}
# What is called so is read by maintainers, or by no one.
FOR_MAINTAINERS = {
    *("debug", "info", "warning", "error", "exception", "critical"),
    *("compile", "add_argument", "CommandError", "ImproperlyConfigured", "extend_schema"),
    *("Field", "Error", "Warning", "CheckConstraint", "UniqueConstraint", "RuntimeError"),
    *("AssertionError", "TypeError", "KeyError", "LookupError", "OpenApiParameter", "cast"),
    *("UnsoundRuleSet", "UnknownRule", "UnreadableRecord", "FrozenKind"),
    *("TransactionManagementError", "OpenApiExample", "OpenApiResponse", "inline_serializer"),
    *("execute", "_execute", "RawSQL", "TypeVar", "UnsoundProof", "Counter"),
}
# Keywords whose texts describe the API, or an option of a command.
DESCRIBING = {"description", "help", "db_comment", "verb"}
ROOMS_OF_MAINTAINERS = {
    "management",
    "migrations",
    "backup",
    "health.py",
    "frozen.py",
    "journal_check.py",
    "record_check.py",
    "signature_check.py",
    "differences.py",
    "outside_the_journal.py",
    "checks.py",
    "logs.py",
    "settings.py",
    "build.py",
}
ROOMS_OF_MAINTAINERS |= {"admin.py", "schema.py", "celery.py", "metrics.py", "request_log.py"}
# There `help_text` describes the API.
ROOMS_OF_THE_API = {"api", "models", "models.py"}
# Two words or more that begin as a sentence, or a part of one, does.
WORDS = re.compile(
    r"[A-Za-z]{2,}[,;:]? +(\{[^}]*\} +)?\(?[A-Za-z]{2,}|[A-Za-z]{2,}[,;:] |^ [a-z]{2,}"
)
CODE = re.compile(
    r"^[\w./:{}<>=?&%*#@+-]+$|^\s*[-\w]+: [-\w #%.]+;|^attachment; |"
    r"charset=|max-age|no-store|default-src|noindex|sans-serif|^-//|"
    r"^<span class=|^[A-Z]+[, ]+[A-Z]+\b"
)
SCRIPT_TEXT = re.compile(r"(?<![=\w])(\"|'|`)([A-Z][a-z]+ [^\"'`\n]*|[a-z]{2,} [a-z][^\"'`\n]*)\1")
# Lines of a script whose words are selectors, classes or errors of programming.
NO_TEXT = re.compile(r"querySelector|\.matches\(|className|new Error\(")
READ_ALOUD = re.compile(r"\b(?:title|alt|aria-label|placeholder|data-label)=\"([^\"]*)\"")
QUOTED = re.compile(r"(?<!_\()\"([^\"]*[a-z]{2,} [a-z][^\"]*)\"")
LETTERS = re.compile(r"[^\W\d_]{2,}")
UNITS = re.compile(r"\b(mm|kg|m²K|Sillwright|CSV|XLSX|PDF|SHA-256)\b")


def unmarked(folder: str) -> Iterator[str]:
    """`file:line: text` of each text in a folder that is not marked."""
    for path in sources(folder, "*.py"):
        if not ROOMS_OF_MAINTAINERS & set(path.parts):
            tree = ast.parse(path.read_text("utf-8"))
            if ROOMS_OF_THE_API & set(path.parts):
                _leave_out_help_texts(tree)
            yield from _named(path, _of_python(tree))
    for path in [*sources(folder, "*.html"), *sources(folder, "*.txt")]:
        yield from _named(path, _of_template(path.read_text("utf-8")))
    for path in sorted((PROJECT_DIR / folder).rglob("*.js")):
        yield from _named(path, _of_script(path.read_text("utf-8")))


def _named(path: Path, texts: Iterator[tuple[int, str]]) -> Iterator[str]:
    for line, text in texts:
        yield f"{path.relative_to(PROJECT_DIR)}:{line}: {' '.join(text.split())}"


def _leave_out_help_texts(tree: ast.Module) -> None:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            node.keywords = [keyword for keyword in node.keywords if keyword.arg != "help_text"]


def _of_python(tree: ast.Module) -> Iterator[tuple[int, str]]:
    docstrings = {id(bare.value) for bare in ast.walk(tree) if isinstance(bare, ast.Expr)}
    yield from _texts_in(tree, docstrings)


def _texts_in(node: ast.AST, docstrings: set[int]) -> Iterator[tuple[int, str]]:
    text = _text_of(node, docstrings)
    if text is not None:
        if WORDS.search(text) and not CODE.search(text):
            yield getattr(node, "lineno", 0), text
        return
    for child in _looked_at(node):
        yield from _texts_in(child, docstrings)


def _text_of(node: ast.AST, docstrings: set[int]) -> str | None:
    """A string as it is written; the values in it as `{}`."""
    if isinstance(node, ast.JoinedStr):
        return "".join(
            str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values
        )
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return "" if id(node) in docstrings else node.value
    return None


def _looked_at(node: ast.AST) -> Iterator[ast.AST]:
    """The parts of a statement whose texts may reach people and are not marked."""
    called = _called(node) if isinstance(node, ast.Call) else ""
    describes = isinstance(node, ast.keyword) and node.arg in DESCRIBING
    if isinstance(node, ast.Dict):
        keys = [getattr(key, "value", None) for key in node.keys]
        yield from (v for k, v in zip(keys, node.values, strict=True) if k not in DESCRIBING)
    elif called in MARKERS:
        yield from getattr(node, "keywords", ())
    elif called not in FOR_MAINTAINERS and not describes:
        yield from ast.iter_child_nodes(node)


def _called(node: ast.Call) -> str:
    return str(getattr(node.func, "attr", None) or getattr(node.func, "id", ""))


def _of_script(source: str) -> Iterator[tuple[int, str]]:
    """What reads as words: a script gets its texts from its page."""
    for number, line in enumerate(source.split("\n"), start=1):
        code = line.split("//")[0]
        if not re.match(r"\s*(/?\*|import|\"use strict\")", code) and not NO_TEXT.search(code):
            for match in SCRIPT_TEXT.finditer(code):
                yield number, match[2]


def _of_template(source: str) -> Iterator[tuple[int, str]]:
    plain, inside, comment = [], False, False
    for token in DebugLexer(source).tokenize():
        tag = token.contents.split(" ")[0] if token.token_type is TokenType.BLOCK else ""
        if tag in ("comment", "endcomment"):
            comment = tag == "comment"
        elif tag in ("blocktranslate", "blocktrans", "endblocktranslate", "endblocktrans"):
            inside = not tag.startswith("end")
        elif token.token_type is TokenType.TEXT:
            plain.append("\n" * token.contents.count("\n") if inside or comment else token.contents)
        else:
            if tag not in ("translate", "trans", "load", "extends", "include", "url", "static"):
                for quoted in QUOTED.findall(token.contents):
                    yield token.lineno or 0, quoted
            plain.append("\0")
    yield from _outside_tags("".join(plain))


def _outside_tags(text: str) -> Iterator[tuple[int, str]]:
    for match in READ_ALOUD.finditer(text):
        if LETTERS.search(match[1]):
            yield text.count("\n", 0, match.start()) + 1, match[1]
    hidden = re.sub(r"<(style|script)\b.*?</\1>|<[^>]*>", _blank, text, flags=re.DOTALL)
    for number, line in enumerate(hidden.split("\n"), start=1):
        rest = line.replace("\0", " … ")
        if LETTERS.search(UNITS.sub("", re.sub(r"&\w+;", "", rest))):
            yield number, rest


def _blank(match: re.Match[str]) -> str:
    return "\n" * match[0].count("\n")


if __name__ == "__main__":
    for name in sys.argv[1:] or FOLDERS:
        print(*unmarked(name), sep="\n")
