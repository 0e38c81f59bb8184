"""The one error that reaches a person: a sentence saying what, where and how to mend it."""


class Refused(Exception):
    """What was asked makes no sense now; the text is one sentence fit to be shown as it is."""
