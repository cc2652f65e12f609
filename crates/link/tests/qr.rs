//! The QR code: its size, and what other programs will read in it.

mod support;

use footing_link::{QUIET_ZONE, encode};
use support::{invent, six_and_six};

const BASE: &str = "https://example.org/footing/";

#[test]
fn capitals_make_a_smaller_code() {
    let link = encode(&invent(six_and_six(21)).shared).unwrap();
    let qr = link.qr(BASE).unwrap();
    assert_eq!(qr.modules.len(), qr.size * qr.size);
    // ISO/IEC 18004: 17 + 4·version modules.
    assert_eq!(qr.size % 4, 1);
    let as_bytes = qrcodegen::QrCode::encode_segments(
        &[qrcodegen::QrSegment::make_bytes(link.url(BASE).as_bytes())],
        qrcodegen::QrCodeEcc::Low,
    )
    .unwrap();
    assert!(qr.size < as_bytes.size() as usize);
    // The corners hold the finder patterns: ISO/IEC 18004, 7×7 dark ring, light ring, dark 3×3.
    for (x0, y0) in [(0, 0), (qr.size - 7, 0), (0, qr.size - 7)] {
        for (x, y) in (0..7).flat_map(|y| (0..7).map(move |x| (x, y))) {
            let from_middle = (x as i32 - 3).abs().max((y as i32 - 3).abs());
            assert_eq!(qr.is_dark(x0 + x, y0 + y), from_middle != 2);
        }
    }
    assert!(!qr.is_dark(qr.size, 0));
}

#[test]
fn the_picture_has_every_dark_module() {
    let link = encode(&invent(six_and_six(22)).shared).unwrap();
    let qr = link.qr(BASE).unwrap();
    let svg = qr.svg("Scan \"K-07\" & <open>");
    assert!(svg.contains("aria-label=\"Scan &quot;K-07&quot; &amp; &lt;open&gt;\""));
    assert!(svg.contains(&format!(
        "viewBox=\"0 0 {0} {0}\"",
        qr.size + 2 * QUIET_ZONE
    )));
    let mut drawn = vec![false; qr.modules.len()];
    let path = svg
        .split("d=\"M")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    for bar in path.trim_end_matches('z').split("zM") {
        let (start, rest) = bar.split_once('h').unwrap();
        let (x, y) = start.split_once(' ').unwrap();
        let [x, y, width] =
            [x, y, rest.split('v').next().unwrap()].map(|n| n.parse::<usize>().unwrap());
        let first = (y - QUIET_ZONE) * qr.size + x - QUIET_ZONE;
        drawn[first..first + width].fill(true);
    }
    assert_eq!(drawn, qr.modules);
}
