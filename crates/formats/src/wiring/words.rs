//! What column headers say, in English, German, French, Spanish and Japanese.
//!
//! Words are common practice in the trade and its textbooks; they are matched after case, accents
//! and full-width forms are folded away.

use super::header::{Axis, Quantity, Side};

/// What one word of a header means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Word {
    Is(Quantity),
    Along(Axis),
    /// Force and its axis in one.
    Channel(Quantity, Axis),
    Foot(Side),
    /// Both plates together: not a plate of its own.
    Total,
    /// A sensor that is no plate.
    Foreign,
    /// Says nothing by itself ("plate", "of").
    Filler,
}

/// Found anywhere in a header, longest first: compounds, phrases and scripts without blanks.
pub(super) const PHRASES: &[(&str, &str)] = &[
    ("kraftangriffspunkt", " cop "),
    ("bodenreaktionskraft", " force "),
    ("ground reaction force", " force "),
    ("fuerza de reaccion", " force "),
    ("force de reaction", " force "),
    ("druckmittelpunkt", " cop "),
    ("center of pressure", " cop "),
    ("centre of pressure", " cop "),
    ("centre de pression", " cop "),
    ("center of force", " cop "),
    ("centro de presiones", " cop "),
    ("centro de presion", " cop "),
    ("kraftmessplatte", " plate "),
    ("kraftmesseplatte", " plate "),
    ("plateforme de force", " plate "),
    ("plataforma de fuerza", " plate "),
    ("vertikalkraft", " force vertical "),
    ("free moment", " tz "),
    ("free torque", " tz "),
    ("freies moment", " tz "),
    ("moment libre", " tz "),
    ("momento libre", " tz "),
    ("antero posterior", " ap "),
    ("anteroposterior", " ap "),
    ("anterior posterior", " ap "),
    ("medio lateral", " ml "),
    ("mediolateral", " ml "),
    ("medial lateral", " ml "),
    ("sub frame", " frame "),
    ("force plate", " plate "),
    ("kraftplatte", " plate "),
    ("自由モーメント", " tz "),
    ("フリーモーメント", " tz "),
    ("フォースプレート", " plate "),
    ("床反力計", " plate "),
    ("床反力", " force "),
    ("圧力中心", " cop "),
    ("足圧中心", " cop "),
    ("作用点", " cop "),
    ("モーメント", " moment "),
    ("トルク", " moment "),
    ("インパクト", " impact "),
    ("トリガー", " trigger "),
    ("トリガ", " trigger "),
    ("フレーム", " frame "),
    ("プレート", " plate "),
    ("鉛直", " vertical "),
    ("垂直", " vertical "),
    ("左右", " ml "),
    ("前後", " ap "),
    ("時間", " time "),
    ("時刻", " time "),
    ("合計", " total "),
    ("方向", " "),
    ("成分", " "),
    ("左", " left "),
    ("右", " right "),
    ("足", " "),
    ("力", " force "),
];

/// The meaning of a whole word; `None` for one that is not known.
pub(super) fn word(token: &str) -> Option<Word> {
    use Axis::{X, Y, Z};
    use Quantity::{Cop, Force, Frame, FreeMoment, Impact, Moment, Time, Trigger};
    Some(match token {
        "time" | "times" | "zeit" | "temps" | "tiempo" | "timestamp" | "t" | "sekunden"
        | "seconds" | "elapsed" | "abs" => Word::Is(Time),
        "frame" | "frames" | "sample" | "samples" | "bild" | "trame" | "cuadro" | "fotograma"
        | "image" | "muestra" | "echantillon" | "index" => Word::Is(Frame),
        "force" | "forces" | "kraft" | "fuerza" | "grf" | "f" => Word::Is(Force),
        "moment" | "moments" | "momento" | "drehmoment" | "couple" | "par" | "m" => {
            Word::Is(Moment)
        }
        "torque" => Word::Is(FreeMoment),
        "cop" | "cof" => Word::Is(Cop),
        "trigger" | "trig" | "sync" | "ausloser" | "declencheur" | "disparo" | "disparador"
        | "synchro" => Word::Is(Trigger),
        "impact" | "impacto" | "treffmoment" | "treffpunkt" => Word::Is(Impact),
        "x" => Word::Along(X),
        "y" => Word::Along(Y),
        "z" | "vertical" | "vertikal" | "verticale" | "vert" => Word::Along(Z),
        "ml" => Word::Along(X),
        "ap" => Word::Along(Y),
        "fx" | "grfx" | "fml" => Word::Channel(Force, X),
        "fy" | "grfy" | "fap" => Word::Channel(Force, Y),
        "fz" | "grfz" | "fv" | "vgrf" => Word::Channel(Force, Z),
        "mx" => Word::Channel(Moment, X),
        "my" => Word::Channel(Moment, Y),
        "mz" => Word::Channel(Moment, Z),
        "tx" => Word::Channel(FreeMoment, X),
        "ty" => Word::Channel(FreeMoment, Y),
        "tz" => Word::Channel(FreeMoment, Z),
        "copx" | "cx" | "ax" | "px" | "cofx" => Word::Channel(Cop, X),
        "copy" | "cy" | "ay" | "py" | "cofy" => Word::Channel(Cop, Y),
        "copz" | "cz" | "az" | "pz" | "cofz" => Word::Channel(Cop, Z),
        "left" | "links" | "linker" | "linke" | "linkes" | "gauche" | "izquierda" | "izquierdo" => {
            Word::Foot(Side::Left)
        }
        "right" | "rechts" | "rechter" | "rechte" | "rechtes" | "droite" | "droit" | "derecha"
        | "derecho" => Word::Foot(Side::Right),
        "lead" | "front" | "vorne" | "vorderer" | "avant" | "delantero" => Word::Foot(Side::Lead),
        "trail" | "rear" | "back" | "hinten" | "hinterer" | "arriere" | "trasero" => {
            Word::Foot(Side::Trail)
        }
        "total" | "sum" | "net" | "both" | "combined" | "gesamt" | "summe" | "somme" | "suma"
        | "resultant" => Word::Total,
        "emg" | "acc" | "accel" | "accelerometer" | "acceleration" | "gyro" | "knee" | "hip"
        | "ankle" | "pelvis" | "trunk" | "wrist" | "elbow" | "shoulder" | "club" | "ball"
        | "marker" | "angle" | "velocity" | "speed" | "temperature" | "battery" | "joint"
        | "grip" => Word::Foreign,
        "plate" | "platform" | "platte" | "plateforme" | "plataforma" | "fp" | "pf" | "foot"
        | "fuss" | "fuß" | "pied" | "pie" | "of" | "de" | "du" | "la" | "le" | "el" | "ground"
        | "reaction" | "channel" | "device" | "devices" | "axis" | "achse" | "richtung"
        | "direction" | "direccion" | "raw" | "filtered" | "grfs" | "del" | "den" => Word::Filler,
        _ => return None,
    })
}

/// Words around the sampling rate above a table.
pub(super) const RATE_WORDS: &[&str] = &[
    "rate",
    "frequency",
    "freq",
    "hz",
    "abtast",
    "messfrequenz",
    "frequence",
    "frecuencia",
    "サンプリング",
    "周波数",
];
