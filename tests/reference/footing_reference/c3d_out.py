"""C3D files of the invented swing, written with ezc3d.

Traps of ezc3d 1.7.2 kept clear of: reading it back is done on raw channels only, and TYPE, CHANNEL,
CORNERS, ORIGIN and CAL_MATRIX are given in full, first index fastest.
"""

import ezc3d
import numpy as np

from . import mechanics
from .invented import eight_channels_for, to_lab

# What a made-up type 4 plate's amplifiers do: measured = inverse(CAL) . corrected.
CALIBRATION = np.diag([500.0, 480.0, 1000.0, 800.0, 400.0, 410.0]) + np.array(
    [
        [0, 2, -1, 0, 0.5, 0],
        [1, 0, 3, 0.2, 0, 0],
        [-2, 1, 0, 0, 0, 0.1],
        [0.4, 0, 0, 0, 1, 0],
        [0, 0.3, 0, -2, 0, 1],
        [0, 0, 0.2, 0, 1, 0],
    ]
)


def write(path, truth, mounts, kind, *, handed="right", azimuth_deg=0.0, origin=(0.0, 0.0), millimetres=True, sign=1.0, origin_up=False):
    """One file with the mounts' plates of one type; `sign` -1 stores the force on the plate.

    origin_up: ORIGIN as half the files have it, from the surface to the sensor.
    """
    file = ezc3d.c3d()
    per_m = 1000.0 if millimetres else 1.0
    unit = "mm" if millimetres else "m"
    file["parameters"]["POINT"]["RATE"]["value"] = [truth.rate / 10]
    file["parameters"]["POINT"]["UNITS"]["value"] = [unit]
    file["parameters"]["POINT"]["LABELS"]["value"] = ["MARK"]
    file["parameters"]["ANALOG"]["RATE"]["value"] = [truth.rate]
    file["data"]["points"] = np.ones((4, 1, len(truth.t) // 10))
    per_plate = 8 if kind == 3 else 6
    channels, corners, origins, calibrations = [], [], [], []
    for foot, mount in mounts.items():
        force, cop, couple, moment = mount.wrench(*to_lab(truth, foot, handed, azimuth_deg, origin))
        sensor = np.array(mount.moment_point)
        at_sensor = mechanics.moment_about(force, moment, sensor)
        to_surface = -sensor
        if kind == 1:
            raw = np.stack([*force.T, *(cop * per_m).T, couple * per_m], axis=1)
            raw[:, [0, 1, 2, 5]] *= sign
        elif kind == 3:
            named = eight_channels_for(force, at_sensor, *mount.sensor_offset)
            raw = sign * np.stack(list(named.values()), axis=1)
            to_surface = np.array([*mount.sensor_offset, to_surface[2]])
        else:
            raw = sign * np.concatenate([force, at_sensor * per_m], axis=1)
            if kind == 4:
                raw = raw @ np.linalg.inv(CALIBRATION).T
        channels.append(raw)
        corners.append(mount.corners().T * per_m)
        if origin_up:
            to_surface = to_surface * ([1, 1, -1] if kind == 3 else [-1, -1, -1])
        origins.append(to_surface * per_m)
        calibrations.append(CALIBRATION)
    analog = np.concatenate(channels, axis=1).T
    file["parameters"]["ANALOG"]["LABELS"]["value"] = [f"A{i}" for i in range(1, len(analog) + 1)]
    file["data"]["analogs"] = analog[np.newaxis]
    count = len(mounts)
    file.add_parameter("FORCE_PLATFORM", "USED", [count])
    file.add_parameter("FORCE_PLATFORM", "TYPE", [kind] * count)
    file.add_parameter("FORCE_PLATFORM", "ZERO", [0, 0])
    numbers = np.arange(1, count * per_plate + 1).reshape(count, per_plate).T.astype(float)
    file.add_parameter("FORCE_PLATFORM", "CHANNEL", numbers)
    file.add_parameter("FORCE_PLATFORM", "CORNERS", np.stack(corners, axis=2))
    file.add_parameter("FORCE_PLATFORM", "ORIGIN", np.stack(origins, axis=1))
    if kind == 4:
        file.add_parameter("FORCE_PLATFORM", "CAL_MATRIX", np.stack(calibrations, axis=2))
    file.write(str(path))
