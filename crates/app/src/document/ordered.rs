//! JSON objects whose keys keep their order.

use serde::ser::{Serialize, SerializeMap, Serializer};

/// An object whose keys keep the order they are given in.
#[derive(Debug, Clone)]
pub struct Ordered<K, V>(pub Vec<(K, V)>);

impl<K: Serialize, V: Serialize> Serialize for Ordered<K, V> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for (key, value) in &self.0 {
            map.serialize_entry(key, value)?;
        }
        map.end()
    }
}
