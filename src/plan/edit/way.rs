//! The way to a value in the text of a plan.

use super::error::EditError;
use super::record::word_of;
use crate::plan::locate::Node;
use crate::plan::words::nearest;
use std::collections::BTreeMap;
use std::fmt;

/// One step of a way.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Step {
    /// Of a record, by its name. `colour` finds `color` as well, and `centre` finds `center`.
    Field(String),
    /// Item of a list by its `id`, also one the plan gives itself (`loudspeaker-1`); or a name in a list of names.
    Id(String),
    /// Item of a list or tuple by its number, from 0.
    Item(usize),
}

/// A way to a value, from the plan itself inwards: `Way::new().field("standpoints").id("aisle-end").field("at")`.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Way {
    pub steps: Vec<Step>,
}

impl Way {
    /// To the plan itself.
    pub fn new() -> Way {
        Way::default()
    }

    #[must_use]
    pub fn field(mut self, name: impl Into<String>) -> Way {
        self.steps.push(Step::Field(name.into()));
        self
    }

    #[must_use]
    pub fn id(mut self, id: impl Into<String>) -> Way {
        self.steps.push(Step::Id(id.into()));
        self
    }

    #[must_use]
    pub fn item(mut self, number: usize) -> Way {
        self.steps.push(Step::Item(number));
        self
    }

    /// The way to what holds this, and the last step to it.
    pub fn outwards(&self) -> Option<(Way, &Step)> {
        let (last, before) = self.steps.split_last()?;
        Some((Way { steps: before.to_vec() }, last))
    }

    pub(super) fn last_field(&self) -> Option<&str> {
        match self.steps.last() {
            Some(Step::Field(name)) => Some(name),
            _ => None,
        }
    }

    /// Where the way leads in the map.
    pub(super) fn find<'n>(&self, root: &'n Node, text: &str) -> Result<&'n Node, EditError> {
        let mut here = root;
        for (number, step) in self.steps.iter().enumerate() {
            let before = Way { steps: self.steps[..number].to_vec() };
            here = before.step(here, step, text)?;
        }
        Ok(here)
    }

    /// One step on from `here`, where this way leads.
    pub(super) fn step<'n>(&self, here: &'n Node, step: &Step, text: &str) -> Result<&'n Node, EditError> {
        let missing = |known: Vec<String>, what: &str| EditError::NoSuchPlace {
            what: format!("{step} in {self}"),
            nearest: nearest(what, known.iter().map(String::as_str)).map(str::to_owned),
        };
        match step {
            Step::Field(name) => {
                if !is_record(here, text) {
                    return Err(EditError::NotARecord { what: self.to_string() });
                }
                let known = || here.fields.iter().map(|field| text[field.name.range()].to_owned()).collect();
                field(here, name, text).ok_or_else(|| missing(known(), name))
            }
            Step::Id(id) => {
                let ids = ids(self.items(here)?, self.last_field(), text);
                match ids.iter().position(|own| own.as_ref() == Some(id)) {
                    Some(number) => Ok(&self.items(here)?[number]),
                    None => Err(missing(ids.into_iter().flatten().collect(), id)),
                }
            }
            Step::Item(number) => self.items(here)?.get(*number).ok_or_else(|| missing(vec![], "")),
        }
    }

    /// Items of a list or tuple at the end of this way; one name may stand for a list of one.
    pub(super) fn items<'n>(&self, here: &'n Node) -> Result<&'n [Node], EditError> {
        if here.is_list || !here.items.is_empty() {
            Ok(&here.items)
        } else if self.last_field().is_some_and(|name| ONE_OR_MANY.contains(&name)) {
            Ok(std::slice::from_ref(here))
        } else {
            Err(EditError::NotAList { what: self.to_string() })
        }
    }
}

/// Fields where one value may stand for a list of one.
pub(super) const ONE_OR_MANY: &[&str] = &["who", "of", "keep_out", "roles", "skips", "fails", "without", "by", "at"];

/// Whether a value may have fields.
pub(super) fn is_record(node: &Node, text: &str) -> bool {
    !node.is_list && (!node.fields.is_empty() || node.items.is_empty()) && node.inside(text).is_some()
}

/// A field's value, by its name in either spelling.
pub(super) fn field<'n>(record: &'n Node, name: &str, text: &str) -> Option<&'n Node> {
    let spellings = [("centre", "center"), ("colour", "color"), ("hair_colour", "hair_color")];
    let other = spellings.iter().find_map(|(ours, theirs)| match name {
        _ if name == *ours => Some(*theirs),
        _ if name == *theirs => Some(*ours),
        _ => None,
    });
    let found = record.field(name, text).or_else(|| record.field(other?, text));
    found.map(|field| &field.value)
}

/// Ids of a list's items: as written, or as the plan gives them to fixtures that have none; or the names in a list of names.
pub(super) fn ids(items: &[Node], list: Option<&str>, text: &str) -> Vec<Option<String>> {
    let mut counts = BTreeMap::<String, usize>::new();
    let mut ids = Vec::with_capacity(items.len());
    for item in items {
        let mut given = None;
        if list == Some("fixtures") {
            let kind = item.field("kind", text).and_then(|kind| word_of(&kind.value, text));
            let kind = kind.unwrap_or_else(|| "fixture".to_owned());
            let count = counts.entry(kind.clone()).or_default();
            *count += 1;
            given = Some(format!("{kind}-{count}"));
        }
        ids.push(match item.field("id", text) {
            Some(id) => word_of(&id.value, text),
            None if is_record(item, text) => given,
            None => word_of(item, text),
        });
    }
    ids
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Step::Field(name) => write!(f, "field `{name}`"),
            Step::Id(id) => write!(f, "item `{id}`"),
            Step::Item(number) => write!(f, "item {}", number + 1),
        }
    }
}

impl fmt::Display for Way {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.steps.last() {
            Some(Step::Field(name)) => write!(f, "`{name}`"),
            Some(step) => step.fmt(f),
            None => f.write_str("the plan"),
        }
    }
}
