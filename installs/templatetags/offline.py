"""The texts of the scripts that work without a network, given by every page that loads them."""

from django import template
from django.utils.html import json_script
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from installs.operations import OPERATIONS, PLACE_FIELDS
from installs.phone.texts import texts_of_sheet
from jobs.templatetags.pages import STATES

register = template.Library()


@register.simple_tag
def offline_texts() -> SafeString:
    """As JSON that `texts.js` reads: the texts by name, labels of operations by kind, and what
    makes one of them depend on another, as keys, since codes are no texts.

    Given by the page, so that a page that is saved on a device brings them along.
    """
    operations = {name: operation.label for name, operation in OPERATIONS.items()}
    texts = _of_entries() | _of_corrections() | _of_forms() | texts_of_sheet()
    texts |= _of_the_state() | _on_signing_out() | _of_unusable_photos()
    follows = {
        name: dict.fromkeys(operation.follows, True) for name, operation in OPERATIONS.items()
    }
    dependencies = {"placeFields": dict.fromkeys(PLACE_FIELDS, True), "follows": follows}
    signs = {name: {tone: sign} for name, (tone, sign) in STATES.items()}
    given = {"operations": operations, "texts": texts, "signs": signs}
    return json_script(given | dependencies, "offline-texts")


def _of_entries() -> dict[str, str]:
    """An entry of the queue and its states."""
    return {
        "photo": _("Photo"),
        "queued": _("waiting"),
        "sending": _("being sent, no answer yet"),
        "done": _("sent"),
        "conflict": _("changed by somebody else"),
        "refused": _("refused"),
        "decided": _("the other version was kept"),
        "set_aside": _("set aside; the office sees it"),
        "savedAt": _("saved {time}"),
        "field": _("{label}: {value}"),
        "yes": _("yes"),
        "no": _("no"),
        "empty": _("empty"),
    }


def _of_corrections() -> dict[str, str]:
    """What somebody can do about an entry."""
    return {
        "correct": _("Correct it"),
        "change": _("Change it before it is sent"),
        "setAside": _("Set it aside"),
        "setAsideUnsent": _("Set aside before it was sent"),
        "toBeSetAside": _("It is set aside at the office with the next sending."),
        "readAgainThere": _("Read it again"),
        "wasReadAgain": _("It was read again"),
        "createdTwice": _(
            "Somebody else created the same record meanwhile, so yours was not saved. Record it "
            "again on its page if it still has to be changed."
        ),
        "changedTwice": _(
            "Your change was not saved. Keep the other version, or apply your change to it."
        ),
        "applyMine": _("Apply my change"),
        "keepTheirs": _("Keep the other version"),
        "mine": _("Yours"),
        "theirs": _("On record"),
        "inDoubt": _(
            "It was sent without an answer, so it may be saved already. Send again first."
        ),
    }


def _of_unusable_photos() -> dict[str, str]:
    """A file that the server cannot take, and that this phone alone has."""
    return {
        "unusablePhoto": _(
            "It stays on this phone until you have saved the file elsewhere, or say why it may go."
        ),
        "saveFile": _("Save the file elsewhere"),
        "removeSaved": _("It is saved: take it off here"),
        "savedElsewhere": _("Saved elsewhere by who took it"),
        "sayWhy": _("Or say why it may go"),
        "whyItMayGo": _("Why it may go, in your words"),
        "letItGo": _("Let it go"),
    }


def _of_forms() -> dict[str, str]:
    """A form whose record was refused, or is not sent yet."""
    return {
        "notSent": _("Saved on this phone, not sent yet"),
        "choosePhoto": _("choose a photo"),
        "fieldRequired": _("fill this in"),
        "whereRecorded": _("See what is in its way"),
        "notSaved": _("This was not saved in the records."),
        "checkFields": _("Check the marked fields, and send it again."),
        "stillHere": _("It is still on this phone: correct it and send it again, or set it aside."),
        "noReason": _("The server gave no reason."),
    }


def _of_the_state() -> dict[str, str]:
    """The line below the head of every page of a fitter."""
    return {
        "toDecide": _("{count} to decide"),
        "toReadAgain": _("{count} to read again"),
        "waiting": _("{count} waiting"),
        "allSent": _("all sent"),
        "sendingNow": _("sending now"),
        "clockWrong": _("the clock of this phone is {minutes} min off; times are put right"),
        "signInToSend": _("sign in as yourself to send"),
        "noNetwork": _("no network"),
        "pageOf": _("page as it was at {time}"),
        "savedAhead": _("your visits are saved for when there is no network"),
    }


def _on_signing_out() -> dict[str, str]:
    """The question before unsent records are left behind."""
    return {
        "unsent": _("Records not sent: {count}"),
        "onlyHere": _(
            "They are only on this phone. If you sign out now they stay on it, and nobody else can "
            "send them: sign in on this phone again for that, and do not hand it on before."
        ),
        "decideFirst": _("To decide before they can be sent: {count}."),
        "sendNow": _("Send now"),
        "staySignedIn": _("Stay signed in"),
        "decide": _("Decide"),
        "keepAndLeave": _("Sign out and leave them here"),
        "sendFailed": _("Not sent"),
        "stillSignedIn": _("They could not be sent now. You are still signed in."),
        "close": _("Close"),
    }
