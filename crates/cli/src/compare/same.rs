//! Recordings that are there more than once.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hasher};

use crate::files::Input;

/// One sentence for each recording that is counted more than once, by equal bytes. `counted`: every
/// recording that counts, with the label of its set.
pub fn sentences(counted: &[(&Input, &str)]) -> Vec<String> {
    // 64 bits of what is in it, and its length: that two that differ agree in both is not to be
    // feared, and would cost no more than this sentence.
    let mut alike: BTreeMap<(usize, u64), Vec<usize>> = BTreeMap::new();
    for (index, (input, _)) in counted.iter().enumerate() {
        // One that cannot be read any more has been measured and is not compared here.
        let Ok(bytes) = input.bytes() else { continue };
        let mut hasher = DefaultHasher::new();
        hasher.write(&bytes);
        let content = (bytes.len(), hasher.finish());
        alike.entry(content).or_default().push(index);
    }
    let mut groups: Vec<Vec<usize>> = alike.into_values().filter(|g| g.len() > 1).collect();
    groups.sort();
    let sentence = |group: Vec<usize>| {
        let names: Vec<String> = group
            .iter()
            .map(|index| {
                let (input, label) = counted[*index];
                format!("{} in “{label}”", input.typed)
            })
            .collect();
        format!(
            "One recording is counted {} times, byte for byte the same: {}. The intervals take each for a swing of its own, so they are too narrow.",
            names.len(),
            names.join(", ")
        )
    };
    groups.into_iter().map(sentence).collect()
}
