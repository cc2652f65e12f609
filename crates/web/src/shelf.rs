//! The recordings this worker holds: the file as read, and its newest analysis.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use footing_app::formats::{self, Loaded, Problem, rig};
use footing_app::pieces::{self, Kind, Piece, Several};
use footing_app::{Analysis, Settings};

struct Kept {
    /// Several swings of one recording share what was read.
    loaded: Rc<Loaded>,
    /// The part of it that is analysed; `None`: all of it.
    piece: Option<Piece>,
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
    swing_s: Option<(f64, f64)>,
    settings: &Settings,
) -> Result<(), Problem> {
    let rig = rig_bytes
        .map(|bytes| rig::parse("the rig file", bytes))
        .transpose()?;
    let loaded = formats::read(name, bytes, rig.as_ref())?;
    keep(id, name, Rc::new(loaded), swing_s, settings)
}

/// Another swing of a recording that is held; `false` when it is not.
pub fn beside(
    id: u32,
    held: u32,
    name: &str,
    swing_s: (f64, f64),
    settings: &Settings,
) -> Result<bool, Problem> {
    let loaded = SHELF.with_borrow(|shelf| shelf.get(&held).map(|kept| Rc::clone(&kept.loaded)));
    match loaded {
        Some(loaded) => keep(id, name, loaded, Some(swing_s), settings).map(|()| true),
        None => Ok(false),
    }
}

/// The swings of a recording that holds several.
pub fn several(id: u32, name: &str, settings: &Settings) -> Result<Several, Problem> {
    let loaded = SHELF.with_borrow(|shelf| shelf.get(&id).map(|kept| Rc::clone(&kept.loaded)));
    loaded.map_or_else(
        || Ok(Several::default()),
        |loaded| pieces::several(name, &loaded, settings),
    )
}

fn keep(
    id: u32,
    name: &str,
    loaded: Rc<Loaded>,
    swing_s: Option<(f64, f64)>,
    settings: &Settings,
) -> Result<(), Problem> {
    let piece = swing_s.map(|(from_s, to_s)| Piece {
        from_s,
        to_s,
        kind: Kind::Swing,
    });
    let analysis = analysed(name, &loaded, piece.as_ref(), settings)?;
    let kept = Kept {
        loaded,
        piece,
        analysis,
    };
    SHELF.with_borrow_mut(|shelf| shelf.insert(id, kept));
    Ok(())
}

fn analysed(
    name: &str,
    loaded: &Loaded,
    piece: Option<&Piece>,
    settings: &Settings,
) -> Result<Analysis, Problem> {
    match piece {
        Some(piece) => pieces::analyse_piece(name, loaded, settings, piece),
        None => footing_app::analyse_loaded(name, loaded, settings),
    }
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
        kept.analysis = analysed(name, &kept.loaded, kept.piece.as_ref(), settings)?;
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

    /// The one swing of a file that this recording is, from and to, seconds.
    #[cfg(feature = "whole")]
    pub fn swing_s(&self, id: u32) -> Option<(f64, f64)> {
        let piece = self.0.get(&id)?.piece.as_ref()?;
        Some((piece.from_s, piece.to_s))
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
