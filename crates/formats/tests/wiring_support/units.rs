//! Units said, unsaid, mislabelled, and such as no rig holds.

use super::names::plain;
use super::variants::six;
use super::{Sheet, bay};
use footing_core::recording::PlateKind::ForceCop;
use footing_formats::rig::{ForceUnit, LengthUnit, MomentUnit, TimeUnit};
use footing_simulate::Swing;

use LengthUnit::{Centimetre, Metre, Millimetre};
use MomentUnit::{
    KilonewtonMetre, NewtonCentimetre, NewtonMetre, NewtonMillimetre, PoundForceFoot,
    PoundForceInch,
};
use TimeUnit::{Millisecond, Second};

pub fn units() -> Vec<Sheet> {
    use ForceUnit::{KilogramForce, Kilonewton, Newton, PoundForce};
    let row = |sheet: &mut Sheet| sheet.unit_row = true;
    let base = |name: &str| six(name, plain);
    let cops = |name: &str| Sheet::new(name, bay(ForceCop), plain);
    vec![
        base("units in a row, N mm")
            .in_units(Newton, NewtonMillimetre, Millimetre, Second)
            .change(row),
        base("units unsaid, N mm").in_units(Newton, NewtonMillimetre, Millimetre, Second),
        cops("units unsaid, mm").in_units(Newton, NewtonMillimetre, Millimetre, Second),
        cops("units unsaid, cm").in_units(Newton, NewtonMetre, Centimetre, Second),
        base("units unsaid, kN").in_units(Kilonewton, NewtonMetre, Metre, Second),
        base("units in a row, pounds")
            .in_units(PoundForce, PoundForceFoot, Metre, Second)
            .change(row),
        base("units unsaid, pounds").in_units(PoundForce, PoundForceFoot, Metre, Second),
        base("units in brackets, kgf")
            .in_units(KilogramForce, NewtonMetre, Metre, Second)
            .units_behind(" [%]"),
        base("units unsaid, kgf").in_units(KilogramForce, NewtonMetre, Metre, Second),
        base("units in round brackets").units_behind(" (%)"),
        base("units behind a stroke").units_behind(" / %"),
        cops("units behind a low line").units_behind("_%"),
        base("units in a row, moments mislabelled")
            .in_units(Newton, NewtonMillimetre, Millimetre, Second)
            .call("N.mm", "Nm")
            .change(row),
        base("units in a row, forces mislabelled")
            .in_units(KilogramForce, NewtonMetre, Metre, Second)
            .call("kgf", "N")
            .change(row),
        base("units in a row, volts").call("N", "V").change(row),
        base("units in brackets, N cm")
            .in_units(Newton, NewtonCentimetre, Metre, Second)
            .units_behind(" [%]"),
        base("units in brackets, Ncm in one word")
            .in_units(Newton, NewtonCentimetre, Metre, Second)
            .call("N.cm", "Ncm")
            .units_behind(" (%)"),
        base("units in a row, N cm")
            .in_units(Newton, NewtonCentimetre, Metre, Second)
            .change(row),
        base("units in brackets, N m with a raised point")
            .call("N m", "N·m")
            .units_behind(" [%]"),
        base("units in words, in round brackets")
            .call("N", "Newton")
            .call("N m", "Newton metre")
            .units_behind(" (%)"),
        base("units behind a comma, N mm")
            .in_units(Newton, NewtonMillimetre, Millimetre, Second)
            .units_behind(", %")
            .change(|sheet| sheet.delimiter = ';'),
        base("units in a row, pounds and inch-pounds")
            .in_units(PoundForce, PoundForceInch, Metre, Second)
            .call("lbf", "lbs")
            .call("lbf.in", "in-lbs")
            .change(row),
        cops("units in a row, kN, kN m and mm")
            .in_units(Kilonewton, KilonewtonMetre, Millimetre, Second)
            .change(row),
        base("units unsaid, N cm").in_units(Newton, NewtonCentimetre, Metre, Second),
        cops("units unsaid, N cm and cm").in_units(Newton, NewtonCentimetre, Centimetre, Second),
        base("units in brackets, N cm, and in truth N mm")
            .in_units(Newton, NewtonMillimetre, Metre, Second)
            .call("N.mm", "N.cm")
            .units_behind(" [%]"),
        base("units in round brackets, kN and kNm")
            .in_units(Kilonewton, KilonewtonMetre, Metre, Second)
            .call("kN.m", "kNm")
            .units_behind(" (%)"),
        base("units unsaid, kN and kN m").in_units(Kilonewton, KilonewtonMetre, Metre, Second),
        base("units behind a stroke, pounds and pound-inches")
            .in_units(PoundForce, PoundForceInch, Metre, Second)
            .call("lbf.in", "in-lb")
            .units_behind(" / %"),
        cops("units in round brackets, body weights")
            .forces_in("BW", weight())
            .units_behind(" (%)"),
        base("units in a row, body weights")
            .forces_in("BW", weight())
            .change(row),
        cops("units unsaid, body weights").forces_in("", weight()),
        base("units in brackets, per cent of body weight")
            .forces_in("%BW", 0.01 * weight())
            .units_behind(" [%]"),
        cops("units unsaid, per cent of body weight").forces_in("", 0.01 * weight()),
        base("units in brackets, newtons a kilogram")
            .forces_in("N/kg", weight() / 9.806_65)
            .units_behind(" [%]"),
        base("units in brackets, of nobody's knowledge")
            .in_units(Newton, NewtonMillimetre, Metre, Second)
            .call("N.mm", "dag cm")
            .units_behind(" [%]"),
        base("units in a row, one of nobody's knowledge")
            .in_units(Newton, NewtonMillimetre, Metre, Second)
            .call("N.mm", "zz")
            .change(row),
        base("units in brackets, without a dimension")
            .forces_in("-", weight())
            .call("N m", "-")
            .units_behind(" [%]"),
        cops("units in brackets, centres in picture elements")
            .call("m", "pixels")
            .units_behind(" [%]"),
        base("time in minutes, said").change(|sheet| {
            let time = &mut sheet.columns[0];
            time.values.iter_mut().for_each(|value| *value /= 60.0);
            time.header = "Time (min)".to_owned();
            time.decimals = 7;
        }),
        base("time in ms, said")
            .in_units(Newton, NewtonMetre, Metre, Millisecond)
            .change(row),
        base("time in ms, unsaid").in_units(Newton, NewtonMetre, Metre, Millisecond),
    ]
}

/// What the simulated player weighs, N.
fn weight() -> f64 {
    9.806_65 * Swing::default().mass_kg
}
