"""What a fuse is worth in the air around it, by the re-rating curve of its style."""

from __future__ import annotations

from circuitcheck.errors import LibraryError
from circuitcheck.formulas import fuse_opening
from circuitcheck.model.library import FuseRow, Library


def rerated_a(library: Library, row: FuseRow, air_c: float) -> float:
    """Return what a fuse is worth in air of a temperature [A].

    Raises LibraryError outside the listed temperatures, or for a style without a curve.
    """
    points = sorted(
        (point.at, point.factor)
        for point in library.fuse_rerating
        if row.style.endswith(point.name.split(" at ")[0])
    )
    if not points or not points[0][0] <= air_c <= points[-1][0]:
        raise LibraryError(
            f"the library does not re-rate a {row.style} fuse for air of {air_c:g} degC: look for "
            "the re-rating curve in its data sheet"
        )
    temperatures, factors = zip(*points, strict=True)
    return fuse_opening.rerated_a(row.rating_a, air_c, temperatures, factors)
