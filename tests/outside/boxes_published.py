"""Boxes that several checks hold results against, with their sources.

Toussaint 2005: G. T. Toussaint, "The Euclidean Algorithm Generates Traditional Musical Rhythms", Bridges. Demaine et
al. 2009: E. D. Demaine, F. Gomez-Martin, H. Meijer, D. Rappaport, P. Taslakian, G. T. Toussaint, T. Winograd and D. R.
Wood, "The distance geometry of music", Computational Geometry 42.
"""

# Toussaint 2005; the last three are worked out in the text or stand in the list of Demaine et al. 2009.
EUCLIDEAN = {
    (2, 5): "x.x..",
    (3, 7): "x.x.x..",
    (4, 9): "x.x.x.x..",
    (5, 11): "x.x.x.x.x..",
    (5, 16): "x..x..x..x..x...",
    (2, 3): "x.x",
    (3, 4): "x.xx",
    (3, 5): "x.x.x",
    (3, 8): "x..x..x.",
    (4, 7): "x.x.x.x",
    (4, 11): "x..x..x..x.",
    (5, 6): "x.xxxx",
    (5, 7): "x.xx.xx",
    (5, 9): "x.x.x.x.x",
    (5, 12): "x..x.x..x.x.",
    (7, 8): "x.xxxxxx",
    (7, 16): "x..x.x.x..x.x.x.",
    (11, 24): "x..x.x.x.x.x..x.x.x.x.x.",
    (5, 8): "x.xx.xx.",
    (7, 12): "x.xx.x.xx.x.",
    (9, 16): "x.xx.x.x.xx.x.x.",
    (13, 24): "x.xx.x.x.x.x.xx.x.x.x.x.",
    (5, 13): "x..x.x..x.x..",
    (4, 12): "x..x..x..x..",
    (7, 9): "x.xxx.xxx",
}
