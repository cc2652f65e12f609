//! Files with recordings inside, taken apart for the page.

use footing_app::formats::packed::{self, Kind};
use js_sys::{Array, Object, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;

/// What the page can do something with.
const WANTED: [Kind; 4] = [Kind::Rig, Kind::Recording, Kind::Session, Kind::Film];
/// Refusals of one archive that are told one by one.
const MOST_PROBLEMS: usize = 12;

/// Takes a zip archive or a workbook apart: `{files: [{name, bytes}], problems: [text], leftOut}`,
/// where `leftOut` is a sentence or `undefined`.
#[wasm_bindgen]
pub fn unpack(name: &str, bytes: &[u8]) -> Result<JsValue, JsValue> {
    let unpacked = packed::unpack(name, bytes, &WANTED);
    let (files, problems) = (Array::new(), Array::new());
    let mut untold = 0;
    for inner in unpacked.files {
        match inner.content {
            Ok((_, bytes)) => {
                let file = object(&[
                    ("name", inner.name.into()),
                    ("bytes", Uint8Array::from(&bytes[..]).into()),
                ])?;
                files.push(&file);
            }
            Err(_) if problems.length() as usize == MOST_PROBLEMS => untold += 1,
            Err(problem) => {
                problems.push(&problem.to_string().into());
            }
        }
    }
    if untold > 0 {
        problems.push(&format!("{name}: {untold} more of its files cannot be read").into());
    }
    object(&[
        ("files", files.into()),
        ("problems", problems.into()),
        ("leftOut", unpacked.left_out.into()),
    ])
}

fn object(entries: &[(&str, JsValue)]) -> Result<JsValue, JsValue> {
    let object = Object::new();
    for (key, value) in entries {
        Reflect::set(&object, &JsValue::from_str(key), value)?;
    }
    Ok(object.into())
}
