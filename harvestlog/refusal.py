"""What the command line says when it will not go on."""


class Refusal(Exception):
    """One sentence or two: what is wrong, the value at fault, what to do."""
