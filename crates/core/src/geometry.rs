//! Vectors, rotations and poses in three dimensions: only what plates need.

use std::ops::{Add, Mul, Neg, Sub};

/// A vector or point; which space and unit it lives in is said by the name that holds it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Vec3 {
    /// First component.
    pub x: f64,
    /// Second component.
    pub y: f64,
    /// Third component.
    pub z: f64,
}

impl Vec3 {
    /// Builds a vector from its components.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// Scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// Vector product, right-handed.
    pub fn cross(self, other: Self) -> Self {
        Self::new(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }

    /// Euclidean length.
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The vector of length one in the same direction; `None` when the length is zero or not finite.
    pub fn direction(self) -> Option<Self> {
        let length = self.length();
        (length > 0.0 && length.is_finite()).then(|| self * (1.0 / length))
    }

    /// Whether every component is a finite number.
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite() && self.z.is_finite()
    }
}

impl Add for Vec3 {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y, self.z + other.z)
    }
}

impl Sub for Vec3 {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y, self.z - other.z)
    }
}

impl Neg for Vec3 {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y, -self.z)
    }
}

impl Mul<f64> for Vec3 {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self::new(self.x * k, self.y * k, self.z * k)
    }
}

/// A proper rotation, held as the images of the three axes (the columns of its matrix).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rotation {
    /// Where +x goes.
    pub x: Vec3,
    /// Where +y goes.
    pub y: Vec3,
    /// Where +z goes.
    pub z: Vec3,
}

impl Rotation {
    /// The rotation that changes nothing.
    pub const IDENTITY: Self = Self {
        x: Vec3::new(1.0, 0.0, 0.0),
        y: Vec3::new(0.0, 1.0, 0.0),
        z: Vec3::new(0.0, 0.0, 1.0),
    };

    /// A level plate whose +x points `azimuth_rad` counter-clockwise from lab +x (seen from
    /// above) and whose +z is up or down; right-handed, so y = z × x.
    pub fn level(azimuth_rad: f64, z_up: bool) -> Self {
        let x = Vec3::new(libm::cos(azimuth_rad), libm::sin(azimuth_rad), 0.0);
        let z = Vec3::new(0.0, 0.0, if z_up { 1.0 } else { -1.0 });
        Self {
            x,
            y: z.cross(x),
            z,
        }
    }

    /// The image of a vector.
    pub fn apply(self, v: Vec3) -> Vec3 {
        self.x * v.x + self.y * v.y + self.z * v.z
    }
}

/// Where a plate is: its axes and its surface centre, seen from the lab.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Plate axes in the lab.
    pub rotation: Rotation,
    /// Centre of the plate's top surface in the lab, metres.
    pub centre_m: Vec3,
}

impl Pose {
    /// A point given in the plate frame, in the lab frame.
    pub fn point(self, point_in_plate: Vec3) -> Vec3 {
        self.centre_m + self.rotation.apply(point_in_plate)
    }
}
