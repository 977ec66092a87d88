"""Copies of all farms' records and photos: made, verified by reading them back, put in place again.

A copy is a folder that is complete by itself: the database, photos/ and manifest.json, which says what belongs to it.
Left out on purpose: the secret key and every sign-in. A copy is carried about on sticks and to other people's machines;
with them, whoever finds one could enter as the owner. What the key signs ends with the sign-ins, so nothing is lost:
after a restore everybody signs in again, also because a phone or person shown the door since would be let in again.
For the same reason it ends every link, calendar address, invitation and code that was open when the copy was made.
"""
