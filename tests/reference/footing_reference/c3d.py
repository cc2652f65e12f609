"""Plates of a C3D file, over ezc3d's raw analog channels only.

The mechanics are ours: ezc3d 1.7.2 negates the moments of type 1 and the sensor offsets of type 3.
Source: c3d.org, FORCE_PLATFORM group; corners c1..c4 are the quadrants (+x+y), (-x+y), (-x-y), (+x-y).
"""

import ezc3d
import numpy as np

from . import mechanics
from .recording import Plate, Recording


def read(path):
    """The recording in a C3D file, lab axes as they are."""
    file = ezc3d.c3d(str(path))
    platform = {k: v["value"] for k, v in file["parameters"]["FORCE_PLATFORM"].items() if "value" in v}
    parameters = file["parameters"]
    rate = float(parameters["ANALOG"]["RATE"]["value"][0])
    units = parameters["POINT"].get("UNITS", {"value": ["mm"]})["value"]
    m_per = 1.0 if units and units[0].strip() == "m" else 0.001
    analogs = file["data"]["analogs"][0]
    plates = []
    for i in range(int(platform["USED"][0])):
        kind = int(platform["TYPE"][i])
        count = 8 if kind == 3 else 6
        channel = np.asarray(platform["CHANNEL"])[:count, i].astype(int) - 1
        raw = analogs[channel].T.astype(float)
        corners = np.asarray(platform["CORNERS"], float)[:, :, i].T * m_per
        origin = np.asarray(platform["ORIGIN"], float)[:, i] * m_per
        axes, centre = pose(corners)
        if kind == 1:
            force = raw[:, :3]
            moment = mechanics.wrench_from_cop(force, raw[:, 3:5] * m_per, raw[:, 5] * m_per)
        elif kind in (2, 4):
            if kind == 4:
                calibration = np.asarray(platform["CAL_MATRIX"], float)[:, :, i]
                raw = raw @ calibration.T
            force = raw[:, :3]
            # the surface's centre seen from the moment point lies below it in z-down axes
            to_centre = -origin if origin[2] > 0 else origin
            moment = mechanics.moment_about(force, raw[:, 3:6] * m_per, to_centre)
        elif kind == 3:
            a, b, depth = np.abs(origin[0]), np.abs(origin[1]), -np.abs(origin[2])
            force, moment = mechanics.eight_channels(raw, a, b)
            moment = mechanics.moment_about(force, moment, [0.0, 0.0, depth])
        else:
            raise ValueError(f"type {kind} is not read here")
        plates.append(Plate(axes, centre, force, moment, None, True, corners))
    samples = analogs.shape[1]
    first = float(file["header"]["points"]["first_frame"])
    point_rate = float(parameters["POINT"]["RATE"]["value"][0])
    start = first / point_rate if point_rate > 0 else 0.0
    return Recording(start + np.arange(samples) / rate, rate, plates)


def pose(corners):
    """Axes (as columns) and centre of a plate from its corners."""
    x = corners[0] - corners[1]
    x = x / np.linalg.norm(x)
    z = np.cross(x, corners[0] - corners[3])
    z = z / np.linalg.norm(z)
    return np.stack([x, np.cross(z, x), z], axis=1), corners.mean(axis=0)
