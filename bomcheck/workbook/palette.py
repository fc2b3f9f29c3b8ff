"""The colours of everything that the project writes: the Okabe-Ito set, which colour-blind readers can tell apart.

Source: M. Okabe and K. Ito, "Color Universal Design", 2008. The pale ones are our own tints for filling cells.
"""

BLACK, WHITE = "#000000", "#FFFFFF"
ORANGE, SKY, GREEN, YELLOW = "#E69F00", "#56B4E9", "#009E73", "#F0E442"
BLUE, VERMILLION, PURPLE = "#0072B2", "#D55E00", "#CC79A7"

INK, QUIET, RULE = "#1F2933", "#5F6B76", "#B8C2CC"
PALE_YELLOW, PALE_SKY, PALE_BLUE, PALE_GREY = "#FCF8D2", "#DDF0FB", "#E8F1F8", "#F2F4F6"
PALE_ORANGE, PALE_GREEN, PALE_VERMILLION, PALE_PURPLE = "#FBECCC", "#D5F0E7", "#FBE0CF", "#F6E4EE"

# verdict -> (fill, ink of the word on it)
VERDICT_COLOURS = {
    "fits": (GREEN, WHITE),
    "fits with parts": (SKY, BLACK),
    "needs machining": (ORANGE, BLACK),
    "does not fit": (VERMILLION, WHITE),
    "not known": (YELLOW, BLACK),
    "does not apply": (PALE_GREY, QUIET),
}
