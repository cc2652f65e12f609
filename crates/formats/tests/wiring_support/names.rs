//! Habits of naming columns. A right-handed player's lead foot, plate 1, is the left.

fn upper(channel: &str) -> String {
    match channel {
        "cop_x" => "COPx".to_owned(),
        "cop_y" => "COPy".to_owned(),
        other => other[..1].to_uppercase() + &other[1..],
    }
}

/// `Fx1`
pub fn plain(channel: &str, plate: usize) -> String {
    format!("{}{plate}", upper(channel))
}

/// Without anything that tells plates apart.
pub fn bare(channel: &str, _: usize) -> String {
    upper(channel)
}

/// The channel put in a pattern: `{c}` `Fx`, `{C}` `FX`, `{q}` `Force`, `{a}` `x`, `{A}` `X`,
/// `{l}` `F`, `{p}` the plate, `{s}` the side in the order given.
pub fn pattern(pattern: &'static str, sides: [&'static str; 2]) -> impl Fn(&str, usize) -> String {
    move |channel, plate| {
        let axis = channel.chars().last().unwrap_or('z');
        let quantity = match channel {
            "cop_x" | "cop_y" => "CoP",
            "mx" | "my" | "mz" => "Moment",
            "tz" => "Free moment",
            _ => "Force",
        };
        pattern
            .replace("{c}", &upper(channel))
            .replace("{C}", &upper(channel).to_uppercase())
            .replace("{q}", quantity)
            .replace("{l}", &quantity[..1])
            .replace("{a}", &axis.to_string())
            .replace("{A}", &axis.to_uppercase().to_string())
            .replace("{p}", &plate.to_string())
            .replace("{s}", sides[plate - 1])
    }
}

/// Words for force, moment, centre of pressure, free moment, and the two sides.
pub struct Language {
    pub force: &'static str,
    pub moment: &'static str,
    pub cop: &'static str,
    pub free: &'static str,
    pub sides: [&'static str; 2],
    pub vertical: &'static str,
}

pub const GERMAN: Language = Language {
    force: "Kraft",
    moment: "Moment",
    cop: "Druckmittelpunkt",
    free: "Freies Moment",
    sides: ["links", "rechts"],
    vertical: "Vertikalkraft",
};
pub const FRENCH: Language = Language {
    force: "Force",
    moment: "Moment",
    cop: "Centre de pression",
    free: "Moment libre",
    sides: ["gauche", "droite"],
    vertical: "Force verticale",
};
pub const SPANISH: Language = Language {
    force: "Fuerza",
    moment: "Momento",
    cop: "Centro de presión",
    free: "Momento libre",
    sides: ["izquierda", "derecha"],
    vertical: "Fuerza vertical",
};
pub const JAPANESE: Language = Language {
    force: "床反力",
    moment: "モーメント",
    cop: "圧力中心",
    free: "自由モーメント",
    sides: ["左足", "右足"],
    vertical: "鉛直床反力",
};

/// `Kraft X links`
pub fn in_language(language: &'static Language) -> impl Fn(&str, usize) -> String {
    move |channel, plate| {
        let side = language.sides[plate - 1];
        let axis = channel.chars().last().unwrap_or('z').to_uppercase();
        match channel {
            "tz" => format!("{} {side}", language.free),
            "cop_x" | "cop_y" => format!("{} {axis} {side}", language.cop),
            "mx" | "my" | "mz" => format!("{} {axis} {side}", language.moment),
            _ => format!("{} {axis} {side}", language.force),
        }
    }
}

/// `Vertikalkraft links`, for plates that measure nothing else but the centre of pressure.
pub fn vertical_in(language: &'static Language) -> impl Fn(&str, usize) -> String {
    let full = in_language(language);
    move |channel, plate| match channel {
        "fz" => format!("{} {}", language.vertical, language.sides[plate - 1]),
        other => full(other, plate),
    }
}
