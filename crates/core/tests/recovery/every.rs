//! Every way to light again what a trip left dark, each judged by whole assessments; nothing of the solver is in it.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use ampwalk_core::assess::{Assessment, Finding, assess};
use ampwalk_core::diagnose::{Diagnosis, Lost, Relight, Trip};
use ampwalk_core::id::HeadId;
use ampwalk_core::network::{CableAt, HeadAt, Link, Network, PlacedHead, RcdAt, SocketAt, lead_needed};
use ampwalk_core::plan::{Plan, Reset, TestOutcome};
use ampwalk_core::rule::Severity;
use ampwalk_core::unit::{Leakage, MilliAmps};

/// Importance that stays dark, moves, chances of a trip in millionths, centimetres of lead.
pub type Cost = (i64, i64, i64, i64);

/// A place for each head, or none.
pub type Places = Vec<Option<PlacedHead>>;

/// All that there is to try.
pub struct Every<'a> {
    network: &'a Network,
    assessment: &'a Assessment,
    trip: &'a Trip,
    lit: Vec<HeadAt>,
    suspects: Vec<HeadAt>,
    /// Heads to light, in the order in which they are struck.
    heads: Vec<HeadAt>,
    options: Vec<Vec<PlacedHead>>,
    /// Heads that wait to cool for their own socket, which is live.
    waiting: Vec<HeadAt>,
}

impl<'a> Every<'a> {
    pub fn of(network: &'a Network, assessment: &'a Assessment, trip: &'a Trip, told: &Diagnosis) -> Self {
        let lit: Vec<HeadAt> = told.lit.iter().chain(&told.unsure).copied().collect();
        let suspects: Vec<HeadAt> = told.suspects().collect();
        let order = &assessment.setups[trip.setup].strike_order;
        let mut heads: Vec<HeadAt> =
            order.iter().copied().filter(|head| !lit.contains(head) && !suspects.contains(head)).collect();
        // The cold ones first; of those, and of the hot ones, falling strike, then importance.
        heads.sort_by(|a, b| {
            let key = |head: HeadAt| {
                let node = &network.heads[head];
                (node.restrike.value.0, -node.strike.value.high.0, -f64::from(node.importance))
            };
            key(*a).partial_cmp(&key(*b)).unwrap().then(a.cmp(b))
        });
        let mut every = Self {
            network,
            assessment,
            trip,
            lit,
            suspects,
            heads,
            options: Vec::new(),
            waiting: Vec::new(),
        };
        let waits = told.later.iter().filter(|later| later.to.is_none()).map(|later| later.head);
        every.waiting = waits.filter(|head| every.is_live(every.home(*head).socket)).collect();
        every.options = every.heads.iter().map(|head| every.options_of(*head)).collect();
        every
    }

    fn home(&self, head: HeadAt) -> &PlacedHead {
        self.network.setups[self.trip.setup].placed[head].as_ref().unwrap()
    }

    /// RCDs before a socket, and its circuit: everything is traced.
    fn chain(&self, socket: SocketAt) -> Vec<RcdAt> {
        let circuit = self.circuit(socket);
        let plan = &self.network.plan.circuits[circuit.as_str()];
        let mut next = plan.rcd.clone();
        let mut chain = Vec::new();
        while let Some(id) = next.take() {
            chain.push(self.network.rcd(id.as_str()).unwrap());
            next.clone_from(&self.network.plan.rcds[id.as_str()].behind);
        }
        chain
    }

    fn circuit(&self, socket: SocketAt) -> String {
        let plan = &self.network.plan.sockets[self.network.socket_id(socket)];
        plan.circuit.as_ref().unwrap().to_string()
    }

    /// Whether current comes to a socket: nothing that dropped is upstream, or it was reset.
    pub fn is_live(&self, socket: SocketAt) -> bool {
        let is_dead = |lost: &Lost| match lost {
            Lost::Rcd(rcd) => self.chain(socket).contains(rcd),
            Lost::Circuit(circuit) => self.network.circuit_id(*circuit).as_str() == self.circuit(socket),
            Lost::Supply(_) | Lost::Meter(_) => true,
        };
        self.trip.reset == Reset::Held || !self.trip.lost.iter().any(is_dead)
    }

    /// Its own socket as it was, and every other live and tested one by one lead that reaches or two.
    fn options_of(&self, head: HeadAt) -> Vec<PlacedHead> {
        let (network, home) = (self.network, self.home(head));
        let is_pinned = network.plan.heads[network.head_id(head)].pinned;
        let mut options = Vec::new();
        for (socket, node) in network.sockets.iter() {
            if !self.is_live(socket) || node.test != TestOutcome::Ok {
                continue;
            }
            if socket == home.socket {
                options.push(home.clone());
            } else if !is_pinned {
                let needed =
                    lead_needed(&node.place, &network.heads[head].place, None, network.heads[head].tail);
                let cables: Vec<CableAt> = network.cables.indices().collect();
                let one = cables.iter().map(|cable| vec![*cable]);
                let two = cables.iter().flat_map(|a| cables.iter().map(|b| vec![*a, *b]));
                let metres =
                    |leads: &[CableAt]| leads.iter().map(|at| network.cables[*at].length.0).sum::<f64>();
                let reach = one.chain(two).filter(|leads| metres(leads) >= needed.unwrap().0);
                options.extend(reach.map(|leads| {
                    let links = leads.into_iter().map(Link::Cable).collect();
                    PlacedHead { socket, links }
                }));
            }
        }
        options
    }

    /// What an answer says, head by head.
    pub fn found<'b>(&self, relit: impl Iterator<Item = &'b Relight>) -> Places {
        let mut places: HashMap<HeadAt, PlacedHead> = relit
            .map(|relight| (relight.head, PlacedHead { socket: relight.to, links: relight.links.clone() }))
            .collect();
        let waits = |head: &HeadAt| self.waiting.contains(head).then(|| self.home(*head).clone());
        self.heads.iter().map(|head| places.remove(head).or_else(|| waits(head))).collect()
    }

    fn id(&self, head: HeadAt) -> HeadId {
        self.network.head_id(head).clone()
    }

    /// The plan with what burns and these on, what burns striking no more.
    fn burning(&self, places: &Places) -> Plan {
        let mut plan = (*self.network.plan).clone();
        for head in &self.lit {
            let used = self.assessment.setups[self.trip.setup].heads[*head].as_ref().unwrap();
            let head = plan.heads.get_mut(&self.id(*head)).unwrap();
            (head.strike, head.start) = (Some(Leakage::ZERO), Some(used.amps));
        }
        let setup = plan.setups.get_mut(self.network.setup_id(self.trip.setup)).unwrap();
        setup.on = self.lit.iter().map(|head| self.id(*head)).collect();
        for head in &self.suspects {
            setup.sockets.insert(self.id(*head), None);
        }
        for (head, place) in self.heads.iter().zip(places) {
            let Some(place) = place else { continue };
            setup.on.push(self.id(*head));
            setup.sockets.insert(self.id(*head), Some(self.placement(place)));
        }
        setup.strike = setup.on.clone();
        plan
    }

    fn placement(&self, place: &PlacedHead) -> ampwalk_core::plan::Placement {
        let lead = |link: &Link| match link {
            Link::Cable(cable) => self.network.cables[*cable].id.as_str().into(),
            Link::Block(block) => self.network.blocks[*block].id.as_str().into(),
        };
        ampwalk_core::plan::Placement {
            socket: self.network.socket_id(place.socket).clone(),
            leads: place.links.iter().map(lead).collect(),
        }
    }

    fn is_move(&self, at: usize, place: &PlacedHead) -> bool {
        place.socket != self.home(self.heads[at]).socket
    }

    fn written(&self, places: &Places) -> Plan {
        let mut plan = (*self.network.plan).clone();
        let setup = plan.setups.get_mut(self.network.setup_id(self.trip.setup)).unwrap();
        for (at, place) in places.iter().enumerate() {
            if let Some(place) = place.as_ref().filter(|place| self.is_move(at, place)) {
                setup.sockets.insert(self.id(self.heads[at]), Some(self.placement(place)));
            }
        }
        plan
    }

    /// What is found, each with by how much.
    fn found_in(&self, assessment: &Assessment, is: impl Fn(&Finding) -> bool) -> BTreeMap<String, f64> {
        let found = assessment.findings_in(self.trip.setup).filter(|finding| is(finding));
        let over = |finding: &Finding| finding.crossing.map_or(0.0, |crossing| crossing.value);
        found.map(|finding| (format!("{} {:?}", finding.rule.id, finding.subject), over(finding))).collect()
    }

    /// What a way breaks; `None`: nothing.
    pub fn broken(&self, places: &Places) -> Option<String> {
        let is_dark =
            |finding: &Finding| finding.severity >= Severity::Dark && finding.rule.id != "head-unplaced";
        let is_hard = |finding: &Finding| {
            is_dark(finding) || ["drop-high", "chain-long", "breaker-may-over"].contains(&finding.rule.id)
        };
        if self.takes_too_many_leads(places) {
            return Some("leads".to_owned());
        }
        let none = vec![None; places.len()];
        let before = self.found_in(&assess(&Network::of(Arc::new(self.burning(&none)))), is_hard);
        // A risk that was there before the trip may be there again, and a head is still plugged in where it was.
        let was_there = |finding: &Finding| !is_dark(finding) || finding.rule.id == "socket-full";
        let risks = self.found_in(self.assessment, |finding| is_hard(finding) && was_there(finding));
        let network = Network::of(Arc::new(self.burning(places)));
        let now = assess(&network);
        let new = newly(self.found_in(&now, is_hard), &before.into_iter().chain(risks).collect());
        if new.is_some() {
            return new;
        }
        for place in places.iter().flatten() {
            let chain = self.chain(place.socket);
            for rcd in &chain {
                let used = &now.setups[self.trip.setup].rcds[*rcd];
                if used.odds > 0.5 + 1e-9 {
                    return Some(format!("odds of {}", self.network.rcd_id(*rcd)));
                }
            }
            let was_rcd = self.trip.lost.iter().any(|lost| matches!(lost, Lost::Rcd(_)));
            let proves = |rcd: &RcdAt| {
                let room = &self.assessment.setups[self.trip.setup].rcds[*rcd].room;
                room.tested && !room.absent && self.network.rcds[*rcd].rated.value <= MilliAmps(30.0)
            };
            if was_rcd && !chain.iter().any(proves) {
                return Some("no tested RCD".to_owned());
            }
        }
        let before = self.found_in(self.assessment, is_dark);
        let after = assess(&Network::of(Arc::new(self.written(places))));
        newly(self.found_in(&after, is_dark), &before).map(|new| format!("as written: {new}"))
    }

    /// Whether more leads are wanted from the truck than it has left: own ones come along, no other is taken.
    fn takes_too_many_leads(&self, places: &Places) -> bool {
        let pieces =
            |links: &[Link], cable: CableAt| links.iter().filter(|link| **link == Link::Cable(cable)).count();
        self.network.cables.iter().any(|(cable, node)| {
            let Some(count) = node.count else { return false };
            let setup = &self.network.setups[self.trip.setup];
            let taken: usize = setup.on.iter().map(|head| pieces(&self.home(*head).links, cable)).sum();
            let more: usize = self
                .heads
                .iter()
                .zip(places)
                .filter_map(|(head, place)| Some((head, place.as_ref()?)))
                .map(|(head, place)| {
                    pieces(&place.links, cable).saturating_sub(pieces(&self.home(*head).links, cable))
                })
                .sum();
            more > 0 && taken + more > count as usize
        })
    }

    #[expect(clippy::cast_possible_truncation, reason = "small numbers")]
    pub fn cost(&self, places: &Places) -> Cost {
        let (dark, moves) = self.first_levels(places);
        let now = assess(&Network::of(Arc::new(self.burning(places))));
        let odds: f64 = now.setups[self.trip.setup].rcds.iter().map(|(_, used)| used.odds).sum();
        (dark, moves, (odds * 1e6).round() as i64, self.centimetres(places))
    }

    #[expect(clippy::cast_possible_truncation, reason = "small numbers")]
    fn centimetres(&self, places: &Places) -> i64 {
        let metres = places.iter().flatten().flat_map(|place| &place.links).map(|link| match link {
            Link::Cable(cable) => self.network.cables[*cable].length.0,
            Link::Block(_) => 0.0,
        });
        (metres.sum::<f64>() * 100.0).round() as i64
    }

    fn first_levels(&self, places: &[Option<PlacedHead>]) -> (i64, i64) {
        let dark = self.heads.iter().zip(places).filter(|(_, place)| place.is_none());
        let dark = dark.map(|(head, _)| i64::from(self.network.heads[*head].importance)).sum();
        let moved = places
            .iter()
            .enumerate()
            .filter(|(at, place)| place.as_ref().is_some_and(|p| self.is_move(*at, p)));
        (dark, i64::try_from(moved.count()).unwrap())
    }

    /// A way that breaks nothing and costs less; `None`: there is none.
    pub fn better_than(&self, cost: Cost) -> Option<(Cost, Places)> {
        let mut places = vec![None; self.heads.len()];
        self.go(0, &mut places, cost)
    }

    fn go(&self, at: usize, places: &mut Places, cost: Cost) -> Option<(Cost, Places)> {
        // With all the rest lit where they were, these levels are no less.
        let so_far = self.first_levels(&places[..at]);
        if so_far.0 > cost.0 || so_far.0 == cost.0 && so_far.1 > cost.1 {
            return None;
        }
        if at == places.len() {
            return self.is_better(places, cost).then(|| (self.cost(places), places.clone()));
        }
        for option in std::iter::once(None).chain(self.options[at].iter().cloned().map(Some)) {
            places[at] = option;
            let found = self.go(at + 1, places, cost);
            if found.is_some() {
                return found;
            }
        }
        places[at] = None;
        None
    }

    fn is_better(&self, places: &Places, cost: Cost) -> bool {
        let is_alike = self.first_levels(places) == (cost.0, cost.1);
        // Odds are rounded up to a millionth each.
        if is_alike && cost.2 <= 5 && self.centimetres(places) >= cost.3 {
            return false;
        }
        let own = self.cost(places);
        let is_less = (own.0, own.1, own.2 + 5) < (cost.0, cost.1, cost.2)
            || is_alike && (own.2 - cost.2).abs() <= 5 && own.3 < cost.3;
        is_less && self.broken(places).is_none()
    }
}

/// What was not there before, or less of it.
fn newly(now: BTreeMap<String, f64>, before: &BTreeMap<String, f64>) -> Option<String> {
    let is_new = |(what, over): &(String, f64)| before.get(what).is_none_or(|before| *over > before + 1e-9);
    now.into_iter().find(is_new).map(|(what, _)| what)
}
