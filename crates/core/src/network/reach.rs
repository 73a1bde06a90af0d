//! All that lies upstream of a socket: for certain where it is on every circuit that the socket may
//! be on, perhaps where it is on some.

use crate::network::{CircuitAt, RcdAt, SocketAt, SupplyAt};
use crate::plan::Line;

/// One thing upstream.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Part<T> {
    /// The thing.
    pub what: T,
    /// Whether it is upstream whichever circuit the socket is on.
    pub certain: bool,
}

/// What lies upstream of a set of circuits that a socket may be on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reach {
    /// The circuits that the socket may be on; one where it is traced.
    pub candidates: Vec<CircuitAt>,
    /// Circuits upstream, the candidates themselves first.
    pub circuits: Vec<Part<CircuitAt>>,
    /// RCDs upstream, nearest first along each path.
    pub rcds: Vec<Part<RcdAt>>,
    /// Supplies, with the lines drawn from.
    pub supplies: Vec<Part<(SupplyAt, Line)>>,
    /// Sockets that feed distribution boxes on the way.
    pub sockets: Vec<Part<SocketAt>>,
}

impl Reach {
    /// The supply, where it is certain.
    #[must_use]
    pub fn supply(&self) -> Option<SupplyAt> {
        let (first, rest) = self.supplies.split_first()?;
        rest.iter().all(|part| part.what.0 == first.what.0).then_some(first.what.0)
    }

    /// RCDs that are upstream for certain.
    pub fn certain_rcds(&self) -> impl Iterator<Item = RcdAt> {
        self.rcds.iter().filter(|part| part.certain).map(|part| part.what)
    }

    /// What lies upstream of any of several paths: certain where it is certain on each.
    pub(crate) fn of_any(paths: &[&Self]) -> Self {
        Self {
            candidates: Vec::new(),
            circuits: join(paths, |path| &path.circuits),
            rcds: join(paths, |path| &path.rcds),
            supplies: join(paths, |path| &path.supplies),
            sockets: join(paths, |path| &path.sockets),
        }
    }

    /// Adds what lies further upstream.
    pub(crate) fn extend(&mut self, upstream: &Self) {
        extend(&mut self.circuits, &upstream.circuits);
        extend(&mut self.rcds, &upstream.rcds);
        extend(&mut self.supplies, &upstream.supplies);
        extend(&mut self.sockets, &upstream.sockets);
    }
}

fn join<T: Copy + PartialEq + std::hash::Hash + Eq>(
    paths: &[&Reach],
    parts: fn(&Reach) -> &Vec<Part<T>>,
) -> Vec<Part<T>> {
    if let [only] = paths {
        return parts(only).clone();
    }
    let mut seen: indexmap::IndexMap<T, usize> = indexmap::IndexMap::new();
    for path in paths {
        for part in parts(path) {
            *seen.entry(part.what).or_default() += usize::from(part.certain);
        }
    }
    seen.into_iter().map(|(what, count)| Part { what, certain: count == paths.len() }).collect()
}

fn extend<T: Copy + PartialEq>(parts: &mut Vec<Part<T>>, upstream: &[Part<T>]) {
    for part in upstream {
        if !parts.iter().any(|have| have.what == part.what) {
            parts.push(*part);
        }
    }
}
