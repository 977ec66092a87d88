"""Trade words as a yield report writes them, by the names records have for them."""

STAGES = {
    "before_pins": "before pins",
    "knots": "knots",
    "pins": "pins",
    "young": "young",
    "ready": "ready to pick",
    "picked": "picked",
    "trouble": "trouble",
}
CONTAMINATIONS = {
    "": "kind not noted",
    "green_mould": "green mould",
    "cobweb": "cobweb mould",
    "black_mould": "black mould",
    "bacterial": "bacterial",
    "insects": "insects",
    "other": "other",
}
STATES = {
    "resting": "resting",
    "soaking": "in water",
    "pinning": "pinning",
    "fruiting": "fruiting",
    "spent": "spent",
    "discarded": "discarded",
}
HANDLINGS = {"whole": "whole", "trimmed": "trimmed", "mixed": "partly whole, partly trimmed"}
