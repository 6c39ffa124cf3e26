"""One new element a page: plans, the order of their pages, composed lines, pages of long rests and reviews."""
