//! Ids: given once, fit for file names, and found again; the nearest one where they aren't.

use super::context::{At, Checker};
use crate::plan::file::{Names, PlanFile, Word};
use crate::plan::limits;
use crate::plan::locate::{Node, Span};
use crate::plan::problem::ProblemKind;
use crate::plan::words::nearest;
use std::collections::{BTreeMap, BTreeSet};

/// Lists whose entries are referred to by id.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kin {
    People,
    Crew,
    Fixtures,
    Marks,
    Seats,
    Moments,
    Standpoints,
    Frames,
    Bodies,
    Lenses,
    Variants,
}

impl Kin {
    pub const ALL: [Kin; 11] = [
        Kin::People,
        Kin::Crew,
        Kin::Fixtures,
        Kin::Marks,
        Kin::Seats,
        Kin::Moments,
        Kin::Standpoints,
        Kin::Frames,
        Kin::Bodies,
        Kin::Lenses,
        Kin::Variants,
    ];

    /// Can be looked at, stood at or seen: these share one set of ids.
    const FLOOR: [Kin; 5] = [Kin::People, Kin::Crew, Kin::Fixtures, Kin::Marks, Kin::Seats];

    /// Where the list is in the file.
    fn path(self) -> (Option<&'static str>, &'static str) {
        match self {
            Kin::People => (None, "people"),
            Kin::Crew => (None, "crew"),
            Kin::Fixtures => (Some("venue"), "fixtures"),
            Kin::Marks => (None, "marks"),
            Kin::Seats => (Some("venue"), "seats"),
            Kin::Moments => (None, "moments"),
            Kin::Standpoints => (None, "standpoints"),
            Kin::Frames => (None, "frames"),
            Kin::Bodies => (Some("kit"), "bodies"),
            Kin::Lenses => (Some("kit"), "lenses"),
            Kin::Variants => (None, "variants"),
        }
    }

    pub fn noun(self) -> &'static str {
        match self {
            Kin::People => "person",
            Kin::Crew => "photographer",
            Kin::Fixtures => "fixture",
            Kin::Marks => "mark",
            Kin::Seats => "block of seats",
            Kin::Moments => "moment",
            Kin::Standpoints => "standpoint",
            Kin::Frames => "frame",
            Kin::Bodies => "body",
            Kin::Lenses => "lens",
            Kin::Variants => "variant",
        }
    }
}

#[derive(Debug, Default)]
pub struct Ids {
    known: BTreeMap<(Kin, String), (usize, Span)>,
    /// Ids of each list in its order; generated where none is written.
    names: BTreeMap<Kin, Vec<String>>,
    roles: BTreeMap<String, Vec<usize>>,
    /// Written somewhere in a list, though perhaps in a part that couldn't be read.
    written: BTreeSet<(Kin, String)>,
    /// Lists that may have had entries that couldn't be read.
    uncertain: BTreeSet<Kin>,
}

impl Ids {
    pub fn find(&self, kin: Kin, id: &str) -> Option<usize> {
        self.known.get(&(kin, id.to_owned())).map(|(index, _)| *index)
    }

    /// Whether somebody has this id or role.
    pub fn is_whom(&self, word: &str) -> bool {
        self.find(Kin::People, word).is_some() || self.roles.contains_key(word)
    }

    /// The id of the `index`-th entry.
    pub fn name(&self, kin: Kin, index: usize) -> String {
        self.names.get(&kin).and_then(|names| names.get(index)).cloned().unwrap_or_default()
    }

    /// Ids that exist without being written, such as the default kit's.
    pub fn assume(&mut self, kin: Kin, ids: &[&str]) {
        for (index, id) in ids.iter().enumerate() {
            self.known.insert((kin, (*id).to_owned()), (index, Span::default()));
        }
        self.names.insert(kin, ids.iter().map(|id| (*id).to_owned()).collect());
    }

    fn of(&self, kin: Kin) -> impl Iterator<Item = &str> {
        self.known.keys().filter(move |(k, _)| *k == kin).map(|(_, id)| id.as_str())
    }
}

impl<'p> Checker<'p> {
    pub fn collect_ids(&mut self, file: &PlanFile, top: At<'p>) {
        let written = self.written;
        for kin in Kin::ALL {
            let (parent, list) = kin.path();
            let record = parent.map_or(top, |parent| top.field(parent));
            self.note_written(kin, written, parent, list);
            if self.list_was_blanked(record, list) || parent.is_some_and(|parent| self.was_blanked(top, parent)) {
                self.ids.uncertain.insert(kin);
            }
        }
        let ids = |ids: Vec<&Option<String>>| ids.into_iter().cloned().collect::<Vec<_>>();
        self.collect(Kin::People, top, ids(file.people.iter().map(|x| &x.id).collect()));
        self.collect(Kin::Crew, top, ids(file.crew.iter().map(|x| &x.id).collect()));
        self.collect(Kin::Marks, top, ids(file.marks.iter().map(|x| &x.id).collect()));
        self.collect(Kin::Moments, top, ids(file.moments.iter().map(|x| &x.id).collect()));
        self.collect(Kin::Standpoints, top, ids(file.standpoints.iter().map(|x| &x.id).collect()));
        self.collect(Kin::Frames, top, ids(file.frames.iter().map(|x| &x.id).collect()));
        self.collect(Kin::Variants, top, ids(file.variants.iter().map(|x| &x.id).collect()));
        if let Some(kit) = &file.kit {
            self.collect(Kin::Bodies, top, ids(kit.bodies.iter().map(|x| &x.id).collect()));
            self.collect(Kin::Lenses, top, ids(kit.lenses.iter().map(|x| &x.id).collect()));
        }
        if let Some(venue) = &file.venue {
            self.collect(Kin::Seats, top, ids(venue.seats.iter().map(|x| &x.id).collect()));
            let mut counts = BTreeMap::<&str, usize>::new();
            let mut fixtures = Vec::new();
            for fixture in &venue.fixtures {
                let kind = match &fixture.kind {
                    Some(Word::Word(kind)) => kind.as_str(),
                    None => "fixture",
                };
                let count = counts.entry(kind).or_default();
                *count += 1;
                fixtures.push(fixture.id.clone().or_else(|| Some(format!("{kind}-{count}"))));
            }
            self.collect(Kin::Fixtures, top, fixtures);
        }
        for (index, person) in file.people.iter().enumerate() {
            if self.was_blanked(top.field("people").item(index), "roles") {
                self.ids.uncertain.insert(Kin::People);
            }
            for role in person.roles.iter().flat_map(Names::as_slice).take(limits::ROLES.most) {
                self.ids.roles.entry(role.clone()).or_default().push(index);
            }
        }
    }

    /// Every id in the text as it was written, readable or not.
    fn note_written(&mut self, kin: Kin, written: &Node, parent: Option<&str>, list: &str) {
        let text = self.text;
        let record = match parent {
            Some(parent) => written.field(parent, text).map(|field| &field.value),
            None => Some(written),
        };
        let Some(list) = record.and_then(|record| record.field(list, text)) else { return };
        for item in &list.value.items {
            if let Some(id) = item.field("id", text) {
                let id = text[id.value.span.range()].trim_matches('"');
                self.ids.written.insert((kin, id.to_owned()));
            }
        }
    }

    fn collect(&mut self, kin: Kin, top: At<'p>, ids: Vec<Option<String>>) {
        let (parent, list) = kin.path();
        let list = parent.map_or(top, |parent| top.field(parent)).field(list);
        let mut names = Vec::new();
        for (index, id) in ids.into_iter().enumerate() {
            let record = list.item(index);
            let Some(id) = id else {
                let noun = kin.noun();
                if self.was_blanked(record, "id") {
                    self.ids.uncertain.insert(kin);
                }
                self.missing(
                    record,
                    "id",
                    format!("this {noun} has no id"),
                    format!(
                        "give it one of its own, such as `id: \"{}-{}\"`",
                        noun.rsplit(' ').next().unwrap_or(noun),
                        index + 1
                    ),
                );
                names.push(String::new());
                continue;
            };
            let at = record.field("id");
            let span = if at.is_written() { at.span() } else { record.head() };
            self.fit_for_a_file_name(span, &id);
            match self.same_id(kin, &id) {
                Some((other_kin, other)) => {
                    let line = self.line(other);
                    let also = if other == Span::default() { span } else { other };
                    self.report_with(
                        ProblemKind::DuplicateId,
                        span,
                        format!("the id `{id}` is taken: a {} on line {line} has it", other_kin.noun()),
                        "the second one",
                        "give one of the two another id",
                        (also, "the first one".to_owned()),
                    );
                }
                None => {
                    self.ids.known.insert((kin, id.clone()), (index, span));
                }
            }
            names.push(id);
        }
        self.ids.names.insert(kin, names);
    }

    fn same_id(&self, kin: Kin, id: &str) -> Option<(Kin, Span)> {
        let kins: &[Kin] = if Kin::FLOOR.contains(&kin) { &Kin::FLOOR } else { std::slice::from_ref(&kin) };
        kins.iter().find_map(|kin| {
            let same = self.ids.known.get(&(*kin, id.to_owned()));
            // Some disks don't tell capital letters from small ones.
            let alike = || {
                let mut of_kin = self.ids.known.iter().filter(|((k, _), _)| k == kin);
                of_kin.find(|((_, known), _)| known.to_lowercase() == id.to_lowercase()).map(|(_, value)| value)
            };
            let found = if *kin == Kin::Frames { same.or_else(alike) } else { same };
            found.map(|(_, span)| (*kin, *span))
        })
    }

    pub fn fit_for_a_file_name(&mut self, span: Span, id: &str) {
        let help = "ids are letters, digits, `-` and `_`, begin with a letter or digit, and become file names";
        let length = id.chars().count();
        if length > limits::ID_CHARS {
            let label = format!("up to {} characters were expected", limits::ID_CHARS);
            self.report(ProblemKind::TooMuch, span, format!("this id has {length} characters"), label, "shorten it");
        } else if id.is_empty() {
            self.report(ProblemKind::Missing, span, "this id is empty", "a word was expected", help);
        } else if !id.chars().all(|c| c.is_alphanumeric() || c == '-' || c == '_')
            || !id.starts_with(char::is_alphanumeric)
        {
            let suggestion: String =
                id.trim().chars().map(|c| if c.is_alphanumeric() || c == '_' { c } else { '-' }).collect();
            let suggestion = suggestion.trim_matches(['-', '_']);
            let help = match suggestion.is_empty() {
                true => help.to_owned(),
                false => format!("write `\"{suggestion}\"`: {help}"),
            };
            self.report(
                ProblemKind::WrongType,
                span,
                format!("`{id}` can't be an id"),
                "letters, digits, `-` and `_` were expected",
                help,
            );
        }
    }

    /// An entry of one of some lists.
    pub fn refer(&mut self, at: At<'_>, id: &str, kins: &[Kin]) -> Option<(Kin, usize)> {
        self.refer_or(at, id, kins, None)
    }

    /// The same, where a word may stand instead.
    pub fn refer_or(&mut self, at: At<'_>, id: &str, kins: &[Kin], or: Option<&str>) -> Option<(Kin, usize)> {
        let found = kins.iter().find_map(|kin| self.ids.find(*kin, id).map(|index| (*kin, index)));
        if found.is_none() && !self.is_full() && !self.may_be_unreadable(id, kins) {
            let nouns: Vec<&str> = kins.iter().map(|kin| kin.noun()).collect();
            self.unknown(at, id, &one_of(&nouns), kins, false, or);
        }
        found
    }

    pub fn refer_one(&mut self, at: At<'_>, id: &str, kin: Kin) -> Option<usize> {
        self.refer(at, id, &[kin]).map(|(_, index)| index)
    }

    fn may_be_unreadable(&self, id: &str, kins: &[Kin]) -> bool {
        !self.blanked.is_empty()
            && kins
                .iter()
                .any(|kin| self.ids.uncertain.contains(kin) || self.ids.written.contains(&(*kin, id.to_owned())))
    }

    /// `or` is a word that may stand here instead of an id.
    fn unknown(&mut self, at: At<'_>, id: &str, nouns: &str, kins: &[Kin], roles: bool, or: Option<&str>) {
        let known: Vec<&str> = kins.iter().flat_map(|kin| self.ids.of(*kin)).collect();
        let role_words = self.ids.roles.keys().map(String::as_str).filter(|_| roles);
        let all: Vec<&str> = known.iter().copied().chain(role_words).collect();
        let elsewhere = Kin::ALL.iter().find(|kin| !kins.contains(kin) && self.ids.find(**kin, id).is_some());
        let of_role = self.ids.roles.get(id).filter(|_| !roles && kins.contains(&Kin::People));
        let of_role: Option<Vec<String>> =
            of_role.map(|people| people.iter().take(12).map(|ix| self.ids.name(Kin::People, *ix)).collect());
        let nearest = nearest(id, all.iter().copied().chain(or));
        let help = match (nearest, elsewhere, &of_role) {
            (_, _, Some(people)) => {
                let people: Vec<&str> = people.iter().map(String::as_str).collect();
                format!("`{id}` is the role of {}; write an id here", crate::plan::slips::list(&people))
            }
            (Some(word), ..) if or == Some(word) => format!("did you mean `{word}`?"),
            (_, Some(kin), _) => format!("`{id}` is a {}; a {nouns} is needed here", kin.noun()),
            (Some(meant), ..) => format!("did you mean `\"{meant}\"`?"),
            _ if all.is_empty() => format!("the plan has no {nouns} yet; add one with `id: \"{id}\"`"),
            _ if all.len() <= 12 => {
                format!("known are {}; or add a {nouns} with `id: \"{id}\"`", crate::plan::slips::list(&all))
            }
            _ => format!("add a {nouns} with `id: \"{id}\"`, or write the id of one that is there"),
        };
        let what = if roles { "or role " } else { "" };
        let label = match elsewhere {
            Some(kin) => format!("this is a {}", kin.noun()),
            None if of_role.is_some() => "this is a role".to_owned(),
            None => "nothing has this id".to_owned(),
        };
        self.report(ProblemKind::UnknownReference, at.span(), format!("there is no {nouns} {what}`{id}`"), label, help);
    }

    /// People by id or role, each once, in the order written.
    pub fn whom(&mut self, at: At<'_>, names: Option<&Names>) -> Vec<usize> {
        self.whom_or(at, names, None)
    }

    /// The same, but for a word that stands for others.
    pub fn whom_or(&mut self, at: At<'_>, names: Option<&Names>, or: Option<&str>) -> Vec<usize> {
        let mut people = Vec::new();
        let mut seen = BTreeSet::new();
        if !self.few_enough(at, names) {
            return people;
        }
        for (index, name) in names.into_iter().flat_map(Names::as_slice).enumerate() {
            let found: Vec<usize> = match self.ids.find(Kin::People, name) {
                Some(person) => vec![person],
                None => self.ids.roles.get(name).cloned().unwrap_or_default(),
            };
            if found.is_empty() && or == Some(name) {
                continue;
            }
            if found.is_empty() && !self.is_full() && !self.may_be_unreadable(name, &[Kin::People]) {
                self.unknown(at.item(index), name, "person", &[Kin::People], true, or);
            }
            for person in found {
                if seen.insert(person) {
                    people.push(person);
                }
            }
        }
        people
    }

    fn few_enough(&mut self, at: At<'_>, names: Option<&Names>) -> bool {
        names.is_none_or(|names| self.count(at, names.as_slice().len(), limits::NAMES))
    }

    /// People, role words, fixtures and photographers.
    pub fn whom_or_what(&mut self, at: At<'_>, names: Option<&Names>) -> Vec<(Kin, usize)> {
        let mut found = Vec::new();
        if !self.few_enough(at, names) {
            return found;
        }
        for (index, name) in names.into_iter().flat_map(Names::as_slice).enumerate() {
            if let Some(people) = self.ids.roles.get(name).filter(|_| self.ids.find(Kin::People, name).is_none()) {
                found.extend(people.iter().map(|person| (Kin::People, *person)));
            } else {
                found.extend(self.refer(at.item(index), name, &[Kin::People, Kin::Fixtures, Kin::Crew]));
            }
        }
        found.dedup();
        found
    }
}

/// `mark`, `mark or fixture`, `person, mark or fixture`
fn one_of(nouns: &[&str]) -> String {
    match nouns.split_last() {
        Some((last, [])) => (*last).to_owned(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}
