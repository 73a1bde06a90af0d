//! What the checks look at, and the runs over it.

use std::cell::OnceCell;
use std::collections::HashSet;
use std::sync::LazyLock;

use crate::assess::{CircuitUse, Finding, HeadUse, RcdUse, SetupUse, SocketUse, Sums, SupplyUse};
use crate::network::{CircuitAt, Dense, HeadAt, Network, RcdAt, SetupAt, SocketAt, SupplyAt};
use crate::plan::Weather;
use crate::unit::KiloWatts;

use super::table::{DROP_HIGH, NEUTRAL_OVER, PLATE_OVER, rule};
use super::{Check, Found, RULES, Report, Rule, Scope};

/// The setup that is looked at, among all of them.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Context<'a> {
    pub network: &'a Network,
    pub setup: SetupAt,
    pub setups: &'a Sums,
    /// A head that is tried on a socket and is not in `setups`.
    pub dropped: Option<Dropped<'a>>,
}

/// A head that is tried on a socket, in several setups at once.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Dropped<'a> {
    pub setups: &'a [SetupAt],
    /// The supply that it would be on for certain.
    pub supply: Option<SupplyAt>,
    pub kw: KiloWatts,
}

impl Context<'_> {
    /// Real power of a supply in any setup, the head that is tried included.
    pub(super) fn kw(&self, setup: SetupAt, supply: SupplyAt) -> KiloWatts {
        let tried = self.dropped.filter(|dropped| dropped.supply == Some(supply));
        let tried = tried.filter(|dropped| dropped.setups.contains(&setup));
        self.setups[setup].supplies[supply].kw + tried.map_or(KiloWatts::ZERO, |dropped| dropped.kw)
    }

    pub(super) fn rains(&self) -> bool {
        self.network.setups[self.setup].weather == Weather::Rain
    }
}

macro_rules! scope {
    ($(#[$doc:meta])* $name:ident, $at:ident: $index:ty, $used:ty $(, $heads:ident)?) => {
        $(#[$doc])*
        #[derive(Debug)]
        pub struct $name<'a> {
            pub(crate) context: Context<'a>,
            $(pub(crate) $heads: &'a Dense<HeadAt, Option<HeadUse>>,)?
            pub(crate) $at: $index,
            pub(crate) used: &'a $used,
        }
    };
}

scope!(
    /// A head at its socket.
    HeadScope, head: HeadAt, HeadUse
);
scope!(
    /// A socket with all that is plugged into it.
    SocketScope, socket: SocketAt, SocketUse
);
scope!(
    /// A circuit.
    CircuitScope, circuit: CircuitAt, CircuitUse, heads
);
/// An RCD.
#[derive(Debug)]
pub struct RcdScope<'a> {
    pub(crate) context: Context<'a>,
    pub(crate) heads: &'a Dense<HeadAt, Option<HeadUse>>,
    pub(crate) rcd: RcdAt,
    pub(crate) used: &'a RcdUse,
    /// Devices that carry other heads than in the setup, where one is in hand.
    pub(crate) changed: &'a [(RcdAt, RcdUse)],
    /// Where a head had better be: several findings of one device say it.
    pub(super) move_away: OnceCell<String>,
}

impl<'a> RcdScope<'a> {
    /// A device that is looked at, as `used` says.
    pub(crate) const fn new(
        context: Context<'a>,
        heads: &'a Dense<HeadAt, Option<HeadUse>>,
        (rcd, used): (RcdAt, &'a RcdUse),
        changed: &'a [(RcdAt, RcdUse)],
    ) -> Self {
        Self { context, heads, rcd, used, changed, move_away: OnceCell::new() }
    }

    /// What another RCD sees.
    pub(super) fn rcd_use(&self, rcd: RcdAt) -> &RcdUse {
        let changed = self.changed.iter().find(|(at, _)| *at == rcd);
        changed.map_or(&self.context.setups[self.context.setup].rcds[rcd], |(_, used)| used)
    }
}

scope!(
    /// A supply.
    SupplyScope, supply: SupplyAt, SupplyUse, heads
);

/// A setup as a whole.
pub struct SetupScope<'a> {
    pub(crate) context: Context<'a>,
    pub(crate) used: &'a SetupUse,
    /// What is to be looked at.
    pub(super) wanted: &'a dyn Fn(Scope) -> bool,
}

macro_rules! run {
    ($name:ident, $variant:ident, $scope:ident, $looked_at:expr) => {
        /// Runs every check of this kind on one scope.
        pub(crate) fn $name(scope: &$scope<'_>, found: &mut Found) {
            type Run = fn(&$scope<'_>, &mut Report<'_>);
            static CHECKS: LazyLock<Vec<(&Rule, Run)>> = LazyLock::new(|| {
                let of_rule = |rule: &'static Rule| {
                    rule.checks.iter().filter_map(move |check| match check {
                        Check::$variant(run) => Some((rule, *run as Run)),
                        _ => None,
                    })
                };
                RULES.iter().flat_map(of_rule).collect()
            });
            for (rule, run) in CHECKS.iter() {
                run(scope, &mut Report::new(rule, Some(scope.context.setup), $looked_at(scope), found));
            }
        }
    };
}

run!(check_head, Head, HeadScope, |scope: &HeadScope<'_>| Scope::Head(scope.head));
run!(check_socket, Socket, SocketScope, |scope: &SocketScope<'_>| Scope::Socket(scope.socket));
run!(check_circuit, Circuit, CircuitScope, |scope: &CircuitScope<'_>| Scope::Circuit(scope.circuit));
run!(check_rcd, Rcd, RcdScope, |scope: &RcdScope<'_>| Scope::Rcd(scope.rcd));
run!(check_supply, Supply, SupplyScope, |_| Scope::Supply);
run!(check_whole, Setup, SetupScope, |_| Scope::Setup);

/// Looks for lost volts alone: what one head more on shared leads takes from another.
pub(crate) fn check_drop(scope: &HeadScope<'_>, found: &mut Found) {
    let Some(rule) = rule(DROP_HIGH) else { return };
    for check in rule.checks {
        if let Check::Head(run) = check {
            run(scope, &mut Report::new(rule, Some(scope.context.setup), Scope::Head(scope.head), found));
        }
    }
}

impl<'a> Context<'a> {
    /// Runs every check on one setup, of what is `wanted`.
    pub(super) fn check_setup(
        self,
        setup: &'a SetupUse,
        wanted: &'a dyn Fn(Scope) -> bool,
        found: &mut Found,
    ) {
        let (context, heads) = (self, &setup.heads);
        for (head, used) in heads.iter() {
            if let Some(used) = used
                && used.socket.is_some()
                && wanted(Scope::Head(head))
            {
                check_head(&HeadScope { context, head, used }, found);
            }
        }
        for (socket, used) in setup.sockets.iter() {
            if used.is_used() && wanted(Scope::Socket(socket)) {
                check_socket(&SocketScope { context, socket, used }, found);
            }
        }
        for (circuit, used) in setup.circuits.iter().filter(|(at, _)| wanted(Scope::Circuit(*at))) {
            check_circuit(&CircuitScope { context, heads, circuit, used }, found);
        }
        for (rcd, used) in setup.rcds.iter().filter(|(at, _)| wanted(Scope::Rcd(*at))) {
            check_rcd(&RcdScope::new(context, heads, (rcd, used), &[]), found);
        }
        if wanted(Scope::Supply) {
            for (supply, used) in setup.supplies.iter() {
                check_supply(&SupplyScope { context, heads, supply, used }, found);
            }
        }
        if wanted(Scope::Setup) {
            check_whole(&SetupScope { context, used: setup, wanted }, found);
        }
    }
}

/// Each socket of a plate finds the plate over, and each circuit of a shared neutral finds that one over;
/// one finding is enough.
pub(crate) fn once_each(found: &mut Vec<Finding>) {
    let shared = |finding: &Finding| [PLATE_OVER, NEUTRAL_OVER].contains(&finding.rule.id);
    let mut told = HashSet::new();
    found
        .retain(|finding| !shared(finding) || told.insert((finding.setup, finding.subject, finding.rule.id)));
}
