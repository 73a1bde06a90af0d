//! What is on the pages, in reading order, for those who hear them.

use std::collections::BTreeMap;
use std::num::NonZeroU16;

use krilla::geom::Rect as Area;
use krilla::tagging::{
    Artifact, ArtifactType, BBox, ContentTag, Identifier, Node, SpanTag, TableHeaderScope, Tag, TagGroup,
    TagTree,
};

use crate::page::{Block, BlockKind, Part};

/// How a line to be written on is told.
const BLANK: &str = "to be filled in by hand";

/// What was drawn of each block so far.
pub(super) struct Tags<'a> {
    blocks: &'a [Block],
    drawn: Vec<Drawn>,
}

/// What was drawn of one block: of a table by row and column, of all else in the cell 0, 0.
type Drawn = BTreeMap<(usize, usize), Vec<Identifier>>;

impl<'a> Tags<'a> {
    pub(super) fn new(blocks: &'a [Block]) -> Self {
        Self { blocks, drawn: vec![Drawn::new(); blocks.len()] }
    }

    /// The tag of an item on its page.
    pub(super) fn content(part: Part) -> ContentTag<'static> {
        match part {
            Part::Ornament => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
            Part::Footer => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Footer)),
            Part::Blank { .. } => ContentTag::Span(SpanTag::empty().with_actual_text(Some(BLANK))),
            Part::Of(_) | Part::Cell { .. } => ContentTag::Other,
        }
    }

    /// An item that was drawn belongs to its block.
    pub(super) fn put(&mut self, part: Part, place: Identifier) {
        let (block, cell) = match part {
            Part::Of(block) => (block, (0, 0)),
            Part::Cell { block, row, column } | Part::Blank { block, row, column } => (block, (row, column)),
            Part::Ornament | Part::Footer => return,
        };
        if let Some(drawn) = self.drawn.get_mut(block) {
            drawn.entry(cell).or_default().push(place);
        }
    }

    /// The tree: a section for each sheet, in it the blocks in their order.
    pub(super) fn into_tree(self) -> TagTree {
        let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
        let mut section: Option<(usize, TagGroup)> = None;
        for (block, drawn) in self.blocks.iter().zip(self.drawn) {
            if section.as_ref().is_none_or(|(sheet, _)| *sheet != block.sheet) {
                let done = section.replace((block.sheet, TagGroup::new(Tag::Section)));
                tree.children.extend(done.map(|(_, group)| Node::from(group)));
            }
            if let Some((_, group)) = section.as_mut().filter(|_| !drawn.is_empty()) {
                group.push(told(block, drawn));
            }
        }
        tree.children.extend(section.map(|(_, group)| Node::from(group)));
        tree
    }
}

/// A block with what was drawn of it.
fn told(block: &Block, drawn: Drawn) -> TagGroup {
    let group = match &block.kind {
        BlockKind::Table => return table(drawn),
        BlockKind::Paragraph => TagGroup::new(Tag::P),
        BlockKind::Figure { told, page, rect } => {
            let area = Area::from_xywh(rect.x, rect.y, rect.width, rect.height);
            let area = area.map(|area| BBox::new(*page, area));
            TagGroup::new(Tag::Figure(Some(told.clone())).with_bbox(area))
        }
        BlockKind::Heading { level, text } => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            TagGroup::new(Tag::Hn(level, Some(text.clone())))
        }
    };
    let places = drawn.into_values().flatten();
    TagGroup { children: places.map(Node::from).collect(), ..group }
}

/// Row 0 has the headings of the columns, column 0 names its row.
fn table(drawn: Drawn) -> TagGroup {
    let mut rows: BTreeMap<usize, TagGroup> = BTreeMap::new();
    for ((row, column), places) in drawn {
        let children = places.into_iter().map(Node::from).collect();
        let cell = match (row, column) {
            (0, _) => TagGroup::with_children(Tag::TH(TableHeaderScope::Column), children),
            (_, 0) => TagGroup::with_children(Tag::TH(TableHeaderScope::Row), children),
            _ => TagGroup::with_children(Tag::TD, children),
        };
        rows.entry(row).or_insert_with(|| TagGroup::new(Tag::TR)).push(cell);
    }
    let mut table = TagGroup::new(Tag::Table);
    if let Some(head) = rows.remove(&0) {
        table.push(TagGroup::with_children(Tag::THead, vec![Node::from(head)]));
    }
    let rows = rows.into_values().map(Node::from).collect();
    table.push(TagGroup::with_children(Tag::TBody, rows));
    table
}
