"""What lets somebody in without a sign-in: ended by a restore, or what was taken back since the copy would be alive again.

Plain SQL for both kinds of database. Whoever still needs one is given a new one, under Farm and Suppliers.
"""

from collections.abc import Collection

# Links to reports stay on the list of their report, marked as taken back. A table that is renamed one day needs both of
# its names here: PostgreSQL is asked in the words of the release that made the copy.
_ENDED = {
    "reports_share": "UPDATE reports_share SET revoked = CURRENT_TIMESTAMP WHERE revoked IS NULL",
    "reports_calendarfeed": "DELETE FROM reports_calendarfeed",
    "accounts_invitation": "DELETE FROM accounts_invitation WHERE used IS NULL",
    "accounts_personcode": "DELETE FROM accounts_personcode WHERE used IS NULL",
}


def orders(tables: Collection[str]) -> list[str]:
    """Ends them in a database that has these tables; an older release's may lack some."""
    return [order for table, order in _ENDED.items() if table in tables]
