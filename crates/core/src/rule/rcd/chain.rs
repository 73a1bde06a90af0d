//! Devices one behind the other: each sees the leakage of what is behind it, and nothing makes the
//! nearer one drop first. (Selective devices, IEC 61008-1 type S, wait; a plan does not say which are.)

use crate::assess::certain_chain;
use crate::network::RcdAt;
use crate::physics::residual::Outcome;
use crate::rule::RcdScope;
use crate::rule::words::list;

/// Which other devices of the same chains may drop as well: those upstream, those behind it.
fn others(scope: &RcdScope<'_>) -> (Vec<RcdAt>, Vec<RcdAt>) {
    let network = scope.context.network;
    let (mut upstream, mut behind) = (Vec::new(), Vec::new());
    for head in &scope.used.heads {
        let Some(socket) = scope.heads.get(*head).and_then(Option::as_ref).and_then(|used| used.socket)
        else {
            continue;
        };
        let mut seen = false;
        for rcd in certain_chain(network, socket) {
            if rcd == scope.rcd {
                seen = true;
                continue;
            }
            let side = if seen { &mut upstream } else { &mut behind };
            if scope.rcd_use(rcd).outcome != Outcome::Holds && !side.contains(&rcd) {
                side.push(rcd);
            }
        }
    }
    (upstream, behind)
}

/// `; RA behind it or R0 upstream of it may drop too`, where one may.
pub(super) fn others_may_drop(scope: &RcdScope<'_>) -> String {
    let network = scope.context.network;
    let (upstream, behind) = others(scope);
    let ids = |rcds: &[RcdAt]| list(rcds.iter().map(|at| &network.rcds[*at].id));
    match (behind.as_slice(), upstream.as_slice()) {
        ([], []) => String::new(),
        ([], _) => format!("; {} upstream of it may drop with it or first", ids(&upstream)),
        (_, []) => format!("; {} behind it may drop with it or first", ids(&behind)),
        _ => format!(
            "; {} behind it or {} upstream of it may drop with it or first",
            ids(&behind),
            ids(&upstream)
        ),
    }
}
