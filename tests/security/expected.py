"""Who gets what from each operation: the one table of expectations.

Columns: the farm's owner, a picker, a viewer; the other farm's owner aimed at this farm's things; somebody without a
valid sign-in (signed out, removed from the farm, phone revoked, or holding no more than a share link).
"""

from typing import NamedTuple


class Row(NamedTuple):
    owner: int
    picker: int
    viewer: int
    other: int
    nobody: int = 401

    def of(self, actor: str) -> int:
        at = {"owner": self.owner, "picker": self.picker, "viewer": self.viewer, "other farm": self.other}
        return at.get(actor, self.nobody)


ABSENT = 404
NOT_HERE = 422  # the id stands in the body: the field is named, in the words for an id of nothing
OWN = 200  # there is nothing to aim with: the other farm's owner gets their own farm's answer
EVERYBODY = Row(200, 200, 200, OWN)
OWNERS = Row(200, 403, 403, OWN)

EXPECTED: dict[str, Row] = {
    # The ways in take no sign-in: a code or a password is what they ask for.
    "GET /api/session": Row(200, 200, 200, OWN, 200),
    "POST /api/session": Row(200, 200, 200, 200, 200),
    "DELETE /api/session": Row(204, 204, 204, 204, 204),
    "POST /api/setup": Row(403, 403, 403, 403, 403),  # the code is wrong, and there are farms already
    "POST /api/demo": Row(404, 404, 404, 404, 404),  # closed once there is a farm
    "POST /api/join": Row(200, 200, 200, 200, 200),
    "POST /api/pair": Row(200, 200, 200, 200, 200),
    "POST /api/password": Row(200, 200, 200, 200, 200),
    # Everything else belongs to a farm.
    "POST /api/session/confirm": Row(204, 204, 204, 204),
    "POST /api/session/password": Row(204, 204, 204, 204),
    "GET /api/farm": EVERYBODY,
    "PATCH /api/farm": OWNERS,
    "POST /api/farm/invitations": OWNERS,
    "DELETE /api/farm/invitations/{invitation}": Row(204, 403, 403, ABSENT),
    "PATCH /api/farm/people/{person}": Row(200, 403, 403, ABSENT),
    "DELETE /api/farm/people/{person}": Row(204, 403, 403, ABSENT),
    "POST /api/farm/people/{person}/password-code": Row(200, 403, 403, ABSENT),
    "POST /api/farm/pairings": EVERYBODY,
    "DELETE /api/farm/pairings/{pairing_id}": Row(204, 404, 404, ABSENT),  # others take back their own only
    "DELETE /api/farm/phones/{device}": Row(204, 204, 404, ABSENT),  # it is the picker's second phone
    "GET /api/farm/copies": OWNERS,
    "POST /api/farm/copies": Row(409, 403, 403, 409),  # switched off in these tests
    "POST /api/sync/push": Row(200, 403, 403, 403),  # a batch belongs to the phone that made it: the owner's
    "GET /api/sync/pull": EVERYBODY,
    "GET /api/sync/history/{kind}/{row}": Row(200, 200, 200, ABSENT),
    "PUT /api/photos/{sha256}": Row(200, 200, 200, ABSENT),
    "GET /api/photos/{sha256}": Row(200, 200, 200, ABSENT),
    "GET /api/reports/blocks/{block}": Row(200, 200, 200, ABSENT),
    "GET /api/reports/suppliers": EVERYBODY,
    "GET /api/reports/comparison": EVERYBODY,
    "GET /api/reports/season": EVERYBODY,
    "GET /api/reports/keeping": EVERYBODY,
    "GET /api/reports/records.zip": OWNERS,
    "GET /api/reports/records.json": OWNERS,
    "POST /api/reports/calendar": Row(201, 201, 201, 201),
    "GET /api/reports/calendar": EVERYBODY,
    "DELETE /api/reports/calendar": Row(204, 204, 204, 204),
    "POST /api/reports/jar-labels": Row(200, 200, 200, NOT_HERE),
    "POST /api/reports/supplier-reports": Row(201, 403, 403, NOT_HERE),
    "GET /api/reports/supplier-reports": OWNERS,
    "GET /api/reports/supplier-reports/{report}": Row(200, 403, 403, ABSENT),
    "DELETE /api/reports/supplier-reports/{report}": Row(204, 403, 403, ABSENT),
    "POST /api/reports/supplier-reports/{report}/shares": Row(201, 403, 403, ABSENT),
    "GET /api/reports/supplier-reports/{report}/{name}": Row(200, 403, 403, ABSENT),
    "DELETE /api/reports/shares/{share}": Row(204, 403, 403, ABSENT),
}

# Addresses outside the API, each with a token of 256 bits in it: whoever holds it reads, nobody signs in.
PUBLIC = {"c/<str:token>.ics", "r/<str:token>", "r/<str:token>/report.pdf", "r/<str:token>/report.zip"}
