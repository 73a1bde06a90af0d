//! A page as the parser of the HTML standard reads it.

use html5ever::tendril::TendrilSink;
use html5ever::{ParseOpts, parse_document};
use markup5ever_rcdom::{Handle, NodeData, RcDom};

pub(super) struct Page {
    pub(super) elements: Vec<Element>,
    /// What the standard calls parse errors.
    pub(super) errors: Vec<String>,
    /// A tree that is dropped empties its nodes.
    _tree: RcDom,
}

pub(super) struct Element {
    pub(super) tag: String,
    pub(super) attributes: Vec<(String, String)>,
    node: Handle,
}

impl Page {
    pub(super) fn of(text: &str) -> Self {
        let dom = parse_document(RcDom::default(), ParseOpts::default()).one(text);
        let mut elements = Vec::new();
        walk(&dom.document, &mut |node| {
            if let NodeData::Element { name, attrs, .. } = &node.data {
                let attributes = attrs.borrow();
                let attributes =
                    attributes.iter().map(|one| (one.name.local.to_string(), one.value.to_string()));
                let attributes = attributes.collect();
                elements.push(Element { tag: name.local.to_string(), attributes, node: node.clone() });
            }
        });
        let errors = dom.errors.borrow().iter().map(ToString::to_string).collect();
        Self { elements, errors, _tree: dom }
    }

    pub(super) fn tags(&self, tag: &str) -> Vec<&Element> {
        self.elements.iter().filter(|element| element.tag == tag).collect()
    }

    /// The text of an element with this id.
    pub(super) fn text_of(&self, id: &str) -> String {
        let element = self.elements.iter().find(|element| element.attribute("id") == Some(id));
        element.unwrap_or_else(|| panic!("no {id}")).text()
    }
}

impl Element {
    pub(super) fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(own, _)| own == name).map(|(_, value)| value.as_str())
    }

    /// All text within.
    pub(super) fn text(&self) -> String {
        let mut text = String::new();
        walk(&self.node, &mut |node| {
            if let NodeData::Text { contents } = &node.data {
                text.push_str(&contents.borrow());
            }
        });
        text
    }
}

fn walk(node: &Handle, visit: &mut impl FnMut(&Handle)) {
    visit(node);
    for child in node.children.borrow().iter() {
        walk(child, visit);
    }
}
