"""Who joined a farm after the copy that is put back: kept, or nobody could sign in on their phone, and what it has were lost.

Plain SQL for both kinds of database. Whoever is in the copy already is as the copy says.
"""

PEOPLE = "accounts_person (id, password, email, name, is_active)"


def orders(present: str) -> list[str]:
    """Takes them over from the schema `present`, the database that was there before, into the one of the copy."""
    return [
        f"INSERT INTO {PEOPLE} "  # noqa: S608 - a name of our own
        "SELECT p.id, p.password, p.email, p.name, p.is_active "
        f"FROM {present}.accounts_person p "
        "WHERE NOT EXISTS (SELECT 1 FROM accounts_person k WHERE k.id = p.id OR k.email = p.email) "
        f"AND EXISTS (SELECT 1 FROM {present}.accounts_membership m JOIN accounts_farm f ON f.id = m.farm_id "
        "WHERE m.person_id = p.id)",
        "INSERT INTO accounts_membership (farm_id, person_id, role) "  # noqa: S608
        "SELECT m.farm_id, m.person_id, m.role "
        f"FROM {present}.accounts_membership m "
        "JOIN accounts_farm f ON f.id = m.farm_id JOIN accounts_person p ON p.id = m.person_id "
        "WHERE NOT EXISTS (SELECT 1 FROM accounts_membership k "
        "WHERE k.farm_id = m.farm_id AND k.person_id = m.person_id)",
    ]
