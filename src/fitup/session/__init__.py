"""Planning a session: what could be done, what it is worth, a sheet at once, and an independent check of it."""

from fitup.session.audit import audit
from fitup.session.planning import plan_session
from fitup.session.worth import worth_of

__all__ = ["audit", "plan_session", "worth_of"]
