//! Where a plate lies: its axes from its corners, and which way is up in the lab.

use footing_core::geometry::{Pose, Rotation, Vec3};

/// A plate's surface in the file's own lab axes, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Surface {
    pub(super) pose: Pose,
    /// Corners in file order.
    pub(super) corners_m: [Vec3; 4],
    /// The corners had to be read in another order than the format's.
    pub(super) reordered: bool,
}

impl Surface {
    /// ```text
    /// x = c1 − c2    z = x × (c1 − c4)    y = z × x    centre = mean of the corners
    /// ```
    /// Re-orthogonalised, which also makes it right for corners listed in bow-tie order (3 and 4
    /// exchanged). When it is c1–c2 that is a diagonal, y comes from c1 − c4 instead.
    /// `None` when the corners do not span a surface.
    ///
    /// **Source:** c3d.org user guide, FORCE_PLATFORM:CORNERS: corners 1–4 lie in the quadrants
    /// (+x+y), (−x+y), (−x−y), (+x−y).
    pub(super) fn new(corners_m: [Vec3; 4]) -> Option<Self> {
        let [c1, c2, c3, c4] = corners_m;
        let (along_x, along_y) = (c1 - c2, c1 - c4);
        let across = along_x.cross(along_y);
        if across.length() < 1e-4 {
            return None;
        }
        let z = across.direction()?;
        let diagonal = along_x.length() > 1.02 * along_y.length().max((c1 - c3).length())
            && (c1 - c3).dot(along_y).abs() < 0.2 * (c1 - c3).length() * along_y.length();
        let (x, y) = if diagonal {
            let y = along_y.direction()?;
            (y.cross(z), y)
        } else {
            let x = along_x.direction()?;
            (x, z.cross(x))
        };
        let pose = Pose {
            rotation: Rotation { x, y, z },
            centre_m: (c1 + c2 + c3 + c4) * 0.25,
        };
        let finite = pose.centre_m.is_finite() && z.is_finite();
        finite.then_some(Self {
            pose,
            corners_m,
            reordered: diagonal,
        })
    }

    /// Half extents along the plate's own x and y, metres.
    pub(super) fn half_size_m(&self) -> (f64, f64) {
        let Rotation { x, y, .. } = self.pose.rotation;
        let reach = |axis: Vec3| {
            let along = |&c: &Vec3| (c - self.pose.centre_m).dot(axis).abs();
            self.corners_m.iter().map(along).fold(0.0, f64::max)
        };
        (reach(x), reach(y))
    }

    /// The corners in the order of quadrants; `None` when two share one.
    pub(super) fn corners_by_quadrant_m(&self) -> Option<[Vec3; 4]> {
        let Rotation { x, y, .. } = self.pose.rotation;
        let find = |right: bool, front: bool| {
            self.corners_m.iter().copied().find(|&c| {
                let from_centre = c - self.pose.centre_m;
                (from_centre.dot(x) > 0.0) == right && (from_centre.dot(y) > 0.0) == front
            })
        };
        Some([
            find(true, true)?,
            find(false, true)?,
            find(false, false)?,
            find(true, false)?,
        ])
    }
}

/// A level plate at the lab's origin, for one whose file does not say where it lies.
pub(super) fn unknown_pose() -> Pose {
    Pose {
        rotation: Rotation::IDENTITY,
        centre_m: Vec3::default(),
    }
}

/// The lab axis that points up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Up {
    X,
    Y,
    Z,
}

impl Up {
    /// The axis most plates' normals are nearest to; load settles a draw, then z before y before
    /// x. A lab's up axis is taken to point up.
    pub(super) fn from_normals(normals: &[(Vec3, f64)]) -> Self {
        let mut votes = [
            (0_u32, 0.0_f64, Self::X),
            (0, 0.0, Self::Y),
            (0, 0.0, Self::Z),
        ];
        for &(normal, load) in normals {
            let nearest = Self::nearest(normal);
            for vote in votes.iter_mut().filter(|v| v.2 == nearest) {
                vote.0 += 1;
                vote.1 += load;
            }
        }
        votes
            .into_iter()
            .max_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)))
            .map_or(Self::Z, |v| v.2)
    }

    fn nearest(normal: Vec3) -> Self {
        let (x, y, z) = (normal.x.abs(), normal.y.abs(), normal.z.abs());
        if z >= x && z >= y {
            Self::Z
        } else if y >= x {
            Self::Y
        } else {
            Self::X
        }
    }

    pub(super) fn name(self) -> &'static str {
        match self {
            Self::X => "x",
            Self::Y => "y",
            Self::Z => "z",
        }
    }

    /// The file's lab axes turned, without mirroring, so that z is up.
    pub(super) fn turn(self, v: Vec3) -> Vec3 {
        match self {
            Self::X => Vec3::new(v.y, v.z, v.x),
            Self::Y => Vec3::new(v.x, -v.z, v.y),
            Self::Z => v,
        }
    }

    /// A pose seen from the turned lab.
    pub(super) fn turn_pose(self, pose: Pose) -> Pose {
        Pose {
            rotation: Rotation {
                x: self.turn(pose.rotation.x),
                y: self.turn(pose.rotation.y),
                z: self.turn(pose.rotation.z),
            },
            centre_m: self.turn(pose.centre_m),
        }
    }
}

/// Metres in one POINT:UNITS. The label decides unless it is missing or would make the plates
/// smaller than a hand or larger than a room; then the plates' size does. Returns the factor and
/// whether the label had to be set aside.
pub(super) fn metres_per_unit(label: &str, longest_edge: f64) -> (f64, bool) {
    let lower = label.to_lowercase();
    let labelled = if lower == "mm" || lower.starts_with("milli") {
        Some(0.001)
    } else if lower == "cm" || lower.starts_with("centi") {
        Some(0.01)
    } else if lower == "m" || lower.starts_with("mete") || lower.starts_with("metr") {
        Some(1.0)
    } else if lower == "in" || lower.starts_with("inch") {
        Some(0.0254)
    } else if lower == "ft" || lower.starts_with("feet") || lower.starts_with("foot") {
        Some(0.3048)
    } else {
        None
    };
    let believable = |factor: f64| (0.1..=6.0).contains(&(longest_edge * factor));
    match labelled {
        Some(factor) if believable(factor) || longest_edge <= 0.0 => (factor, false),
        _ => match [0.001, 1.0, 0.01].into_iter().find(|&f| believable(f)) {
            Some(factor) => (factor, labelled.is_some_and(|l| l != factor)),
            None => (labelled.unwrap_or(0.001), false),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_by_label_or_size() {
        assert_eq!(metres_per_unit("mm", 600.0), (0.001, false));
        assert_eq!(metres_per_unit("", 600.0), (0.001, false));
        assert_eq!(metres_per_unit("mete", 0.6), (1.0, false));
        assert_eq!(metres_per_unit("m", 600.0), (0.001, true));
        assert_eq!(metres_per_unit("mm", 0.0), (0.001, false));
    }

    #[test]
    fn up_is_where_most_plates_look() {
        let (z, y) = (Vec3::new(0.0, 0.0, -1.0), Vec3::new(0.0, 1.0, 0.1));
        assert_eq!(Up::from_normals(&[(z, 0.0), (z, 0.0), (y, 9.0)]), Up::Z);
        assert_eq!(Up::from_normals(&[(z, 0.0), (y, 9.0)]), Up::Y);
        assert_eq!(Up::from_normals(&[(z, 0.0), (y, 0.0)]), Up::Z);
    }
}
