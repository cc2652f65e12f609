//! An allocator that knows how much is held and what the peak was.

use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

static HELD: AtomicUsize = AtomicUsize::new(0);
static PEAK: AtomicUsize = AtomicUsize::new(0);

/// The system's allocator with two counters. A request beyond [`REFUSED`] bytes fails, so that
/// an allocation from a declared size ends the run instead of the machine.
pub struct Counting;

/// No reader of files this small has business asking for this much at once.
pub const REFUSED: usize = 4 << 30;

fn take(size: usize) {
    let held = HELD.fetch_add(size, Relaxed) + size;
    PEAK.fetch_max(held, Relaxed);
}

// SAFETY: every call is passed to the system's allocator unchanged; the counters are only counters.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        if layout.size() > REFUSED {
            return std::ptr::null_mut();
        }
        let pointer = unsafe { System.alloc(layout) };
        if !pointer.is_null() {
            take(layout.size());
        }
        pointer
    }

    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        HELD.fetch_sub(layout.size(), Relaxed);
        unsafe { System.dealloc(pointer, layout) }
    }

    unsafe fn realloc(&self, pointer: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        if size > REFUSED {
            return std::ptr::null_mut();
        }
        // Old and new may live at once while the system copies.
        take(size);
        let moved = unsafe { System.realloc(pointer, layout, size) };
        let gone = if moved.is_null() { size } else { layout.size() };
        HELD.fetch_sub(gone, Relaxed);
        moved
    }
}

/// Runs `work` and returns its result with the peak of bytes held above what was held before.
pub fn peak_of<T>(work: impl FnOnce() -> T) -> (T, usize) {
    let before = HELD.load(Relaxed);
    PEAK.store(before, Relaxed);
    let result = work();
    (result, PEAK.load(Relaxed).saturating_sub(before))
}
