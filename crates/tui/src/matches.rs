//! What a typed line matches: commands, heads and sockets, the best match first.

use ampwalk_core::network::{HeadAt, Network, SetupAt, SocketAt};
use ampwalk_core::order::Order as _;
use nucleo_matcher::pattern::{CaseMatching, Normalization, Pattern};
use nucleo_matcher::{Config, Matcher, Utf32Str};

use crate::command::{COMMANDS, Command, Context};
use crate::floors::room_name;
use crate::words::head_name;

/// A place that was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Found {
    /// A head.
    Head(HeadAt),
    /// A socket.
    Socket(SocketAt),
}

/// The commands that a line matches by title or id, all of them where it is empty; those that work in
/// `context` first.
#[must_use]
pub fn commands(line: &str, context: Context) -> Vec<&'static Command> {
    let mut found = ranked(line, COMMANDS.iter(), |command| format!("{} {}", command.title, command.id));
    found.order_by_key(|command| !command.when.contains(&context));
    found
}

/// The heads and sockets that a line matches by id, name, class or room: those that are called
/// exactly so first, heads before sockets.
#[must_use]
pub fn places(network: &Network, setup: Option<SetupAt>, line: &str) -> Vec<Found> {
    let is_on = |head: &HeadAt| setup.is_none_or(|setup| network.setups[setup].is_on[*head]);
    let heads = network.heads.indices().filter(is_on).map(Found::Head);
    let all = heads.chain(network.sockets.indices().map(Found::Socket));
    let mut found = ranked(line, all, |found| place_words(network, *found));
    let line = line.trim();
    found.sort_by_key(|found| !id_of(network, *found).eq_ignore_ascii_case(line));
    found
}

fn id_of(network: &Network, found: Found) -> &str {
    match found {
        Found::Head(head) => network.head_id(head).as_str(),
        Found::Socket(socket) => network.socket_id(socket).as_str(),
    }
}

/// A place in words: id, name and where it is.
#[must_use]
pub fn place_words(network: &Network, found: Found) -> String {
    match found {
        Found::Head(head) => format!("{} {}", network.head_id(head), head_name(network, head)),
        Found::Socket(socket) => {
            let room = room_name(network, network.sockets[socket].place.room);
            format!("{} {} in {room}", network.socket_id(socket), network.region.words.socket)
        }
    }
}

fn ranked<T>(line: &str, all: impl Iterator<Item = T>, words: impl Fn(&T) -> String) -> Vec<T> {
    let pattern = Pattern::parse(line, CaseMatching::Ignore, Normalization::Smart);
    let mut matcher = Matcher::new(Config::DEFAULT);
    let mut letters = Vec::new();
    let mut scored: Vec<(u32, T)> = all
        .filter_map(|item| {
            let words = words(&item);
            let score = pattern.score(Utf32Str::new(&words, &mut letters), &mut matcher)?;
            Some((score, item))
        })
        .collect();
    scored.sort_by_key(|(score, _)| std::cmp::Reverse(*score));
    scored.into_iter().map(|(_, item)| item).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_few_letters_find_a_command_and_none_finds_them_all() {
        assert_eq!(commands("unpl", Context::Plot)[0].id, "unplug");
        assert_eq!(commands("nxt setup", Context::Plot)[0].id, "next-setup");
        let all = commands("", Context::Plot);
        assert_eq!(all.len(), COMMANDS.len());
        assert!(all.is_sorted_by_key(|command| !command.when.contains(&Context::Plot)));
        assert!(commands("qqqq", Context::Plot).is_empty());
    }
}
