"""The words of codes: of choices, verdicts, places and states, as sentences and tables use them.

A code reads as its words with underscores: `before_removal` is labelled `before removal`.
"""

from typing import Any

from django.utils.translation import gettext, gettext_noop

LABELS = {
    label.replace(" ", "_"): label
    for label in (
        # Verdicts and states
        gettext_noop("pass"),
        gettext_noop("fail"),
        gettext_noop("fits"),
        gettext_noop("does not fit"),
        gettext_noop("inconclusive"),
        gettext_noop("attention"),
        gettext_noop("next"),
        gettext_noop("waiting"),
        gettext_noop("done"),
        gettext_noop("open"),
        gettext_noop("closed"),
        gettext_noop("over"),
        gettext_noop("sent"),
        gettext_noop("failed"),
        gettext_noop("bounced"),
        gettext_noop("genuine"),
        gettext_noop("superseded"),
        gettext_noop("withdrawn"),
        gettext_noop("being made"),
        gettext_noop("yes"),
        gettext_noop("no"),
        gettext_noop("not known"),
        gettext_noop("none"),
        gettext_noop("ok"),
        gettext_noop("damaged"),
        gettext_noop("missing"),
        gettext_noop("not seen"),
        # Stages of a job and of a survey
        gettext_noop("taken on"),
        gettext_noop("surveyed"),
        gettext_noop("ordered"),
        gettext_noop("delivered"),
        gettext_noop("being fitted"),
        gettext_noop("handed over"),
        gettext_noop("certified"),
        gettext_noop("first"),
        gettext_noop("before removal"),
        # Sides, members and places
        gettext_noop("left"),
        gettext_noop("right"),
        gettext_noop("top"),
        gettext_noop("bottom"),
        gettext_noop("central"),
        gettext_noop("head"),
        gettext_noop("sill"),
        gettext_noop("left end"),
        gettext_noop("left quarter"),
        gettext_noop("middle"),
        gettext_noop("right quarter"),
        gettext_noop("right end"),
        gettext_noop("top left"),
        gettext_noop("top right"),
        gettext_noop("bottom left"),
        gettext_noop("bottom right"),
        # What is measured
        gettext_noop("rising"),
        gettext_noop("falling"),
        gettext_noop("count"),
        gettext_noop("sill level"),
        gettext_noop("head level"),
        gettext_noop("diagonal difference"),
        gettext_noop("clear height range"),
        gettext_noop("left jamb in wall plane"),
        gettext_noop("left jamb across wall"),
        gettext_noop("right jamb in wall plane"),
        gettext_noop("right jamb across wall"),
        gettext_noop("left jamb lower quarter"),
        gettext_noop("left jamb middle"),
        gettext_noop("left jamb upper quarter"),
        gettext_noop("right jamb lower quarter"),
        gettext_noop("right jamb middle"),
        gettext_noop("right jamb upper quarter"),
        # Fixings
        gettext_noop("frame screw"),
        gettext_noop("strap"),
        gettext_noop("bracket"),
        gettext_noop("foam only"),
        # Conditions of an opening
        gettext_noop("brick"),
        gettext_noop("block"),
        gettext_noop("timber"),
        gettext_noop("steel"),
        gettext_noop("concrete"),
        gettext_noop("step"),
        gettext_noop("downpipe"),
        gettext_noop("gully"),
        gettext_noop("radiator"),
        gettext_noop("worktop"),
        gettext_noop("plant"),
        gettext_noop("wall"),
        gettext_noop("light"),
        gettext_noop("electricity"),
        gettext_noop("gas"),
        gettext_noop("water"),
        gettext_noop("drain"),
        gettext_noop("telephone"),
        gettext_noop("alarm"),
        gettext_noop("direct"),
        gettext_noop("through house"),
        gettext_noop("narrow passage"),
        gettext_noop("steps"),
        gettext_noop("lifting gear needed"),
        gettext_noop("structural"),
        gettext_noop("finished"),
        gettext_noop("level"),
        gettext_noop("low"),
        gettext_noop("stepped"),
        gettext_noop("channel"),
        gettext_noop("falls away"),
        gettext_noop("insulated"),
    )
}


def code_label(code: Any) -> str:
    """The label of a code in the reader's language; a name that somebody gave is left as it is."""
    label = LABELS.get(str(code))
    return gettext(label) if label else str(code).replace("_", " ")
