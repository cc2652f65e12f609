//! One recording, analysed: plain data that any face can show.

use footing_core::recording::EventKind;

/// What a person may choose about how a recording is read.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Right- or left-handed player.
    pub handed: Handed,
    /// Which vertical axis torque and impulse are about.
    pub about: Reference,
    /// Direction to the target, degrees counter-clockwise from lab +x; overrides the file's.
    pub target_azimuth_deg: Option<f64>,
    /// The low-pass filter.
    pub low_pass: LowPass,
    /// Body mass typed in by a person, kg; `None`: from quiet stance.
    pub mass_kg: Option<f64>,
    /// Vertical force below which a foot has no centre of pressure, N; `None`: 30 N or 5 % of
    /// body weight, whichever is more.
    pub load_threshold_n: Option<f64>,
    /// Remove the mean horizontal force and torque of quiet stance.
    pub zero_quiet: bool,
    /// Events set by the person's hand, on the recording's clock.
    pub given: Vec<(EventKind, f64)>,
    /// Events the person read off a film of the swing; the hand's word goes before them.
    pub filmed: Vec<Filmed>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            handed: Handed::Right,
            about: Reference::StanceCentre,
            target_azimuth_deg: None,
            low_pass: LowPass::Hz(50.0),
            mass_kg: None,
            load_threshold_n: None,
            zero_quiet: false,
            given: Vec::new(),
            filmed: Vec::new(),
        }
    }
}

pub use footing_core::condition::LowPass;
pub use footing_core::events::Filmed;
pub use footing_core::frame::Handed;
pub use footing_core::torque::Reference;

/// One recording with everything computed from it.
#[derive(Debug, Clone, PartialEq)]
pub struct Analysis {
    /// The file's name as dropped.
    pub file: String,
    /// What the file turned out to be, in words ("C3D, Intel, float", "table, 13 columns, comma").
    pub format: String,
    /// Sampling rate, Hz.
    pub rate_hz: f64,
    /// From first to last sample, seconds.
    pub duration_s: f64,
    /// Which hand was assumed.
    pub handed: Handed,
    /// Which reference point was used.
    pub about: Reference,
    /// Cut-off actually used, Hz; `None`: not filtered.
    pub low_pass_hz: Option<f64>,
    /// Vertical force below which a foot was taken to have no centre of pressure, N; `None`: not known.
    pub load_threshold_n: Option<f64>,
    /// Body mass, kg, and its standard deviation in quiet stance when it came from there.
    pub mass_kg: Option<(f64, Option<f64>)>,
    /// Whether places are from the stance centre; where there is none they are from the lab origin.
    pub stance_centre_known: bool,
    /// Quiet stance: from and to on the recording's clock, seconds.
    pub quiet_s: Option<(f64, f64)>,
    /// The plates and who stands on them.
    pub plates: Vec<PlateSummary>,
    /// Events in the order of a swing; those that could not be had are left out and noted.
    pub events: Vec<Event>,
    /// Events that could not be had, and why.
    pub missing_events: Vec<(EventKind, String)>,
    /// Every measure by its id, in the order of the definitions, present or absent.
    pub measures: Vec<Measure>,
    /// What a person should know about this recording.
    pub notes: Vec<Note>,
    /// The curves, conditioned, in the player frame.
    pub series: Series,
}

impl Analysis {
    /// A foot-to-foot angle relative to its value at address, degrees; `None` for every other measure, and where
    /// either is absent.
    pub fn from_address_deg(&self, measure: &Measure) -> Option<f64> {
        let value = |m: &Measure| m.value.as_ref().ok().copied();
        let address = self.measures.iter().find(|m| m.id == AT_ADDRESS)?;
        let angle = value(measure).filter(|_| measure.has_address())?;
        Some(angle - value(address)?)
    }
}

/// One plate in a few words.
#[derive(Debug, Clone, PartialEq)]
pub struct PlateSummary {
    /// Label from the file or rig.
    pub label: String,
    /// "six-component", "force-cop", "eight-channel" or "vertical-cop".
    pub kind: &'static str,
    /// "lead", "trail", "both" or "unused".
    pub foot: &'static str,
    /// Largest vertical force, N.
    pub peak_fz_n: f64,
    /// The plate's outline in the player frame `(t, a)`, metres from the stance centre.
    pub outline_m: Option<[(f64, f64); 4]>,
}

/// One event.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Which one.
    pub kind: EventKind,
    /// Time on the recording's clock, seconds.
    pub t_s: f64,
    /// "given", "film", "file" or "estimated".
    pub source: &'static str,
    /// Half-width of the uncertainty, seconds.
    pub uncertainty_s: f64,
    /// How it was found, one sentence.
    pub how: String,
}

/// One measure, present or absent.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// The id of the definitions, unit as suffix.
    pub id: &'static str,
    /// Short name a person reads.
    pub label: &'static str,
    /// Unit as printed; empty for fractions.
    pub unit: &'static str,
    /// The value, or why there is none.
    pub value: Result<f64, String>,
    /// Ids of estimated events this value rests on.
    pub estimated: Vec<&'static str>,
    /// The value if impact came 20 ms earlier and 20 ms later; given when impact is estimated and
    /// the measure depends on it.
    pub impact_shift: Option<(Option<f64>, Option<f64>)>,
}

const AT_ADDRESS: &str = "cop_angle_at_address_deg";

impl Measure {
    /// Whether it is a foot-to-foot angle that is given relative to its value at address too.
    pub fn has_address(&self) -> bool {
        self.id.starts_with("cop_angle_") && self.id != AT_ADDRESS
    }
}

/// Something to know about a recording.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// Stable code, kebab-case.
    pub code: &'static str,
    /// "note", "warn" or "stop".
    pub level: &'static str,
    /// What was seen and what to do, in plain words.
    pub text: String,
}

/// Curves over the recording's clock. All vectors have the length of `t_s`; `None` marks samples
/// where the quantity does not exist (unloaded foot, no shear).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series {
    /// Time, seconds.
    pub t_s: Vec<f64>,
    /// Vertical torque about the chosen reference, N·m, positive toward the target.
    pub torque_nm: Vec<Option<f64>>,
    /// Foot-to-foot angle of the centres of pressure, degrees.
    pub cop_angle_deg: Vec<Option<f64>>,
    /// Lead foot; absent when one plate carries both feet.
    pub lead: Option<FootSeries>,
    /// Trail foot; absent when one plate carries both feet.
    pub trail: Option<FootSeries>,
    /// Both feet together.
    pub total: FootSeries,
}

/// Curves of one foot, or of both together, in the player frame; the origin is the stance centre.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FootSeries {
    /// Shear toward the target, N; empty without shear channels.
    pub ft_n: Vec<f64>,
    /// Shear toward the toes, N; empty without shear channels.
    pub fa_n: Vec<f64>,
    /// Vertical force, N.
    pub fz_n: Vec<f64>,
    /// Centre of pressure along the target line, metres from the stance centre.
    pub cop_t_m: Vec<Option<f64>>,
    /// Centre of pressure toeward, metres from the stance centre.
    pub cop_a_m: Vec<Option<f64>>,
    /// Free moment, N·m, positive toward the target; for both together, the vertical moment about
    /// the combined centre of pressure.
    pub free_moment_nm: Vec<Option<f64>>,
}
