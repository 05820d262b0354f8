"""Every function that looks for a defect."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from model.review.defects.ground import no_path_to_ground
from model.review.finding import Finding
from model.review.review_scene import ReviewScene

Defect = Callable[[ReviewScene], Iterator[Finding]]

DEFECTS: tuple[Defect, ...] = (no_path_to_ground,)
