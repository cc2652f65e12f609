//! One plate's mechanics: from what is stored to the wrench about the surface centre, and from
//! that to centre of pressure and free moment.
//!
//! **Source:** force-plate formulae sheet (FORMULAE 1/3, 03.02.99) for the eight-channel sums and
//! the shift by sensor depth; Winter DA (2009) *Biomechanics and Motor Control of Human Movement*,
//! 4th ed., Wiley, ch. 5, for centre of pressure and free moment.

use crate::geometry::Vec3;

/// Force and the moment about a stated point, in the plate frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wrench {
    /// Force, N.
    pub force_n: Vec3,
    /// Moment, N·m.
    pub moment_nm: Vec3,
}

impl Wrench {
    /// The same action, its moment taken about a point displaced by `offset_m` from the present
    /// one.
    ///
    /// ```text
    /// M' = M + F × o        o = from the present moment point to the new one
    /// ```
    /// **Source:** formulae sheet cited in the module; worked example P1 in the tests.
    pub fn about(self, offset_m: Vec3) -> Self {
        Self {
            force_n: self.force_n,
            moment_nm: self.moment_nm + self.force_n.cross(offset_m),
        }
    }

    /// The wrench about the surface centre of a plate whose file gives the centre of pressure
    /// (from that centre, metres) and the free moment about it.
    ///
    /// ```text
    /// Mx = cy·Fz    My = −cx·Fz    Mz = cx·Fy − cy·Fx + Tz
    /// ```
    pub fn from_cop(force_n: Vec3, cop_m: (f64, f64), free_moment_nm: f64) -> Self {
        let arm = Vec3::new(cop_m.0, cop_m.1, 0.0);
        Self {
            force_n,
            moment_nm: arm.cross(force_n) + Vec3::new(0.0, 0.0, free_moment_nm),
        }
    }

    /// The wrench about the sensor plane's centre of an eight-channel piezo plate.
    ///
    /// ```text
    /// Fx = fx12+fx34   Fy = fy14+fy23   Fz = fz1+fz2+fz3+fz4
    /// Mx = b(fz1+fz2−fz3−fz4)   My = a(−fz1+fz2+fz3−fz4)   Mz = b(−fx12+fx34)+a(fy14−fy23)
    /// ```
    /// `channels`: fx12 fx34 fy14 fy23 fz1 fz2 fz3 fz4, N; `a_m`, `b_m`: sensor half-spacing in
    /// x and y, metres, positive. **Source:** formulae sheet cited in the module; worked example
    /// P3 in the tests.
    pub fn from_eight_channels(channels: [f64; 8], a_m: f64, b_m: f64) -> Self {
        let [fx12, fx34, fy14, fy23, fz1, fz2, fz3, fz4] = channels;
        Self {
            force_n: Vec3::new(fx12 + fx34, fy14 + fy23, fz1 + fz2 + fz3 + fz4),
            moment_nm: Vec3::new(
                b_m * (fz1 + fz2 - fz3 - fz4),
                a_m * (-fz1 + fz2 + fz3 - fz4),
                b_m * (fx34 - fx12) + a_m * (fy14 - fy23),
            ),
        }
    }

    /// Centre of pressure in the surface plane, metres from the point the moment is about (which
    /// must lie in that plane): where the horizontal moments vanish.
    ///
    /// ```text
    /// cx = −My / Fz    cy = Mx / Fz
    /// ```
    /// `None` when the vertical force is zero; a load threshold is the caller's business. This is
    /// not the point where the screw axis meets the surface (Shimba 1984), which some programs
    /// print: with golf's shear the two differ by millimetres.
    pub fn cop_m(self) -> Option<(f64, f64)> {
        let fz = self.force_n.z;
        (fz != 0.0).then(|| (-self.moment_nm.y / fz, self.moment_nm.x / fz))
    }

    /// Free moment: the vertical moment about the centre of pressure, N·m.
    ///
    /// ```text
    /// Tz = Mz − cx·Fy + cy·Fx
    /// ```
    pub fn free_moment_nm(self) -> Option<f64> {
        let (cx, cy) = self.cop_m()?;
        Some(self.moment_nm.z - cx * self.force_n.y + cy * self.force_n.x)
    }
}
