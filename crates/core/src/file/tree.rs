//! TOML text as a tree that knows the place of every key and value in it.
//!
//! Built from the parser's events in one pass, in time that grows with the text and no faster,
//! whatever the text. A key that is given twice is reported with both places; the first one counts.

use std::borrow::Cow;
use std::ops::Range;

use indexmap::IndexMap;
use indexmap::map::Entry as Slot;
use toml_parser::decoder::{Encoding, ScalarKind};
use toml_parser::parser::{EventReceiver, RecursionGuard, ValidateWhitespace, parse_document};
use toml_parser::{ErrorSink, Expected, ParseError, Source, Span};

/// Deeper nesting than any plan has.
const DEEPEST: u32 = 16;
/// Syntax problems beyond these are not kept: the first ones are what the user mends first.
const MOST_SYNTAX_PROBLEMS: usize = 100;

/// More marks, words and blanks than any plan has: a file of the largest number of lines with seven on each. The reader
/// holds all of them at once.
const MOST_MARKS: usize = 3_000_000;

/// Where a table stands in [`Tree::tables`].
pub(crate) type TableIndex = usize;

/// All tables of a text; the first is the root.
#[derive(Debug, Default)]
pub(crate) struct Tree<'t> {
    tables: Vec<Table<'t>>,
    /// Every header, brackets included, in the order of the text.
    pub headers: Vec<Range<usize>>,
    /// Every `key = value` that is in no other value, in the order of the text.
    pub statements: Vec<Range<usize>>,
    /// Names on the way to another: each with the table that it leads to.
    pub mentions: Vec<(TableIndex, Range<usize>)>,
}

/// One table, inline or under a header.
#[derive(Debug)]
pub(crate) struct Table<'t> {
    /// The last name of its header, or the whole of an inline table.
    pub place: Range<usize>,
    /// What stands in it, in the order of the text.
    pub entries: IndexMap<Cow<'t, str>, Entry<'t>>,
    /// What made it.
    pub origin: Origin,
    /// Whether it stands in a value: then commas part its keys, not lines.
    pub is_inline: bool,
    /// Its header, if it has one: which of [`Tree::headers`].
    pub header: Option<usize>,
    /// Its name, if it stands right in the root.
    top: Option<Cow<'t, str>>,
}

/// What made a table: decides whether it may be added to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Origin {
    Implicit,
    Header,
    Dotted,
    Inline,
}

/// A key and what it is set to.
#[derive(Debug)]
pub(crate) struct Entry<'t> {
    /// Where the dotted path begins that ends in its key.
    pub start: usize,
    pub key: Range<usize>,
    pub item: Item<'t>,
}

/// A value and where it stands.
#[derive(Debug)]
pub(crate) struct Item<'t> {
    pub place: Range<usize>,
    pub value: Value<'t>,
}

/// A value.
#[derive(Debug)]
pub(crate) enum Value<'t> {
    Text(Cow<'t, str>),
    /// `None` where it is beyond 64 bits.
    Whole(Option<i64>),
    Number(f64),
    Flag(bool),
    Moment(Cow<'t, str>),
    List(Vec<Item<'t>>),
    Table(TableIndex),
    Tables(Vec<TableIndex>),
    /// Something that is no value, which is reported already.
    Broken,
}

impl Value<'_> {
    /// What it is, for messages.
    pub fn kind(&self) -> &'static str {
        match self {
            Value::Text(_) => "text",
            Value::Whole(_) => "a whole number",
            Value::Number(_) => "a number",
            Value::Flag(_) => "true or false",
            Value::Moment(_) => "a date or a time",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
            Value::Tables(_) => "a list of tables",
            Value::Broken => "unreadable",
        }
    }
}

impl<'t> Tree<'t> {
    /// The top of the text.
    pub fn root(&self) -> &Table<'t> {
        &self.tables[0]
    }

    /// A table of the tree.
    pub fn table(&self, index: TableIndex) -> &Table<'t> {
        &self.tables[index]
    }
}

/// What is wrong with the text as TOML.
#[derive(Debug)]
pub(crate) enum Complaint {
    /// It is not TOML here.
    Syntax { place: Range<usize>, message: String },
    /// A key, or an id, that was already given.
    Twice {
        /// The table of the root that it stands right in, if so: then it is an id.
        table: Option<String>,
        name: String,
        first: Range<usize>,
        second: Range<usize>,
    },
}

/// Reads what can be read of `text`.
pub(crate) fn tree(text: &str) -> (Tree<'_>, Vec<Complaint>) {
    let source = Source::new(text);
    // Shorter texts have fewer than that whatever stands in them.
    if text.len() > MOST_MARKS && source.lex().nth(MOST_MARKS).is_some() {
        let message = format!("the file has more than {MOST_MARKS} marks and words; no plan has so many");
        return (Builder::new(source).tree, vec![Complaint::Syntax { place: 0..0, message }]);
    }
    let tokens = source.lex().into_vec();
    let mut sink = SyntaxSink(Vec::new());
    let mut builder = Builder::new(source);
    let mut validate = ValidateWhitespace::new(&mut builder, source);
    let mut guard = RecursionGuard::new(&mut validate, DEEPEST);
    parse_document(&tokens, &mut guard, &mut sink);
    let mut complaints: Vec<Complaint> = sink.0.into_iter().map(|error| syntax(&error, text.len())).collect();
    complaints.append(&mut builder.complaints);
    (builder.tree, complaints)
}

struct SyntaxSink(Vec<ParseError>);

impl ErrorSink for SyntaxSink {
    fn report_error(&mut self, error: ParseError) {
        if self.0.len() < MOST_SYNTAX_PROBLEMS {
            self.0.push(error);
        }
    }
}

fn syntax(error: &ParseError, end: usize) -> Complaint {
    let mut message = error.description().to_owned();
    let words: Vec<Cow<'_, str>> = error
        .expected()
        .unwrap_or_default()
        .iter()
        .filter_map(|expected| match expected {
            Expected::Literal("\n") => Some("the end of the line".into()),
            Expected::Literal(literal) => Some(format!("`{literal}`").into()),
            Expected::Description(words) => Some((*words).into()),
            _ => None,
        })
        .collect();
    if !words.is_empty() {
        message.push_str("; expected ");
        message.push_str(&words.join(", "));
    }
    let place = error.unexpected().map_or(end..end, range);
    Complaint::Syntax { place, message }
}

fn range(span: Span) -> Range<usize> {
    span.start()..span.end()
}

struct Key<'t> {
    name: Cow<'t, str>,
    place: Range<usize>,
    /// Where its path begins.
    start: usize,
}

struct Header {
    is_list: bool,
    start: usize,
}

/// What a value is being read into.
enum Frame<'t> {
    Table { table: TableIndex, start: usize, path: Vec<Key<'t>> },
    List { items: Vec<Item<'t>>, start: usize },
}

struct Builder<'t> {
    source: Source<'t>,
    tree: Tree<'t>,
    complaints: Vec<Complaint>,
    /// Where keys of the current header go.
    current: TableIndex,
    header: Option<Header>,
    /// Names read so far of a header or of a key.
    path: Vec<Key<'t>>,
    /// The path of the key whose value is being read, outside of any inline value.
    pending: Vec<Key<'t>>,
    frames: Vec<Frame<'t>>,
}

impl<'t> Builder<'t> {
    fn new(source: Source<'t>) -> Self {
        let mut builder = Self {
            source,
            tree: Tree::default(),
            complaints: Vec::new(),
            current: 0,
            header: None,
            path: Vec::new(),
            pending: Vec::new(),
            frames: Vec::new(),
        };
        builder.add_table(Origin::Header, 0..0, None);
        builder
    }

    fn add_table(&mut self, origin: Origin, place: Range<usize>, top: Option<Cow<'t, str>>) -> TableIndex {
        let is_inline = !self.frames.is_empty() || origin == Origin::Inline;
        let entries = IndexMap::new();
        self.tree.tables.push(Table { place, entries, origin, is_inline, header: None, top });
        self.tree.tables.len() - 1
    }

    fn add_child(&mut self, parent: TableIndex, origin: Origin, key: &Key<'t>) -> TableIndex {
        let top = (parent == 0).then(|| key.name.clone());
        self.add_table(origin, key.place.clone(), top)
    }

    fn complain(&mut self, complaint: Complaint) {
        if self.complaints.len() < MOST_SYNTAX_PROBLEMS {
            self.complaints.push(complaint);
        }
    }

    fn complain_twice(&mut self, parent: TableIndex, key: &Key<'t>, first: Range<usize>) {
        let complaint = Complaint::Twice {
            table: self.tree.tables[parent].top.as_deref().map(str::to_owned),
            name: key.name.clone().into_owned(),
            first,
            second: key.place.clone(),
        };
        self.complain(complaint);
    }

    /// Takes `path` down from `from`, making what is missing. `None`: it does not lead to a table
    /// that may be added to, which is reported.
    fn descend(&mut self, from: TableIndex, path: &[Key<'t>], making: Origin) -> Option<TableIndex> {
        let mut at = from;
        for key in path {
            let found = self.tree.tables[at].entries.get(&key.name).map(|entry| match &entry.item.value {
                Value::Table(index) => (entry.key.clone(), Some(*index)),
                Value::Tables(indices) => (entry.key.clone(), indices.last().copied()),
                _ => (entry.key.clone(), None),
            });
            at = match found {
                None => {
                    let child = self.add_child(at, making, key);
                    self.insert(at, key, Value::Table(child), key.place.clone());
                    self.tree.mentions.push((child, key.place.clone()));
                    child
                }
                Some((_, Some(child))) if self.may_add(child, making) => {
                    self.tree.mentions.push((child, key.place.clone()));
                    child
                }
                Some((first, _)) => {
                    self.complain_twice(at, key, first);
                    return None;
                }
            };
        }
        Some(at)
    }

    fn may_add(&self, table: TableIndex, making: Origin) -> bool {
        match self.tree.tables[table].origin {
            Origin::Inline => false,
            Origin::Header => making == Origin::Implicit,
            Origin::Implicit | Origin::Dotted => true,
        }
    }

    fn insert(&mut self, parent: TableIndex, key: &Key<'t>, value: Value<'t>, place: Range<usize>) {
        let first = match self.tree.tables[parent].entries.entry(key.name.clone()) {
            Slot::Vacant(slot) => {
                slot.insert(Entry { start: key.start, key: key.place.clone(), item: Item { place, value } });
                return;
            }
            Slot::Occupied(slot) => slot.get().key.clone(),
        };
        self.complain_twice(parent, key, first);
    }

    /// Begins the table under a header. Where its name is taken, what follows is read into a table
    /// that belongs to nothing.
    fn open_header(&mut self, header: &Header, mut path: Vec<Key<'t>>) {
        let Some(last) = path.pop() else {
            return;
        };
        let parent = if too_deep(&path) {
            self.complain(Complaint::Syntax {
                place: last.place.clone(),
                message: "no table of a plan is nested so deep".to_owned(),
            });
            None
        } else {
            self.descend(0, &path, Origin::Implicit)
        };
        let table = match parent {
            None => None,
            Some(parent) if header.is_list => self.open_list(parent, &last),
            Some(parent) => self.open_table(parent, &last),
        };
        self.current = table.unwrap_or_else(|| self.add_table(Origin::Header, last.place.clone(), None));
        self.tree.tables[self.current].header = Some(self.tree.headers.len() - 1);
        self.tree.mentions.push((self.current, last.place));
    }

    fn open_table(&mut self, parent: TableIndex, key: &Key<'t>) -> Option<TableIndex> {
        let found = self.tree.tables[parent].entries.get(&key.name).map(|entry| match entry.item.value {
            Value::Table(index) => (entry.key.clone(), Some(index)),
            _ => (entry.key.clone(), None),
        });
        match found {
            None => {
                let table = self.add_child(parent, Origin::Header, key);
                self.insert(parent, key, Value::Table(table), key.place.clone());
                Some(table)
            }
            Some((_, Some(index))) if self.tree.tables[index].origin == Origin::Implicit => {
                let table = &mut self.tree.tables[index];
                table.origin = Origin::Header;
                table.place = key.place.clone();
                if let Some(entry) = self.tree.tables[parent].entries.get_mut(&key.name) {
                    entry.key = key.place.clone();
                }
                Some(index)
            }
            Some((first, _)) => {
                self.complain_twice(parent, key, first);
                None
            }
        }
    }

    fn open_list(&mut self, parent: TableIndex, key: &Key<'t>) -> Option<TableIndex> {
        let table = self.add_table(Origin::Header, key.place.clone(), None);
        match self.tree.tables[parent].entries.entry(key.name.clone()) {
            Slot::Vacant(slot) => {
                slot.insert(Entry {
                    start: key.start,
                    key: key.place.clone(),
                    item: Item { place: key.place.clone(), value: Value::Tables(vec![table]) },
                });
            }
            Slot::Occupied(mut slot) => {
                let first = slot.get().key.clone();
                let Value::Tables(tables) = &mut slot.get_mut().item.value else {
                    self.complain_twice(parent, key, first);
                    return None;
                };
                tables.push(table);
            }
        }
        Some(table)
    }

    /// Puts a finished value where it belongs.
    fn place_value(&mut self, value: Value<'t>, place: Range<usize>) {
        let (table, path) = match self.frames.last_mut() {
            Some(Frame::List { items, .. }) => {
                items.push(Item { place, value });
                return;
            }
            Some(Frame::Table { table, path, .. }) => (*table, std::mem::take(path)),
            None => {
                if let Some(first) = self.pending.first() {
                    self.tree.statements.push(first.start..place.end);
                }
                (self.current, std::mem::take(&mut self.pending))
            }
        };
        let Some((last, path)) = path.split_last() else {
            return;
        };
        if too_deep(path) {
            self.complain(Complaint::Syntax {
                place: last.place.clone(),
                message: "no key of a plan is nested so deep".to_owned(),
            });
            return;
        }
        if let Some(parent) = self.descend(table, path, Origin::Dotted) {
            self.insert(parent, last, value, place);
        }
    }
}

/// Decodes a value that is no list and no table.
fn scalar_value<'t>(raw: toml_parser::Raw<'t>, span: Span, error: &mut dyn ErrorSink) -> Value<'t> {
    let mut wrong: Vec<ParseError> = Vec::new();
    let mut text = Cow::Borrowed("");
    let value = match raw.decode_scalar(&mut text, &mut wrong) {
        ScalarKind::String => Value::Text(text),
        ScalarKind::Boolean(flag) => Value::Flag(flag),
        ScalarKind::DateTime => {
            if let Err(no_moment) = text.parse::<toml::value::Datetime>() {
                wrong.push(ParseError::new(no_moment.to_string()).with_unexpected(span));
            }
            Value::Moment(text)
        }
        ScalarKind::Float => Value::Number(text.parse().unwrap_or(f64::NAN)),
        ScalarKind::Integer(radix) => Value::Whole(i64::from_str_radix(&text, radix.value()).ok()),
    };
    let is_broken = !wrong.is_empty();
    for problem in wrong {
        error.report_error(problem);
    }
    if is_broken { Value::Broken } else { value }
}

fn too_deep(path: &[Key<'_>]) -> bool {
    path.len() >= DEEPEST as usize
}

impl EventReceiver for Builder<'_> {
    fn std_table_open(&mut self, span: Span, _error: &mut dyn ErrorSink) {
        self.frames.clear();
        self.path.clear();
        self.header = Some(Header { is_list: false, start: span.start() });
    }

    fn std_table_close(&mut self, span: Span, _error: &mut dyn ErrorSink) {
        if let Some(header) = self.header.take() {
            let path = std::mem::take(&mut self.path);
            self.tree.headers.push(header.start..span.end());
            self.open_header(&header, path);
        }
    }

    fn array_table_open(&mut self, span: Span, _error: &mut dyn ErrorSink) {
        self.frames.clear();
        self.path.clear();
        self.header = Some(Header { is_list: true, start: span.start() });
    }

    fn array_table_close(&mut self, span: Span, error: &mut dyn ErrorSink) {
        self.std_table_close(span, error);
    }

    fn newline(&mut self, span: Span, error: &mut dyn ErrorSink) {
        // A header whose bracket is missing is still a header.
        self.std_table_close(span, error);
    }

    fn inline_table_open(&mut self, span: Span, _error: &mut dyn ErrorSink) -> bool {
        let table = self.add_table(Origin::Inline, range(span), None);
        self.frames.push(Frame::Table { table, start: span.start(), path: Vec::new() });
        true
    }

    fn inline_table_close(&mut self, span: Span, _error: &mut dyn ErrorSink) {
        if let Some(Frame::Table { table, start, .. }) = self.frames.pop() {
            let place = start..span.end();
            self.tree.tables[table].place = place.clone();
            self.place_value(Value::Table(table), place);
        }
    }

    fn array_open(&mut self, span: Span, _error: &mut dyn ErrorSink) -> bool {
        self.frames.push(Frame::List { items: Vec::new(), start: span.start() });
        true
    }

    fn array_close(&mut self, span: Span, _error: &mut dyn ErrorSink) {
        if let Some(Frame::List { items, start }) = self.frames.pop() {
            self.place_value(Value::List(items), start..span.end());
        }
    }

    fn simple_key(&mut self, span: Span, kind: Option<Encoding>, error: &mut dyn ErrorSink) {
        let Some(raw) = self.source.get(span) else {
            return;
        };
        let raw = toml_parser::Raw::new_unchecked(raw.as_str(), kind, span);
        let mut name = Cow::Borrowed("");
        raw.decode_key(&mut name, error);
        let start = self.path.first().map_or(span.start(), |first| first.start);
        self.path.push(Key { name, place: range(span), start });
    }

    fn key_val_sep(&mut self, _span: Span, _error: &mut dyn ErrorSink) {
        let read = std::mem::take(&mut self.path);
        match self.frames.last_mut() {
            Some(Frame::Table { path, .. }) => *path = read,
            Some(Frame::List { .. }) => {}
            None => self.pending = read,
        }
    }

    fn scalar(&mut self, span: Span, kind: Option<Encoding>, error: &mut dyn ErrorSink) {
        let Some(raw) = self.source.get(span) else {
            return;
        };
        let raw = toml_parser::Raw::new_unchecked(raw.as_str(), kind, span);
        let value = scalar_value(raw, span, error);
        self.place_value(value, range(span));
    }

    fn value_sep(&mut self, _span: Span, _error: &mut dyn ErrorSink) {
        self.path.clear();
    }
}
