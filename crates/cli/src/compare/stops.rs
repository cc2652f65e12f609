//! Recordings that carry a note saying stop stay out of their sets, as on the page, until a person
//! says that they count.

use footing_app::comparison::between_recordings;
use footing_app::{Analysis, Settings};

use crate::measure::Measured;
use crate::notes::in_print;

/// What stands in the place of a recording of each set.
pub type Sets<'a> = [&'a mut [Option<Measured>]; 2];

/// The recordings with a stop.
#[derive(Debug, Default)]
pub struct Stopped {
    /// Each note as printed, once, and the recordings that carry it, as typed, with the swing where they hold several.
    pub notes: Vec<(String, Vec<String>)>,
    /// Their places in each set, counted from 0, in order.
    pub places: [Vec<usize>; 2],
}

impl Stopped {
    fn add(&mut self, set: usize, place: usize, called: &str, note: String) {
        match self.notes.iter_mut().find(|(known, _)| *known == note) {
            Some((_, names)) if names.iter().any(|name| name == called) => {}
            Some((_, names)) => names.push(called.to_owned()),
            None => self.notes.push((note, vec![called.to_owned()])),
        }
        if !self.places[set].contains(&place) {
            self.places[set].push(place);
            self.places[set].sort_unstable();
        }
    }
}

/// Finds the recordings with a stop and, unless they are to count, takes them out of their sets.
///
/// First what each carries by itself; then what those that are still counted say about each other.
pub fn part(sets: &mut Sets<'_>, count_them: bool, settings: &Settings) -> Stopped {
    let mut stopped = Stopped::default();
    for (which, set) in sets.iter().enumerate() {
        for (place, one) in present(set) {
            for note in one.analysis.notes.iter().filter(|n| n.level == "stop") {
                let text = in_print(note.code, &note.text, settings);
                stopped.add(which, place, &one.called, text);
            }
        }
    }
    take_out(sets, &stopped, count_them);
    let counted: Vec<(usize, usize, &Measured)> = sets
        .iter()
        .enumerate()
        .flat_map(|(which, set)| present(set).map(move |(place, one)| (which, place, one)))
        .collect();
    let analyses: Vec<&Analysis> = counted.iter().map(|(_, _, one)| &one.analysis).collect();
    for (index, note) in between_recordings(&analyses) {
        let (which, place, one) = counted[index];
        if note.level == "stop" {
            let text = in_print(note.code, &note.text, settings);
            stopped.add(which, place, &one.called, text);
        }
    }
    take_out(sets, &stopped, count_them);
    stopped
}

fn present(set: &[Option<Measured>]) -> impl Iterator<Item = (usize, &Measured)> {
    let all = set.iter().enumerate();
    all.filter_map(|(place, one)| Some((place, one.as_ref()?)))
}

fn take_out(sets: &mut Sets<'_>, stopped: &Stopped, count_them: bool) {
    if count_them {
        return;
    }
    for (set, places) in sets.iter_mut().zip(&stopped.places) {
        for place in places {
            set[*place] = None;
        }
    }
}
