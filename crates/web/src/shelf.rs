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

/// Reads a file, analyses it and keeps both.
pub fn read(
    id: u32,
    name: &str,
    bytes: &[u8],
    rig_bytes: Option<&[u8]>,
    settings: &Settings,
) -> Result<(), Problem> {
    let rig = rig_bytes
        .map(|bytes| rig::parse("the rig file", bytes))
        .transpose()?;
    let loaded = formats::read(name, bytes, rig.as_ref())?;
    let analysis = footing_app::analyse_loaded(name, &loaded, settings)?;
    SHELF.with_borrow_mut(|shelf| shelf.insert(id, Kept { loaded, analysis }));
    Ok(())
}

/// Analyses a recording again; where that fails, it stays as it was.
pub fn again(id: u32, name: &str, settings: &Settings) -> Result<(), Problem> {
    SHELF.with_borrow_mut(|shelf| {
        let kept = shelf.get_mut(&id).ok_or_else(|| {
            Problem::new(
                name,
                "the recording is no longer held",
                "a file",
                "drop the file again",
            )
        })?;
        kept.analysis = footing_app::analyse_loaded(name, &kept.loaded, settings)?;
        Ok(())
    })
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
