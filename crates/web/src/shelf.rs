//! The recordings this worker holds: the file as read, and its newest analysis.

use std::cell::RefCell;
use std::collections::BTreeMap;

use footing_app::formats::{self, Loaded, Problem, rig};
use footing_app::{Analysis, Settings};

struct Kept {
    loaded: Loaded,
    analysis: Analysis,
}

thread_local! {
    static SHELF: RefCell<BTreeMap<u32, Kept>> = const { RefCell::new(BTreeMap::new()) };
}

/// Analyses a recording and keeps it; with no bytes, the one already kept is analysed again.
pub fn analyse(
    id: u32,
    name: &str,
    bytes: Option<Box<[u8]>>,
    rig_bytes: Option<Box<[u8]>>,
    settings: &Settings,
) -> Result<(), Problem> {
    let loaded = match bytes {
        Some(bytes) => {
            let rig = rig_bytes
                .map(|bytes| rig::parse("the rig file", &bytes))
                .transpose()?;
            formats::read(name, &bytes, rig.as_ref())?
        }
        None => take(id).ok_or_else(|| {
            Problem::new(
                name,
                "the recording is no longer held",
                "a file",
                "drop the file again",
            )
        })?,
    };
    match footing_app::analyse_loaded(name, &loaded, settings) {
        Ok(analysis) => {
            SHELF.with_borrow_mut(|shelf| shelf.insert(id, Kept { loaded, analysis }));
            Ok(())
        }
        Err(problem) => Err(problem),
    }
}

fn take(id: u32) -> Option<Loaded> {
    SHELF
        .with_borrow_mut(|shelf| shelf.remove(&id))
        .map(|kept| kept.loaded)
}

/// Forgets a recording.
pub fn forget(id: u32) {
    SHELF.with_borrow_mut(|shelf| shelf.remove(&id));
}

/// Looks at one recording.
pub fn with<T>(id: u32, look: impl FnOnce(&Analysis) -> T) -> Option<T> {
    SHELF.with_borrow(|shelf| shelf.get(&id).map(|kept| look(&kept.analysis)))
}

/// Every newest analysis by its id.
pub struct All<'a>(&'a BTreeMap<u32, Kept>);

impl<'a> All<'a> {
    /// The analysis of this recording.
    pub fn get(&self, id: u32) -> Option<&'a Analysis> {
        self.0.get(&id).map(|kept| &kept.analysis)
    }

    /// The analyses of these recordings; those not kept are left out.
    pub fn of(&self, ids: &[u32]) -> Vec<&'a Analysis> {
        ids.iter().filter_map(|id| self.get(*id)).collect()
    }
}

/// Looks at several recordings.
pub fn with_all<T>(look: impl FnOnce(All<'_>) -> T) -> T {
    SHELF.with_borrow(|shelf| look(All(shelf)))
}
