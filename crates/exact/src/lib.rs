//! The exact prover: hands a placement, level by level, to the mixed-integer solver `HiGHS`.
//!
//! Without the feature `exact` this crate is empty but for a [`prover`] that has none to give, so that
//! nobody needs a C++ compiler to build the program.

#[cfg(feature = "exact")]
mod mixed_integer;

use ampwalk_core::solve::Prover;

/// The prover that is built in; `None` without the feature `exact`.
#[must_use]
pub const fn prover() -> Option<Prover> {
    #[cfg(feature = "exact")]
    let built_in = Some(Prover(mixed_integer::prove));
    #[cfg(not(feature = "exact"))]
    let built_in = None;
    built_in
}
