//! Cutting what is hardly a recording: whatever comes in, the pieces lie in it, in order, apart.

use footing_core::cut::{Kind, cut};
use footing_core::frame::{Handed, PlayerFrame};
use footing_core::stance::{Feet, FootLoad, FootShear, Stance};
use proptest::prelude::*;

fn stance(rate_hz: f64, fz: Vec<f64>, shear: Option<Vec<f64>>) -> Stance {
    let n = fz.len();
    let load = FootLoad {
        normal_n: fz.clone(),
        cop_t_moment_nm: fz.iter().map(|f| 0.1 * f).collect(),
        cop_a_moment_nm: vec![0.0; n],
        shear: shear.map(|torque| FootShear {
            ft_n: vec![0.0; n],
            fa_n: vec![0.0; n],
            torque_about_origin_nm: torque,
        }),
        fz_n: fz,
    };
    Stance {
        t_s: (0..n).map(|i| i as f64 / rate_hz).collect(),
        rate_hz,
        frame: PlayerFrame::new(0.0, Handed::Right),
        feet: Feet::Both(Box::new(load)),
    }
}

proptest! {
    #[test]
    fn pieces_lie_in_the_recording_in_order(
        rate_hz in 1.0..2000.0_f64,
        loads in prop::collection::vec(-50.0..2000.0_f64, 0..400),
        with_shear in any::<bool>(),
    ) {
        let torque = with_shear.then(|| loads.iter().map(|f| 0.05 * f - 30.0).collect());
        let stance = stance(rate_hz, loads, torque);
        let pieces = cut(&stance);
        prop_assert_eq!(pieces.is_empty(), stance.t_s.is_empty());
        for piece in &pieces {
            prop_assert!(piece.from_s <= piece.to_s);
            prop_assert!(piece.from_s >= stance.t_s[0] && piece.to_s <= stance.t_s[stance.t_s.len() - 1]);
        }
        for pair in pieces.windows(2) {
            prop_assert!(pair[0].to_s <= pair[1].from_s + 1e-9, "{:?}", pair);
        }
    }
}

#[test]
fn an_empty_plate_says_that_nobody_stands_on_it() {
    let pieces = cut(&stance(500.0, vec![0.3; 1000], None));
    assert_eq!(pieces.len(), 1);
    assert_eq!(
        pieces[0].kind,
        Kind::Other("nobody stands on the plates".into())
    );
    assert_eq!((pieces[0].from_s, pieces[0].to_s), (0.0, 999.0 / 500.0));
}
