//! Every id of a plan and every reference to one, readable or not.

use super::fields::{Holds, PLAN, SEEN, Table};
use super::named::Named;
use super::record::{bare, map, word_of};
use super::way::{Way, field, ids, is_record};
use crate::plan::locate::{Node, Span};
use std::collections::BTreeSet;

/// The way to whatever of a kind has an id: `moments`, item 2, `cues`, item 0. `None` if there is no such thing, or if the
/// brackets don't pair.
pub fn way_to(text: &str, kind: Named, id: &str) -> Option<Way> {
    let map = map(text).ok()?;
    let census = Census::of(&map.root, text);
    let own = census.own.into_iter().find(|own| own.kind == kind && own.id == id && !own.elsewhere)?;
    Some(own.way)
}

/// Every id and reference of a plan.
#[derive(Debug, Default)]
pub(super) struct Census<'n> {
    pub own: Vec<Own<'n>>,
    pub references: Vec<Reference>,
    /// Role words with the ids of those who have them.
    pub roles: Vec<(String, Option<String>)>,
    known: BTreeSet<(Named, String)>,
}

/// Something with an id.
#[derive(Debug)]
pub(super) struct Own<'n> {
    pub kind: Named,
    pub id: String,
    /// Where the id is written; `None` where the plan gives it.
    pub written: Option<Span>,
    pub record: &'n Node,
    pub way: Way,
    /// In the venue of a variant.
    pub elsewhere: bool,
}

#[derive(Debug)]
pub(super) struct Reference {
    pub span: Span,
    pub id: String,
    kinds: &'static [Named],
    or: Or,
}

/// What else a word may be, where an id may stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Or {
    Nothing,
    Role,
    Freely,
}

impl<'n> Census<'n> {
    pub fn of(root: &'n Node, text: &str) -> Census<'n> {
        let mut census = Census::default();
        let mut walk = Walk { text, census: &mut census, elsewhere: false };
        walk.record(root, PLAN, &Way::new());
        if let Some(people) = field(root, "people", text) {
            for person in &people.items {
                let id = field(person, "id", text).and_then(|id| word_of(id, text));
                let Some(roles) = field(person, "roles", text) else { continue };
                let one = std::slice::from_ref(roles);
                let words = if roles.is_list { &roles.items } else { one };
                census.roles.extend(words.iter().filter_map(|role| Some((word_of(role, text)?, id.clone()))));
            }
        }
        census.known = census.own.iter().map(|own| (own.kind, own.id.clone())).collect();
        census
    }

    /// Whether there is something of a kind with an id; where a plan leaves out its crew or kit, that has ids too.
    pub fn has(&self, kind: Named, id: &str) -> bool {
        let usual: &[&str] = match kind {
            Named::Photographer => &["lead", "second"],
            Named::Body => &["full-frame"],
            Named::Lens => &["24-70", "70-200"],
            _ => &[],
        };
        self.known.contains(&(kind, id.to_owned()))
            || (usual.contains(&id) && !self.known.iter().any(|(known, _)| *known == kind))
    }

    /// What a reference means, as the checks of a plan have it.
    pub fn meant(&self, reference: &Reference) -> Option<Named> {
        let id = reference.id.as_str();
        match reference.or {
            Or::Freely if id == "freely" => return None,
            Or::Role if self.has(Named::Person, id) => return Some(Named::Person),
            Or::Role if self.roles.iter().any(|(role, _)| role == id) => return None,
            _ => {}
        }
        reference.kinds.iter().copied().find(|kind| self.has(*kind, id))
    }
}

struct Walk<'c, 'n, 't> {
    text: &'t str,
    census: &'c mut Census<'n>,
    elsewhere: bool,
}

impl<'n> Walk<'_, 'n, '_> {
    fn record(&mut self, record: &'n Node, table: Table, way: &Way) {
        for (name, holds) in table {
            let Some(value) = field(record, name, self.text) else { continue };
            let way = way.clone().field(*name);
            match holds {
                // Written where the list is: one that is left out may be given.
                Holds::Own(_) => {}
                Holds::Ids(kinds) => self.each(value, |walk, node| walk.refer(node, kinds, Or::Nothing)),
                Holds::Whom(kinds) => self.each(value, |walk, node| walk.refer(node, kinds, Or::Role)),
                Holds::Towards => self.refer(value, SEEN, Or::Freely),
                Holds::Places => self.each(value, |walk, node| walk.place(node)),
                Holds::Word(places) => self.tuple(bare(value, self.text), places),
                Holds::Record(table) => self.record(value, table, &way),
                Holds::List(table, kinds) => self.list(value, table, kinds, &way),
                Holds::Tuples(places) => value.items.iter().for_each(|item| self.tuple(item, places)),
                Holds::IdOr(kinds, table) => {
                    self.refer(value, kinds, Or::Nothing);
                    self.record(value, table, &way);
                }
            }
        }
    }

    fn list(&mut self, list: &'n Node, table: Table, kinds: &'static [Named], way: &Way) {
        let own = table.iter().find_map(|(name, holds)| match holds {
            Holds::Own(kind) if *name == "id" => Some(*kind),
            _ => None,
        });
        let ids = ids(&list.items, way.last_field(), self.text);
        let is_variant = own == Some(Named::Variant);
        for (number, (item, id)) in list.items.iter().zip(ids).enumerate() {
            let way = way.clone().item(number);
            if let (Some(kind), Some(id), true) = (own, id, is_record(item, self.text))
                && (!self.elsewhere || kind.is_the_same_elsewhere())
            {
                let written = field(item, "id", self.text).map(|id| id.span);
                let way = way.clone();
                self.census.own.push(Own { kind, id, written, record: item, way, elsewhere: self.elsewhere });
            }
            if kinds.is_empty() {
                self.elsewhere |= is_variant;
                self.record(item, table, &way);
                self.elsewhere &= !is_variant;
            } else {
                self.refer(item, kinds, Or::Nothing);
                self.record(item, table, &way);
            }
        }
    }

    /// One, or each of a list.
    fn each(&mut self, value: &'n Node, mut visit: impl FnMut(&mut Self, &'n Node)) {
        match value.is_list {
            true => value.items.iter().for_each(|item| visit(self, item)),
            false => visit(self, value),
        }
    }

    fn place(&mut self, node: &'n Node) {
        const SEAT: &[&[Named]] = &[&[Named::Seats]];
        self.refer(node, &[Named::Mark], Or::Nothing);
        if self.text[node.span.range()].starts_with(char::is_alphabetic) {
            self.tuple(node, SEAT);
        }
    }

    /// Ids in the brackets of a word; bare words there are words of a vocabulary.
    fn tuple(&mut self, node: &'n Node, places: &[&'static [Named]]) {
        for (item, kinds) in node.items.iter().zip(places) {
            if self.text[item.span.range()].ends_with(['"', '#']) {
                self.refer(item, kinds, Or::Nothing);
            }
        }
    }

    fn refer(&mut self, node: &'n Node, kinds: &'static [Named], or: Or) {
        let node = bare(node, self.text);
        if let Some(id) = word_of(node, self.text) {
            self.census.references.push(Reference { span: node.span, id, kinds, or });
        }
    }
}
