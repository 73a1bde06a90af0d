//! Moves that were worked out: who goes where, who stays dark and why, what it comes to.

use ampwalk_core::assess::Assessment;
use ampwalk_core::network::{HeadAt, Network, SetupAt};
use ampwalk_core::plan::{SupplyKind, TestOutcome};
use ampwalk_core::rule::words::{list as listed, number};
use ampwalk_core::solve::Answer;
use ampwalk_core::solve::plan::{Assignment, Move, WhyNot};
use ampwalk_core::unit::{Metres, MilliAmps};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use super::Hits;
use super::layer::{frame, wrap_hanging};
use super::phrase::{head_name, paragraph, setup_name, span};
use crate::model::Model;
use crate::paint;
use crate::placing::{Ending, Fate, Moves, Placed, Wish};
use crate::text::count;
use crate::theme::{Role, Theme};
use crate::widget::list::{self, Stop};
use crate::widget::text::{Align, fit, pad, visible, width};
use crate::words;

/// What stands where moves are decided on.
pub(crate) const SAFETY: &str = "It plans and certifies nothing: test before you plug in.";
/// Rows of a body from which everything has its place.
const ROOMY: u16 = 17;
/// Columns from which heads have their names.
const NAMES: usize = 56;
/// Columns of a head's id.
const ID: usize = 4;
/// Heads that the order of striking names.
const STRUCK: usize = 8;

/// An entry of the list.
enum Entry<'a> {
    Move(&'a Move),
    Heading(String),
    Dark(&'a WhyNot),
    Told(&'static str),
}

fn entries(placed: &Placed) -> Vec<Entry<'_>> {
    let assignment = &placed.assignment;
    let dark = &assignment.why_not;
    let mut entries = Vec::new();
    if !dark.is_empty() {
        let state = if placed.request.wish == Wish::Rest { "STAYS DARK" } else { "WOULD BE DARK" };
        entries.push(Entry::Heading(format!("{state}  {}", count(dark.len(), "head"))));
        entries.extend(dark.iter().map(Entry::Dark));
        let what = if placed.request.wish == Wish::Rest { "PUT ON" } else { "MOVES" };
        entries.push(Entry::Heading(format!("{what}  {}", count(assignment.moves.len(), "head"))));
    }
    entries.extend(assignment.moves.iter().map(Entry::Move));
    if assignment.moves.is_empty() {
        entries.push(Entry::Told("none: the plan stays as it is"));
    }
    entries
}

/// How many rows the cursor can be on.
pub(super) fn rows(moves: &Moves) -> usize {
    moves.placed.assignment.moves.len() + moves.placed.assignment.why_not.len()
}

/// Draws it.
pub(super) fn draw(model: &Model, moves: &Moves, body: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let theme = model.theme;
    let network = model.document.network();
    let inner = frame(model, &title(moves), body, buffer, hits);
    let columns = usize::from(inner.width).saturating_sub(list::GUTTER);
    let is_roomy = body.height >= ROOMY;
    let top = top(model, moves, columns, is_roomy);
    let foot = foot(model, moves, columns, is_roomy);
    // What is to be minded stays, however low the screen.
    let room = u16::try_from(foot.len()).unwrap_or(u16::MAX).min((inner.height / 3).max(1));
    let (rest, end) = paint::split_bottom(inner, room);
    for (at, line) in foot.into_iter().enumerate() {
        let spans = std::iter::once(Span::raw(" ")).chain(line.spans).collect();
        paint::line(end, u16::try_from(at).unwrap_or(u16::MAX), spans, buffer);
    }
    let area = list::draw_ends(top, Vec::new(), theme, rest, buffer);
    let entries = entries(&moves.placed);
    let is_row = |entry: &Entry<'_>| matches!(entry, Entry::Move(_) | Entry::Dark(_));
    let stops: Vec<Stop> =
        entries.iter().map(|entry| if is_row(entry) { Stop::Row } else { Stop::Between }).collect();
    let widths = Widths::of(network, &moves.placed.assignment, columns);
    let lines = |at: usize, _, columns: usize| match &entries[at] {
        Entry::Move(one) => vec![fit(move_line(model, one, &widths), columns)],
        Entry::Heading(words) => vec![Line::from(span(words.clone(), Role::Heading, theme))],
        Entry::Dark(why) => dark_lines(network, why, columns, theme),
        Entry::Told(words) => paragraph(words, 2, columns, Role::Quiet, theme),
    };
    hits.add_rows(list::draw(&stops, moves.row, lines, theme, area, buffer));
}

fn title(moves: &Moves) -> String {
    let found = moves.placed.assignment.moves.len();
    let dark = moves.placed.assignment.unplaced.len();
    let is_dark = if dark > 0 { format!(", {} dark", stay(dark)) } else { String::new() };
    match (moves.fate, moves.placed.request.wish) {
        (Fate::Taken, _) => format!("{} put on, none moved{is_dark}", count(found, "head")),
        (Fate::Offered, wish) => {
            let what = if wish == Wish::Afresh { "All afresh" } else { "Few moves" };
            let is_new = moves.placed.assignment.moves.iter().all(|moved| moved.from.is_none());
            let verb = if is_new { "be put on" } else { "move" };
            let is_dark = if dark > 0 { format!(", {dark} would be dark") } else { String::new() };
            format!("{what}: {} would {verb}{is_dark}", count(found, "head"))
        }
    }
}

fn stay(heads: usize) -> String {
    if heads == 1 { "1 stays".to_owned() } else { format!("{heads} stay") }
}

/// What it comes to, how sure that is, and the verdicts.
fn top(model: &Model, moves: &Moves, columns: usize, is_roomy: bool) -> Vec<Line<'static>> {
    let (theme, network) = (model.theme, model.document.network());
    let placed = &moves.placed;
    let role = if placed.assignment.answer == Answer::Optimal { Role::Good } else { Role::Risk };
    let mut lines = Vec::new();
    if let Some(setup) = model.setup {
        let both = verdicts(model, moves, setup);
        // The line over the screen says the verdict of now already.
        let spare = if is_roomy { 0 } else { both.len() - 1 };
        lines.extend(both.into_iter().skip(spare));
    }
    if is_roomy {
        let others = network.setups.indices().filter(|at| Some(*at) != model.setup);
        let others: Vec<String> = others
            .map(|at| {
                let verdict = words::verdict(placed.assignment.assessment.verdict_in(at));
                format!("{verdict} in {}", setup_name(network, at))
            })
            .collect();
        if !others.is_empty() {
            let when = if moves.fate == Fate::Taken { "now" } else { "then" };
            let told = format!("{when}  {}", others.join("; "));
            lines.extend(
                wrap_hanging(&told, columns)
                    .into_iter()
                    .map(|line| Line::from(span(line, Role::Quiet, theme))),
            );
        }
        lines.extend(paragraph(&sum(network, &placed.assignment), 0, columns, Role::Text, theme));
    }
    lines.extend(paragraph(&proof(placed), 0, columns, role, theme));
    lines.into_iter().map(|line| fit(line, columns)).collect()
}

/// The verdict now and then, of the setup that is looked at.
fn verdicts(model: &Model, moves: &Moves, setup: SetupAt) -> Vec<Line<'static>> {
    let (network, theme) = (model.document.network(), model.theme);
    let after = &moves.placed.assignment;
    let told = |network: &Network, assessment: &Assessment| {
        let words = words::verdict_line(network, assessment, Some(setup));
        span(words, words::verdict_role(assessment.verdict_in(setup)), theme)
    };
    let then = told(&after.network, &after.assessment);
    if moves.fate == Fate::Taken {
        return vec![Line::from(vec![span("now   ", Role::Quiet, theme), then])];
    }
    let now = told(network, model.document.assessment());
    vec![
        Line::from(vec![span("now   ", Role::Quiet, theme), now]),
        Line::from(vec![span("then  ", Role::Quiet, theme), then]),
    ]
}

/// What it comes to: leads, generators, the chance of a trip.
fn sum(network: &Network, assignment: &Assignment) -> String {
    let objective = &assignment.objective;
    let mut parts = vec![match assignment.unplaced.len() {
        0 => "all lit".to_owned(),
        dark => format!("{dark} dark"),
    }];
    parts.push(format!(
        "{} of {}",
        words::length(network, Metres(objective.lead_m)),
        network.region.words.lead
    ));
    let untested = network.sockets.iter().filter(|(_, socket)| socket.test == TestOutcome::Untested).count();
    if untested > 0 {
        parts.push(format!("{} not tested, so left out", count(untested, &network.region.words.socket)));
    }
    if objective.on_generator > 0 {
        parts.push(format!(
            "{} in use",
            count(usize::try_from(objective.on_generator).unwrap_or(0), "generator")
        ));
    }
    if objective.odds > 0.0 {
        parts.push(format!("chances of a trip while striking add up to {}", number(objective.odds)));
    }
    parts.join(", ")
}

/// How sure the answer is, in words.
pub(crate) fn proof(placed: &Placed) -> String {
    let assignment = &placed.assignment;
    if assignment.answer == Answer::Optimal {
        return match placed.request.wish {
            Wish::Rest => "PROVEN: none is better with the others where they are.".to_owned(),
            Wish::Few => "PROVEN: none lights more, moves fewer or takes less lead.".to_owned(),
            Wish::Afresh | Wish::OnTheHouse | Wish::Sheet { .. } | Wish::HandOut => {
                "PROVEN: none lights more or takes less lead.".to_owned()
            }
        };
    }
    let early = if placed.ending == Ending::Stopped { ", stopped early" } else { "" };
    let (proven, open) = levels(placed);
    let proven =
        if proven.is_empty() { String::new() } else { format!(" Proven: none {}.", proven.join(", ")) };
    format!("NOT PROVEN best{early}; it breaks no limit.{proven}{}", open.unwrap_or_default())
}

/// What is proven, level by level, and how far the first other level may be from the best.
fn levels(placed: &Placed) -> (Vec<&'static str>, Option<String>) {
    let (network, found, floor) = (&placed.before, &placed.assignment.objective, &placed.assignment.bound);
    let has_generator = network.supplies.iter().any(|(_, supply)| supply.kind == SupplyKind::Generator);
    // What nobody asked about is not told.
    let is_told = |words: &str| match words {
        "uses fewer generators" => has_generator,
        "moves fewer" => placed.request.wish == Wish::Few,
        "trips less" => found.odds > 0.0,
        _ => true,
    };
    #[expect(clippy::cast_precision_loss, reason = "counts of heads and generators")]
    let levels = [
        ("lights more", found.dark_importance as f64, floor.dark_importance as f64),
        ("uses fewer generators", found.on_generator as f64, floor.on_generator as f64),
        ("trips less", found.odds, floor.odds),
        ("moves fewer", found.moves as f64, floor.moves as f64),
        ("takes less lead", found.lead_m, floor.lead_m),
    ];
    let mut proven = Vec::new();
    for (words, value, bound) in levels {
        if value <= bound + 1e-9 {
            proven.extend(Some(words).filter(|words| is_told(words)));
            continue;
        }
        let lead = words == "takes less lead" && bound > 0.0;
        let open = lead.then(|| {
            let (value, bound) =
                (words::length(network, Metres(value)), words::length(network, Metres(bound)));
            format!(" Lead {value}, none under {bound}.")
        });
        return (proven, open);
    }
    // All levels at their floors, and still not optimal: something was left out of the search.
    (Vec::new(), None)
}

/// The order of striking, then what is to be minded.
fn foot(model: &Model, moves: &Moves, columns: usize, is_roomy: bool) -> Vec<Line<'static>> {
    let theme = model.theme;
    let mut lines = vec![Line::from(span("─".repeat(columns), Role::Frame, theme))];
    if !is_roomy {
        return paragraph(SAFETY, 0, columns, Role::Risk, theme);
    }
    if let Some(order) = model.setup.and_then(|setup| striking(&moves.placed, setup)) {
        lines.extend(paragraph(&order, 0, columns, Role::Text, theme));
    }
    let decide = match moves.fate {
        Fate::Offered if !moves.placed.assignment.moves.is_empty() => {
            "Nothing is changed yet: enter takes them, esc leaves all as it was. "
        }
        Fate::Offered => "Nothing is changed: esc goes back. ",
        Fate::Taken => "esc goes back, then u takes it back. m works out what moving others would do. ",
    };
    let told = format!("{decide}{SAFETY}");
    lines.extend(paragraph(&told, 0, columns, Role::Risk, theme));
    lines
}

/// The heads that strike, in the order in which they are to be struck; `None` where none does.
fn striking(placed: &Placed, setup: SetupAt) -> Option<String> {
    let network = &placed.before;
    let strikes = |head: &&HeadAt| network.heads[**head].strike.value.high > MilliAmps::ZERO;
    let order = &placed.assignment.assessment.setups[setup].strike_order;
    let heads: Vec<String> =
        order.iter().filter(strikes).map(|head| visible(network.head_id(*head).as_str())).collect();
    if heads.is_empty() {
        return None;
    }
    let more =
        if heads.len() > STRUCK { format!(" and {} more", heads.len() - STRUCK) } else { String::new() };
    let shown = &heads[..heads.len().min(STRUCK)];
    Some(format!("Strike {}{more}, in this order; 4 shows it step by step.", shown.join(", ")))
}

/// Columns of a move's parts.
struct Widths {
    id: usize,
    name: usize,
    from: usize,
    to: usize,
}

impl Widths {
    fn of(network: &Network, assignment: &Assignment, columns: usize) -> Self {
        let most = |words: &dyn Fn(&Move) -> String, cap: usize| {
            assignment.moves.iter().map(|moved| width(&words(moved))).max().unwrap_or(0).min(cap)
        };
        Self {
            id: most(&|moved| network.head_id(moved.head).to_string(), 8).max(ID),
            // Where a lead goes is worth more than what the head is called.
            name: if columns < NAMES { 0 } else { most(&|moved| head_name(network, moved.head), 22) + 1 },
            from: most(&|moved| from_words(network, moved), 12),
            to: most(&|moved| to_words(network, moved), 8),
        }
    }
}

fn from_words(network: &Network, moved: &Move) -> String {
    match moved.from {
        Some(_) if moved.from == moved.to => "stays".to_owned(),
        Some(from) => network.socket_id(from).to_string(),
        None => "not placed".to_owned(),
    }
}

fn to_words(network: &Network, moved: &Move) -> String {
    moved.to.map_or_else(|| "UNPLUG".to_owned(), |to| network.socket_id(to).to_string())
}

fn lead_words(moved: &Move) -> String {
    let Some(placement) = &moved.placement else { return String::new() };
    let leads: Vec<String> = placement.leads.iter().map(|lead| visible(lead.as_str())).collect();
    if leads.is_empty() { "by its own plug".to_owned() } else { format!("by {}", leads.join(" + ")) }
}

/// In which setup a move is, where it is not simply in the one that is looked at.
fn extent_words(network: &Network, moved: &Move, shown: Option<SetupAt>) -> String {
    if let Some(only) = moved.setup {
        return format!("in {} only", setup_name(network, only));
    }
    if shown.is_none_or(|at| network.setups[at].is_on[moved.head]) {
        return String::new();
    }
    let on = network.setups.indices().filter(|at| network.setups[*at].is_on[moved.head]);
    format!("for {}", listed(on.map(|at| setup_name(network, at))))
}

/// `C    Sun window    G1 → G5   by a20`
fn move_line(model: &Model, moved: &Move, widths: &Widths) -> Line<'static> {
    let (network, theme) = (model.document.network(), model.theme);
    let padded = |words: &str, cells: usize| pad(&visible(words), cells, Align::Left);
    let to_role = if moved.to.is_some() { Role::Heading } else { Role::Dark };
    Line::from(vec![
        span(padded(network.head_id(moved.head).as_str(), widths.id), Role::Heading, theme),
        span(format!(" {}", padded(&head_name(network, moved.head), widths.name)), Role::Quiet, theme),
        span(padded(&from_words(network, moved), widths.from), Role::Text, theme),
        Span::raw(" → "),
        span(padded(&to_words(network, moved), widths.to), to_role, theme),
        span(
            format!("  {}  {}", lead_words(moved), extent_words(network, moved, model.setup)),
            Role::Text,
            theme,
        ),
    ])
}

/// Why a head stays dark, and what to do.
fn dark_lines(network: &Network, why: &WhyNot, columns: usize, theme: Theme) -> Vec<Line<'static>> {
    let text = words::told(network, &format!("{}.", why.text.trim_end_matches('.')));
    let mut lines = paragraph(&text, 0, columns, Role::Text, theme);
    let remedy = words::told(network, &format!("do: {}.", why.remedy.trim_end_matches('.')));
    lines.extend(paragraph(&remedy, 2, columns, Role::Heading, theme));
    lines
}

/// All of it as text, for the clipboard.
pub(crate) fn as_text(network: &Network, moves: &Moves) -> String {
    let assignment = &moves.placed.assignment;
    let mut lines = vec![title(moves), sum(network, assignment), proof(&moves.placed)];
    lines.extend(assignment.moves.iter().map(|moved| {
        let parts = [
            network.head_id(moved.head).to_string(),
            from_words(network, moved),
            "→".to_owned(),
            to_words(network, moved),
            lead_words(moved),
            extent_words(network, moved, None),
        ];
        parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ")
    }));
    for why in &assignment.why_not {
        lines.push(words::told(network, &format!("{}. Do: {}.", why.text, why.remedy)));
    }
    lines.push(SAFETY.to_owned());
    lines.join("\n")
}
