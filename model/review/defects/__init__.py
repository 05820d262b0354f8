"""One function for each kind of defect: it takes the scene of a review and gives what it finds."""
