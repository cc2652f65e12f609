"""What plates measured, in SI units: force and moment about the surface centre, plate frame."""

from dataclasses import dataclass, field

import numpy as np


@dataclass
class Plate:
    """One plate. `axes` holds the plate's x, y, z in the lab as columns; `centre` its surface centre."""

    axes: np.ndarray
    centre: np.ndarray
    force: np.ndarray
    moment: np.ndarray
    foot: str | None = None
    shear: bool = True
    corners: np.ndarray | None = None

    def in_lab(self):
        """Force and moment about the lab origin, (n, 3) each."""
        force = self.force @ self.axes.T
        moment = self.moment @ self.axes.T + np.cross(self.centre, force)
        return force, moment


@dataclass
class Recording:
    """All plates over one clock."""

    t: np.ndarray
    rate: float
    plates: list[Plate]
    target_azimuth_deg: float | None = None
    force_sense: str = "auto"
    marks: list[tuple[str, float]] = field(default_factory=list)

    def turned_to_player(self):
        """The same with every wrench that of the ground on the player.

        A foot cannot pull on a plate: with sense `auto` a loaded plate must push up. Each plate is
        turned over as a whole, force and moment.
        """
        plates = []
        for plate in self.plates:
            sign = {"on-player": 1.0, "on-plate": -1.0}.get(self.force_sense)
            if sign is None:
                fz = plate.in_lab()[0][:, 2]
                sign = 1.0 if fz[np.argmax(np.abs(fz))] > 0 else -1.0
            plates.append(
                Plate(
                    plate.axes,
                    plate.centre,
                    sign * plate.force,
                    sign * plate.moment,
                    plate.foot,
                    plate.shear,
                    plate.corners,
                )
            )
        return Recording(
            self.t, self.rate, plates, self.target_azimuth_deg, "on-player", self.marks
        )
