"""A rig file and the table it wires (`footing-rig/1`)."""

import csv
import io
import json

import numpy as np

from . import mechanics
from .recording import Plate, Recording

FORCE = {"N": 1.0, "kN": 1000.0, "lbf": 4.4482216152605, "kgf": 9.80665}
LENGTH = {"m": 1.0, "cm": 0.01, "mm": 0.001, "in": 0.0254}
MOMENT = {"N.m": 1.0, "N.mm": 0.001, "lbf.ft": 4.4482216152605 * 0.3048}
TIME = {"s": 1.0, "ms": 0.001}


def read(path, rig_path):
    """The recording in a table, wired by a rig."""
    rig = json.loads(rig_path.read_text(encoding="utf-8"))
    assert rig["format"] == "footing-rig/1"
    named = columns(path, wanted_columns(rig))
    units = rig.get("units", {})
    n_per = FORCE[units.get("force", "N")]
    nm_per = MOMENT[units.get("moment", "N.m")]
    m_per = LENGTH[units.get("length", "m")]
    s_per = TIME[units.get("time", "s")]
    plates = [plate(p, named, n_per, nm_per, m_per) for p in rig["plates"]]
    samples = len(plates[0].force)
    if "column" in rig["time"]:
        t = named[rig["time"]["column"]] * s_per
        rate = 1.0 / float(np.median(np.diff(t)))
    else:
        rate = float(rig["time"]["rate_hz"])
        t = np.arange(samples) / rate
    return Recording(
        t, rate, plates, rig.get("target_azimuth_deg"), rig.get("force_sense", "auto")
    )


def wanted_columns(rig):
    wanted = [name for p in rig["plates"] for name in p["columns"].values()]
    if "column" in rig["time"]:
        wanted.append(rig["time"]["column"])
    return wanted


def columns(path, wanted):
    """The wanted columns by header text or by number (`#7`, from 1)."""
    text = path.read_text(encoding="utf-8-sig")
    first = next(line for line in text.splitlines() if line.strip())
    delimiter = max(";\t,", key=first.count)
    if first.count(delimiter) == 0:
        rows = [line.split() for line in text.splitlines()]
    else:
        rows = [
            [cell.strip() for cell in row]
            for row in csv.reader(io.StringIO(text), delimiter=delimiter)
        ]
    decimal_comma = delimiter == ";"
    by_name = [w for w in wanted if not w.startswith("#")]
    header, start = [], 0
    if by_name:
        start, header = next(
            (i, row) for i, row in enumerate(rows) if all(name in row for name in by_name)
        )
        start += 1

    def number(cell):
        return float(cell.replace(",", ".") if decimal_comma else cell)

    def is_data(row):
        try:
            number(row[0])
            number(row[-1])
        except (ValueError, IndexError):
            return False
        return True

    data = [row for row in rows[start:] if is_data(row)]
    place = {
        name: int(name[1:]) - 1 if name.startswith("#") else header.index(name) for name in wanted
    }
    return {name: np.array([number(row[i]) for row in data]) for name, i in place.items()}


def plate(spec, named, n_per, nm_per, m_per):
    column = {key: named[name] for key, name in spec["columns"].items()}
    azimuth = np.radians(spec.get("x_azimuth_deg", 0.0))
    x = np.array([np.cos(azimuth), np.sin(azimuth), 0.0])
    z = np.array([0.0, 0.0, 1.0 if spec.get("z_axis", "up") == "up" else -1.0])
    axes = np.stack([x, np.cross(z, x), z], axis=1)
    centre = np.asarray(spec.get("centre_m", [0.0, 0.0, 0.0]), float)
    moment_point = np.asarray(spec.get("moment_point_m", [0.0, 0.0, 0.0]), float)

    def stack(*keys):
        return np.stack([column[k] for k in keys], axis=-1)

    kind, shear = spec["kind"], True
    if kind == "six-component":
        force = stack("fx", "fy", "fz") * n_per
        moment = mechanics.moment_about(force, stack("mx", "my", "mz") * nm_per, -moment_point)
    elif kind == "force-cop":
        force = stack("fx", "fy", "fz") * n_per
        cop = stack("cop_x", "cop_y") * m_per
        moment = mechanics.wrench_from_cop(force, cop, column["tz"] * nm_per)
    elif kind == "eight-channel":
        channels = stack("fx12", "fx34", "fy14", "fy23", "fz1", "fz2", "fz3", "fz4") * n_per
        force, moment = mechanics.eight_channels(channels, *spec["sensor_offset_m"])
        moment = mechanics.moment_about(force, moment, -moment_point)
    elif kind == "vertical-cop":
        fz = column["fz"] * n_per
        force = np.stack([np.zeros_like(fz), np.zeros_like(fz), fz], axis=-1)
        moment = mechanics.wrench_from_cop(force, stack("cop_x", "cop_y") * m_per, 0.0)
        shear = False
    else:
        raise ValueError(f"no such kind of plate: {kind}")
    return Plate(axes, centre, force, moment, spec.get("foot"), shear)
