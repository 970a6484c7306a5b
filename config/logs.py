"""What is logged, and in which form: a JSON object a line for a machine, or plain lines to read.

Nobody's name, address, telephone, e-mail, code or token belongs into a log. Requests and tasks are
told by `config/request_log.py` and django-structlog, which know names of routes and numbers of
records; a fault is told by its kind and its place, since its words may quote what somebody typed.
"""

import sys
from pathlib import Path
from traceback import FrameSummary, extract_tb
from types import TracebackType
from typing import Any

import structlog
from structlog.types import EventDict, ExcInfo, Processor

PROJECT_DIR = Path(__file__).resolve().parent.parent
INNERMOST_TOLD = 3
# Words of a fault, as libraries add them.
WORDS_OF_FAULTS = ("error", "exception", "reason")

# Before the form is chosen, alike for our lines and those of libraries.
EVERY_LINE: list[Processor] = [
    structlog.contextvars.merge_contextvars,
    structlog.stdlib.add_log_level,
    structlog.stdlib.add_logger_name,
    structlog.processors.TimeStamper(fmt="iso", utc=True),
]


def logging_in(form: str, *, level: str) -> dict[str, Any]:
    """The setting LOGGING for lines in the `form` json or plain, from `level` on."""
    structlog.configure(
        processors=[
            structlog.stdlib.filter_by_level,
            *EVERY_LINE,
            structlog.stdlib.ProcessorFormatter.wrap_for_formatter,
        ],
        logger_factory=structlog.stdlib.LoggerFactory(),
        wrapper_class=structlog.stdlib.BoundLogger,
    )
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"line": {"()": formatter, "form": form}},
        "handlers": {
            "console": {"class": "logging.StreamHandler", "formatter": "line", "level": level}
        },
        "root": {"handlers": ["console"], "level": "INFO"},
        "loggers": {
            # They quote addresses, and addresses hold codes and tokens; our line tells the rest.
            "django.request": {"level": "CRITICAL"},
            "django.security.csrf": {"level": "CRITICAL"},
            # They quote what a task was given and what its fault said.
            "celery.app.trace": {"level": "CRITICAL"},
            "celery.worker.strategy": {"level": "WARNING"},
            # They tell of every page and every glyph.
            "weasyprint": {"level": "WARNING"},
            "fontTools": {"level": "WARNING"},
        },
    }


def formatter(form: str) -> structlog.stdlib.ProcessorFormatter:
    forms: dict[str, list[Processor]] = {
        "json": [fault_without_words, structlog.processors.JSONRenderer()],
        "plain": [_plain()],
    }
    if form not in forms:
        raise ValueError(f"LOG_FORMAT is json or plain, not {form}")
    return structlog.stdlib.ProcessorFormatter(
        foreign_pre_chain=EVERY_LINE,
        processors=[structlog.stdlib.ProcessorFormatter.remove_processors_meta, *forms[form]],
    )


def fault_without_words(logger: Any, method: str, line: EventDict) -> EventDict:
    """Replaces an exception by its kind, those it came from, and where it was raised."""
    for key in WORDS_OF_FAULTS:
        line.pop(key, None)
    fault = _fault_of(line.pop("exc_info", None))
    if fault:
        line["fault"] = _kinds(fault)
        line["at"] = _places(fault.__traceback__)
    return line


def _plain() -> Processor:
    return structlog.dev.ConsoleRenderer(
        colors=False, exception_formatter=structlog.dev.plain_traceback, pad_event_to=0
    )


def _fault_of(exc_info: ExcInfo | BaseException | bool | None) -> BaseException | None:
    match exc_info:
        case BaseException():
            return exc_info
        case tuple():
            return exc_info[1]
        case True:
            return sys.exc_info()[1]
    return None


def _kinds(fault: BaseException) -> str:
    kinds = [type(fault).__name__]
    while before := fault.__cause__ or fault.__context__:
        kinds.append(type(before).__name__)
        fault = before
    return " from ".join(kinds)


def _places(traceback: TracebackType | None) -> list[str]:
    """The calls of our own code and the innermost of all, as file, line and function."""
    frames = extract_tb(traceback)
    places = [
        frame
        for depth, frame in enumerate(frames, start=1)
        if _is_ours(frame) or depth > len(frames) - INNERMOST_TOLD
    ]
    return [f"{_short(frame)}:{frame.lineno} {frame.name}" for frame in places]


def _is_ours(frame: FrameSummary) -> bool:
    path = Path(frame.filename)
    return path.is_relative_to(PROJECT_DIR) and "site-packages" not in path.parts


def _short(frame: FrameSummary) -> str:
    path = Path(frame.filename)
    if _is_ours(frame):
        return str(path.relative_to(PROJECT_DIR))
    return "/".join(path.parts[-3:])
