//! One plate of a rig file.

use super::{HINT, WireColumn, short};
use crate::rig::{Placement, RigPlate, Wiring, channel_names};
use footing_core::geometry::Vec3;
use footing_core::recording::{FootRole, PlateKind};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Anything further than this from the lab's origin is a unit mistake.
const MAX_DISTANCE_M: f64 = 1000.0;

#[derive(Serialize, Deserialize, Clone, Copy)]
#[serde(rename_all = "kebab-case")]
enum WireKind {
    SixComponent,
    ForceCop,
    EightChannel,
    VerticalCop,
}

#[derive(Serialize, Deserialize, Clone, Copy)]
#[serde(rename_all = "kebab-case")]
enum WireFoot {
    Lead,
    Trail,
    Both,
}

#[derive(Serialize, Deserialize, Clone, Copy, PartialEq)]
#[serde(rename_all = "kebab-case")]
enum WireZAxis {
    Up,
    Down,
}

#[derive(Serialize, Deserialize, Clone)]
#[serde(deny_unknown_fields)]
struct WirePlateKeys {
    #[serde(skip_serializing_if = "Option::is_none")]
    foot: Option<WireFoot>,
    #[serde(skip_serializing_if = "Option::is_none")]
    c3d_plate: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    kind: Option<WireKind>,
    #[serde(skip_serializing_if = "Option::is_none")]
    columns: Option<BTreeMap<String, WireColumn>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sensor_offset_m: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    x_azimuth_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    z_axis: Option<WireZAxis>,
    #[serde(skip_serializing_if = "Option::is_none")]
    centre_m: Option<[f64; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    moment_point_m: Option<[f64; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    size_m: Option<[f64; 2]>,
}

/// A checked plate and the keys it left out.
#[derive(Serialize, Deserialize, Clone)]
#[serde(try_from = "WirePlateKeys", into = "WirePlateKeys")]
pub(super) struct WirePlate {
    pub(super) plate: RigPlate,
    pub(super) assumed: Vec<&'static str>,
}

impl TryFrom<WirePlateKeys> for WirePlate {
    type Error = String;
    fn try_from(mut keys: WirePlateKeys) -> Result<Self, String> {
        let foot = match keys.foot {
            Some(WireFoot::Lead) => FootRole::Lead,
            Some(WireFoot::Trail) => FootRole::Trail,
            Some(WireFoot::Both) => FootRole::Both,
            None => FootRole::Unassigned,
        };
        let wiring = wiring(&mut keys)?;
        let (placement, assumed) = placement(&keys, &wiring)?;
        Ok(Self {
            plate: RigPlate {
                foot,
                wiring,
                placement,
            },
            assumed,
        })
    }
}

fn wiring(keys: &mut WirePlateKeys) -> Result<Wiring, String> {
    let columns = keys.columns.take();
    if let Some(number) = keys.c3d_plate {
        if columns.is_some() || keys.sensor_offset_m.is_some() {
            return Err(format!(
                "a plate has both \"c3d_plate\" and columns; expected one of them; try {HINT}"
            ));
        }
        if number == 0 {
            return Err(format!(
                "c3d_plate is 0; expected the plate's number, from 1; try {HINT}"
            ));
        }
        return Ok(Wiring::C3dPlate(number));
    }
    let kind = match keys.kind {
        Some(WireKind::SixComponent) => PlateKind::SixComponent,
        Some(WireKind::ForceCop) => PlateKind::ForceCop,
        Some(WireKind::EightChannel) => PlateKind::EightChannel,
        Some(WireKind::VerticalCop) => PlateKind::VerticalCop,
        None => {
            return Err(format!(
                "a plate has neither \"kind\" nor \"c3d_plate\"; expected one of them; try {HINT}"
            ));
        }
    };
    let names = channel_names(kind);
    let mut columns = columns.unwrap_or_default();
    let mut wired = Vec::with_capacity(names.len());
    // Exports of force and centre of pressure often leave the free moment out.
    let lacks_tz = kind == PlateKind::ForceCop && !columns.contains_key("tz");
    let names = names
        .get(..names.len() - usize::from(lacks_tz))
        .unwrap_or(names);
    for channel in names {
        let column = columns.remove(*channel).ok_or_else(|| {
            format!(
                "the {} plate's columns lack \"{channel}\"; expected {}; try {HINT}",
                kind.name(),
                names.join(" ")
            )
        })?;
        wired.push(column.0);
    }
    if let Some(unknown) = columns.keys().next() {
        return Err(format!(
            "the {} plate's columns have an unknown channel \"{}\"; expected {}; try {HINT}",
            kind.name(),
            short(unknown),
            names.join(" ")
        ));
    }
    let offset = keys.sensor_offset_m;
    if offset.is_some() != (kind == PlateKind::EightChannel) {
        return Err(format!(
            "the {} plate {} \"sensor_offset_m\"; expected it for eight-channel plates and no \
             other; try {HINT}",
            kind.name(),
            if offset.is_some() { "has" } else { "lacks" },
        ));
    }
    let miscounted = |_| {
        format!(
            "the plate's columns are miscounted; expected {}; try {HINT}",
            names.len()
        )
    };
    Ok(match kind {
        PlateKind::SixComponent => Wiring::SixComponent(wired.try_into().map_err(miscounted)?),
        PlateKind::ForceCop if lacks_tz => {
            Wiring::ForceCopOnly(wired.try_into().map_err(miscounted)?)
        }
        PlateKind::ForceCop => Wiring::ForceCop(wired.try_into().map_err(miscounted)?),
        PlateKind::VerticalCop => Wiring::VerticalCop(wired.try_into().map_err(miscounted)?),
        PlateKind::EightChannel => {
            let sensor_offset_m = offset.unwrap_or_default();
            if !sensor_offset_m.iter().all(|m| *m > 0.0 && *m <= 10.0) {
                return Err(format!(
                    "sensor_offset_m is [{}, {}]; expected two positive half-spacings in metres; \
                     try {HINT}",
                    sensor_offset_m[0], sensor_offset_m[1]
                ));
            }
            Wiring::EightChannel {
                columns: wired.try_into().map_err(miscounted)?,
                sensor_offset_m,
            }
        }
    })
}

fn placement(
    keys: &WirePlateKeys,
    wiring: &Wiring,
) -> Result<(Option<Placement>, Vec<&'static str>), String> {
    let says_nothing = keys.x_azimuth_deg.is_none()
        && keys.z_axis.is_none()
        && keys.centre_m.is_none()
        && keys.moment_point_m.is_none()
        && keys.size_m.is_none();
    if says_nothing && matches!(wiring, Wiring::C3dPlate(_)) {
        return Ok((None, Vec::new()));
    }
    let centre_m = keys.centre_m.ok_or_else(|| {
        format!(
            "a plate lacks \"centre_m\"; expected the lab position [x, y, z] of its surface \
             centre in metres; try {HINT}"
        )
    })?;
    let moment_point_m = keys.moment_point_m.unwrap_or_default();
    let too_far = |point: &[f64; 3]| point.iter().any(|m| m.abs() > MAX_DISTANCE_M);
    if too_far(&centre_m) || too_far(&moment_point_m) {
        return Err(format!(
            "a plate's centre_m or moment_point_m is over a kilometre long; expected metres; try \
             {HINT}"
        ));
    }
    if let Some(size) = keys.size_m
        && !size.iter().all(|m| *m > 0.0 && *m <= MAX_DISTANCE_M)
    {
        return Err(format!(
            "size_m is [{}, {}]; expected two positive lengths in metres; try {HINT}",
            size[0], size[1]
        ));
    }
    let mut assumed = Vec::new();
    if keys.x_azimuth_deg.is_none() {
        assumed.push("x_azimuth_deg 0");
    }
    if keys.z_axis.is_none() {
        assumed.push("z_axis up");
    }
    let has_moments = matches!(
        wiring,
        Wiring::SixComponent(_) | Wiring::EightChannel { .. }
    );
    if keys.moment_point_m.is_none() && has_moments {
        assumed.push("moment_point_m [0, 0, 0] (moments about the surface centre)");
    }
    let vector = |[x, y, z]: [f64; 3]| Vec3::new(x, y, z);
    Ok((
        Some(Placement {
            x_azimuth_deg: keys.x_azimuth_deg.unwrap_or(0.0),
            z_up: keys.z_axis != Some(WireZAxis::Down),
            centre_m: vector(centre_m),
            moment_point_m: vector(moment_point_m),
            size_m: keys.size_m,
        }),
        assumed,
    ))
}

impl From<WirePlate> for WirePlateKeys {
    fn from(wire: WirePlate) -> Self {
        let plate = wire.plate;
        let array = |v: Vec3| [v.x, v.y, v.z];
        let kind = plate.wiring.kind();
        let place = plate.placement.as_ref();
        Self {
            foot: match plate.foot {
                FootRole::Lead => Some(WireFoot::Lead),
                FootRole::Trail => Some(WireFoot::Trail),
                FootRole::Both => Some(WireFoot::Both),
                FootRole::Unassigned => None,
            },
            c3d_plate: match plate.wiring {
                Wiring::C3dPlate(number) => Some(number),
                _ => None,
            },
            kind: kind.map(|kind| match kind {
                PlateKind::SixComponent => WireKind::SixComponent,
                PlateKind::ForceCop => WireKind::ForceCop,
                PlateKind::EightChannel => WireKind::EightChannel,
                PlateKind::VerticalCop => WireKind::VerticalCop,
            }),
            columns: kind.map(|kind| {
                channel_names(kind)
                    .iter()
                    .zip(plate.wiring.columns())
                    .map(|(channel, column)| ((*channel).to_owned(), WireColumn(column.clone())))
                    .collect()
            }),
            sensor_offset_m: match plate.wiring {
                Wiring::EightChannel {
                    sensor_offset_m, ..
                } => Some(sensor_offset_m),
                _ => None,
            },
            x_azimuth_deg: place.map(|p| p.x_azimuth_deg),
            z_axis: place.map(|p| {
                if p.z_up {
                    WireZAxis::Up
                } else {
                    WireZAxis::Down
                }
            }),
            centre_m: place.map(|p| array(p.centre_m)),
            moment_point_m: place.map(|p| array(p.moment_point_m)),
            size_m: place.and_then(|p| p.size_m),
        }
    }
}
